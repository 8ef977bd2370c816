"""Lanes: the cheapest ways, joined, graded, with no end but at the map's edge."""

from __future__ import annotations

from itertools import pairwise

import networkx as nx
import numpy as np
import pytest

from genhouse.village.curves import FINE
from genhouse.village.lanes import NOWHERE, graded
from genhouse.village.pits import pits
from genhouse.village.surface import BRIDGE, FORD, OPEN, TRODDEN, Surface
from genhouse.village.ways import AHEAD, USUAL, slopes, spread
from tests.village.made import built, laid

SEEDS = (1, 2, 3)


def test_costs_are_those_of_another_library() -> None:
    """Against networkx on the same lattice."""
    heights = (np.arange(120).reshape(10, 12) * 37 % 23) * 20
    slope, dear = slopes(heights), np.full(heights.shape, USUAL)
    dear[4, 2:9] = 90
    graph = nx.Graph()
    for n, (di, dj) in enumerate(AHEAD):
        for i, j in np.ndindex(10, 12):
            if 0 <= i + di < 10 and 0 <= j + dj < 12:
                ends = dear[i, j] + dear[i + di, j + dj] + 2 * dear[i + di // 2, j + dj // 2]
                weight = int(slope[n, i, j] * ends)
                graph.add_edge((i, j), (i + di, j + dj), weight=weight)
    want = nx.single_source_dijkstra_path_length(graph, (0, 0))
    found = spread(slope, dear, [(0, 0)])
    assert {p: int(found.far[p]) for p in want} == want
    way = found.back((9, 11))
    assert way[0] == (0, 0)
    assert way[-1] == (9, 11)
    assert all(max(abs(a[0] - b[0]), abs(a[1] - b[1])) == 1 for a, b in pairwise(way))


def test_steep_ways_are_gone_round() -> None:
    heights = np.zeros((21, 21), dtype=np.int64)
    heights[10, :18] = 40 * 64
    way = spread(slopes(heights), np.full((21, 21), USUAL), [(2, 2)]).back((18, 2))
    assert max(j for _, j in way) >= 18


def test_a_graded_lane_rises_by_half_a_cell_a_cell_and_balances() -> None:
    raw, row = np.array([0] * 30 + [20] * 30), [np.arange(60)]
    high = graded(raw, np.full(60, NOWHERE), row)
    assert (np.abs(high[2:] - high[:-2]) <= 1).all()
    assert abs(int((high - raw).sum())) < 60
    bridged = graded(raw * 0, np.where(np.arange(60) == 30, 6, NOWHERE), row)
    assert bridged[30] == 6
    assert (np.abs(bridged[2:] - bridged[:-2]) <= 1).all()


def test_lanes_are_as_high_as_each_other_where_they_meet() -> None:
    for lanes in (laid(seed).lanes for seed in SEEDS):
        ends: dict[int, set[int]] = {}
        for lane in lanes.lanes:
            for at, n in zip(lane.ends, (0, -1), strict=True):
                ends.setdefault(at, set()).add(int(lane.high[n]))
        assert all(len(high) == 1 for high in ends.values())


@pytest.mark.parametrize("seed", SEEDS)
def test_lanes_are_one_net_that_ends_only_at_the_edge(seed: int) -> None:
    lanes = laid(seed).lanes
    graph = lanes.graph()
    assert nx.is_connected(nx.Graph(graph))
    at_edge = 0
    for n, data in graph.nodes(data=True):
        x, y = data["x"], data["y"]
        edge = min(x, y, 188 - x, 188 - y) <= 0
        at_edge += edge
        assert edge or graph.degree(n) > 1
    assert at_edge >= 3
    for *_, data in graph.edges(data=True):
        assert data["kind"] in ("road", "lane")
        assert data["length"] > 0
        assert 0 <= data["grade"] <= 51


@pytest.mark.parametrize("seed", SEEDS)
def test_where_lanes_meet_water_there_is_something_to_walk_on(seed: int) -> None:
    surface = built(seed).settled.surface
    over = np.isin(surface.use, TRODDEN) & (surface.level > 0)
    assert np.isin(surface.use[over], (BRIDGE, FORD)).all()
    assert (surface.deck[over] >= 2 * surface.level[over]).all()
    assert (surface.deck[~over] == 0).all()


@pytest.mark.parametrize("seed", SEEDS)
def test_lanes_keep_to_the_ground_that_was_made_for_them(seed: int) -> None:
    site = laid(seed)
    for lane in site.lanes.lanes:
        x, y = (np.clip(lane.points[:, n] // FINE, 0, 191) for n in (0, 1))
        assert np.isin(site.surface.use[x, y], TRODDEN).mean() > 0.95


@pytest.mark.parametrize(("high", "deep"), [(4, 0), (5, 1)])
def test_water_runs_only_into_water_that_lies_lower(high: int, deep: int) -> None:
    """A gutter at nine half cells in ground of ten, beside a pool of so many cells above a bed of six."""
    ground, level = np.full((16, 16), 10, dtype=np.int16), np.zeros((16, 16), dtype=np.int16)
    ground[8, 7], ground[9, 8], level[9, 8] = 9, 6, high
    dry, use = np.zeros_like(level), np.full((16, 16), OPEN, dtype=np.uint8)
    found = pits(Surface(ground=ground, level=level, deck=dry, use=use))
    assert found[8, 7] == deep
    assert np.count_nonzero(found) == bool(deep)
