"""The figures of whole houses, against networkx, the bill and what is drawn."""

from __future__ import annotations

import networkx as nx
import pytest

from genhouse.core.errors import BriefError
from genhouse.outputs.bill import bill
from genhouse.outputs.document.document import room_graph
from genhouse.outputs.figures.figures import figures
from genhouse.outputs.figures.named_figures import NAMED, named_figures
from genhouse.traditions.loader import load_tradition
from tests.outputs.houses import LARGE, SEEDS, SMALL, built, designed

HOUSES = [*((seed, None) for seed in SEEDS), (11, SMALL), (5, LARGE)]
ALL = pytest.mark.parametrize("house", HOUSES, ids=str)
House = tuple[int, tuple[int, int] | None]


@ALL
def test_networkx_agrees_with_the_graph_figures(house: House) -> None:
    graph = room_graph(designed(*house))
    k = len(graph)
    for room in figures(designed(*house), built(*house)).rooms:
        assert room.depth == nx.shortest_path_length(graph, 0, room.id)
        mean = 1 / nx.closeness_centrality(graph, room.id)
        assert room.asymmetry == pytest.approx(2 * (mean - 1) / (k - 2), abs=6e-5)
        control = sum(1 / graph.degree(n) for n in graph[room.id])
        assert room.control == pytest.approx(control, abs=6e-5)


@ALL
def test_integration_is_the_inverse_of_real_asymmetry(house: House) -> None:
    for room in figures(designed(*house), built(*house)).rooms:
        if room.integration is not None:
            assert room.integration * room.real_asymmetry == pytest.approx(1, abs=2e-3)


@ALL
def test_privacy_is_a_rank_correlation(house: House) -> None:
    from scipy.stats import spearmanr

    found = figures(designed(*house), built(*house))
    kinds = dict(load_tradition("timber").kinds)
    lower = [r for r in found.rooms if r.level == 1 and r.kind in kinds]
    wanted = [kinds[r.kind].depth for r in lower]
    depths = [r.depth for r in lower]
    told = min(len(set(depths)), len(set(wanted))) > 1
    said = spearmanr(depths, wanted).statistic if told else 0
    assert found.privacy == pytest.approx(said, abs=6e-5)


@ALL
def test_counts_agree_with_the_bill_and_the_rooms(house: House) -> None:
    found = figures(designed(*house), built(*house))
    assert found.solid == sum(line.count for line in bill(built(*house)))
    assert [r.id for r in found.rooms] == sorted(r.id for r in designed(*house).rooms)
    assert found.floor == sum(r.area for r in designed(*house).rooms if r.indoor)
    assert len(found.courts) == len(designed(*house).courts)
    assert all(0 < court.sky < 1 for court in found.courts)


@ALL
def test_every_walkable_room_has_a_walk(house: House) -> None:
    found = figures(designed(*house), built(*house))
    walkable = {r.id for r in designed(*house).rooms if r.walkable}
    assert all(r.walk is not None for r in found.rooms if r.id in walkable)


def test_named_figures_are_told_apart_and_explained() -> None:
    found = figures(designed(7), built(7))
    assert len({f.name for f in NAMED}) == len(NAMED)
    for figure in NAMED:
        assert figure.title
        assert figure.meaning
        assert float(figure.read(found)) == figure.read(found)


def test_an_unknown_figure_is_refused_with_those_there_are() -> None:
    with pytest.raises(BriefError, match="court-light"):
        named_figures(["beauty"])
