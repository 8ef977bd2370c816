"""Land and water: it reads as a valley, and all of it drains."""

from __future__ import annotations

import networkx as nx
import numpy as np
import pytest
from skimage.morphology import reconstruction

from genhouse.core.draw import Draw
from genhouse.village.curves import FINE, nearest, rounded
from genhouse.village.fences import fences
from genhouse.village.fills import filled
from genhouse.village.flow import flow
from genhouse.village.grids import finer, mottled, rough, scattered
from genhouse.village.kit import LET_IN
from genhouse.village.land import CELL, lay_land
from genhouse.village.surface import LANE, PLOT, ROAD, TRAIL, TRODDEN
from genhouse.village.water import let_in
from tests.village.made import built

BOWL = [
    list(map(int, row))
    for row in ["9999999", "9877789", "9732479", "9721365", "9743579", "9877789", "9999999"]
]
"""Worked by hand, in the notes on Priority-Flood: it spills at 6 and holds 27."""


def test_a_bowl_fills_to_its_notch() -> None:
    ground = np.array(BOWL)
    out = np.ones(ground.shape, dtype=bool)
    out[1:-1, 1:-1] = False
    run = flow(ground, out)
    assert int((run.filled - ground).sum()) == 27
    assert (run.filled[2:5, 2:5] == 6).all()


@pytest.mark.parametrize("seed", range(4))
def test_filling_is_a_reconstruction_by_erosion(seed: int) -> None:
    """Against scikit-image: the same, told in another way (Vincent 1993)."""
    ground = scattered((23, 31), 90, Draw(seed, "bumps"))
    out = np.zeros(ground.shape, dtype=bool)
    out[0, 3:9] = out[-1, 20] = True
    start = np.where(out, ground, ground.max())
    want = reconstruction(start, ground, "erosion", footprint=np.ones((3, 3)))
    run = flow(ground, out)
    assert (run.filled == want).all()
    assert int(run.comes[out].sum()) == ground.size
    down = run.filled.reshape(-1)[run.to]
    assert (down <= run.filled.reshape(-1)).all()
    graph = nx.DiGraph((a, b) for a, b in enumerate(run.to.tolist()) if a != b)
    assert nx.is_directed_acyclic_graph(graph)


@pytest.mark.parametrize("seed", range(3))
def test_a_ground_drains_over_its_border_too(seed: int) -> None:
    """Against scikit-image, on ground so rough that water winds its way out."""
    draw = Draw(seed, "rough")
    ground = (rough((64, 96), 16, 3, 60, draw) + scattered((64, 96), 9, draw)).astype(np.int16)
    out = scattered(ground.shape, 400, draw.at("out")) == 0
    free = out.copy()
    free[[0, -1]] = free[:, [0, -1]] = True
    start = np.where(free, ground, ground.max())
    want = reconstruction(start, ground, "erosion", footprint=np.ones((3, 3)))
    assert (want > ground).mean() > 0.1
    assert (filled(ground, out) == want).all()


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_a_valley_lies_lower_by_its_stream_than_at_its_rims(seed: int) -> None:
    land = lay_land((256, 320), Draw(seed, "valley"))
    assert land.heights.shape == (64, 80)
    assert land.head is not None
    course = land.flow.course(land.head[0] * 80 + land.head[1])
    heights = land.heights.reshape(-1)[course]
    assert (np.diff(heights) <= 0).all()
    i, j = divmod(course[-1], 80)
    assert min(i, j, 63 - i, 79 - j) == 0
    assert abs(course[0] // 80 - i) + abs(course[0] % 80 - j) >= 60
    assert np.quantile(land.heights, 0.9) - np.median(heights) > 6 * CELL


def test_water_lies_in_its_bed_and_never_runs_uphill() -> None:
    draw = Draw(5, "village")
    watered = let_in(lay_land((256, 256), draw.at("land")), draw.at("water"))
    wet = watered.level > 0
    assert 0.01 < wet.mean() < 0.2
    assert (watered.ground[wet] <= 2 * watered.level[wet] - 2).all()
    x, y = (np.clip(watered.stream[:, n] // FINE, 0, 255) for n in (0, 1))
    heads = watered.level[x, y]
    assert (heads > 0).all()
    assert (np.diff(heads.astype(int)) <= 0).all()
    beside = np.pad(wet, 1)[2:, 1:-1] & ~wet
    level = np.pad(watered.level, 1)[2:, 1:-1]
    low = watered.ground[beside] < 2 * level[beside]
    assert low.mean() < 0.01  # the bank holds the water


def test_the_same_seed_lays_the_same_ground() -> None:
    one, two = (lay_land((192, 192), Draw(9, "v")).heights for _ in range(2))
    assert (one == two).all()
    assert (one != lay_land((192, 192), Draw(10, "v")).heights).any()


def test_finer_fields_keep_their_bounds() -> None:
    coarse = scattered((9, 7), 1000, Draw(1, "c"))
    fine = finer(coarse, 8)
    assert fine.shape == (72, 56)
    assert coarse.min() <= fine.min()
    assert fine.max() <= coarse.max()


def test_noise_is_about_as_high_as_it_is_asked_to_be() -> None:
    for field in (
        rough((64, 64), 32, 4, 1000, Draw(2, "n")),
        mottled((64, 64), 8, 1000, Draw(2, "n")),
    ):
        assert 300 < np.abs(field).max() < 2200
        assert abs(int(field.mean())) < 400


def test_the_nearest_point_of_a_line_is_found_for_each_cell() -> None:
    line = rounded([(4, 4), (12, 4), (12, 14)])
    near = nearest(line, 5, (24, 24))
    for x, y in ((8, 4), (12, 9), (5, 8), (14, 14)):
        here = np.array([x * FINE + FINE // 2, y * FINE + FINE // 2])
        assert int(near.square[x, y]) == int(((line - here) ** 2).sum(axis=1).min())
    assert near.point[0, 23] == -1


@pytest.mark.parametrize("seed", range(1, 7))
def test_footpaths_lead_from_lanes_over_dry_ground_that_one_walks(seed: int) -> None:
    village = built(seed)
    surface = village.settled.surface
    for line in village.grown.trails:
        x, y = (line // FINE).T
        about = np.s_[max(0, x[0] - 3) : x[0] + 4, max(0, y[0] - 3) : y[0] + 4]
        assert np.isin(surface.use[about], (ROAD, LANE)).any()
        assert np.isin(surface.use[x, y], (TRAIL, *TRODDEN)).all()
        assert (surface.level[x, y] == 0).all()
        assert np.abs(np.diff(surface.ground[x, y].astype(int))).max() <= 2


@pytest.mark.parametrize("seed", range(1, 7))
def test_what_bounds_a_forecourt_leaves_ways_lanes_and_the_strip_by_the_house_free(
    seed: int,
) -> None:
    village = built(seed)
    surface = village.settled.surface
    trodden = np.isin(surface.use, TRODDEN)
    for name, (x, y) in fences(surface, village.site.plots, Draw(seed, "fences")):
        assert not trodden[x - 1 : x + 2, y - 1 : y + 2].any()
        assert not (surface.use[x - 1 : x + 2, y - 1 : y + 2] == PLOT).any()
        assert name.endswith(LET_IN) == bool(surface.ground[x, y] % 2)
