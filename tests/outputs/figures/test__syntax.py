"""Space syntax against published values, and against networkx."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Any

import networkx as nx
import pytest

from genhouse.outputs.figures import _syntax
from genhouse.outputs.figures._syntax import Graph, linked
from tests.reference import published

TABLES = published("syntax")


def diamond(m: int) -> Graph:
    """Levels of 1, 2, .., 2^m, .., 2, 1 places."""
    widths = [2**n for n in range(m + 1)] + [2**n for n in reversed(range(m))]
    first = [sum(widths[:n]) for n in range(len(widths))]
    edges = []
    for n in range(len(widths) - 1):
        wide, narrow = (n + 1, n) if widths[n + 1] > widths[n] else (n, n + 1)
        edges += [(first[narrow] + k // 2, first[wide] + k) for k in range(widths[wide])]
    return linked(sum(widths), edges)


def graph_of(table: dict[str, Any]) -> Graph:
    return linked(9, [tuple(edge) for edge in table["edges"]])


def totals(graph: Graph) -> list[int]:
    return [sum(_syntax.depths(graph, n)) for n in range(len(graph))]


def test_d_values_are_those_of_the_table() -> None:
    """Hillier and Hanson 1984, pp. 111-113, and its continuation."""
    for table in TABLES["d_value"]:
        for k, d in zip(table["k"], table["d"], strict=True):
            assert _syntax.d_value(k) == pytest.approx(d, abs=6e-5)


@pytest.mark.parametrize("table", TABLES["diamond"], ids=lambda t: str(t["k"]))
def test_the_root_of_a_diamond_has_a_real_asymmetry_of_one(table: dict[str, Any]) -> None:
    graph = diamond(table["m"])
    assert len(graph) == table["k"]
    assert sum(_syntax.depths(graph, 0)) == table["total"]
    if "asymmetry" in table:
        assert _syntax.relative_asymmetry(graph, 0) == Fraction(table["asymmetry"])
    assert _syntax.real_relative_asymmetry(graph, 0) == pytest.approx(1, abs=1e-12)


@pytest.mark.parametrize("k", [4, 8, 13])
def test_paths_and_stars(k: int) -> None:
    """By definition: RA is 1 at the end of a path, 0 at a hub, 2 / (k - 1) at its leaves."""
    path = linked(k, [(n, n + 1) for n in range(k - 1)])
    star = linked(k, [(0, n) for n in range(1, k)])
    assert _syntax.relative_asymmetry(path, 0) == 1
    assert _syntax.relative_asymmetry(star, 0) == 0
    assert _syntax.relative_asymmetry(star, 1) == Fraction(2, k - 1)
    assert _syntax.integration(star, 0) == math.inf


@pytest.mark.parametrize(("k", "asymmetry"), [(8, 0.42857), (12, 0.45455)])
def test_even_cycles(k: int, asymmetry: float) -> None:
    """TD = k^2 / 4; the notes of this project, section 2."""
    cycle = linked(k, [(n, (n + 1) % k) for n in range(k)])
    assert totals(cycle) == [k * k // 4] * k
    assert float(_syntax.relative_asymmetry(cycle, 0)) == pytest.approx(asymmetry, abs=6e-6)


def test_a_court_house_without_a_ring() -> None:
    table, court, gate = TABLES["tree"], 2, 1
    graph = graph_of(table)
    asymmetries = [_syntax.relative_asymmetry(graph, n) for n in range(9)]
    assert totals(graph) == table["total"]
    assert asymmetries == [Fraction(a) for a in table["asymmetry"]]
    assert min(asymmetries) == asymmetries[court]
    for place, real in ((court, table["court_real"]), (gate, table["gate_real"])):
        assert _syntax.real_relative_asymmetry(graph, place) == pytest.approx(real, abs=6e-5)
        assert _syntax.integration(graph, place) == pytest.approx(1 / real, rel=2e-4)
    assert _syntax.control(graph)[court] == table["court_control"]


def test_a_court_house_with_a_ring() -> None:
    table = TABLES["ring"]
    graph = graph_of(table)
    assert totals(graph) == table["total"]
    shared = _syntax.control(graph)
    assert float(shared[2]) == pytest.approx(table["court_control"], abs=6e-5)
    assert float(shared[3]) == pytest.approx(table["hall_control"], abs=6e-5)
    assert sum(shared) == 9


@pytest.mark.parametrize("seed", range(4))
def test_networkx_agrees(seed: int) -> None:
    made = nx.connected_watts_strogatz_graph(24, 4, 0.3, seed=seed)
    graph = linked(24, sorted(made.edges))
    for n in range(24):
        lengths = nx.single_source_shortest_path_length(made, n)
        assert _syntax.depths(graph, n) == tuple(lengths[m] for m in range(24))
        near = 1 / nx.closeness_centrality(made, n)
        assert float(_syntax.mean_depth(graph, n)) == pytest.approx(near)


def test_the_difference_factor_has_its_ends() -> None:
    """1 for three equal values, 0 as one of them vanishes beside two equal ones."""
    assert _syntax.difference_factor([0.5, 0.5]) == pytest.approx(1)
    assert _syntax.difference_factor([0.0, *[1.0] * 10**6]) == pytest.approx(0, abs=1e-5)
    assert _syntax.difference_factor([0, 0]) == 1


def test_the_difference_factor_is_the_published_one() -> None:
    """Hillier, Hanson and Graham 1987: their example of three values that hardly differ."""
    table = TABLES["difference"]
    assert _syntax.difference_factor(table["values"]) == pytest.approx(table["factor"], abs=0.005)


def test_what_is_out_of_reach_is_refused() -> None:
    with pytest.raises(ValueError, match="out of reach"):
        _syntax.depths(linked(3, [(0, 1)]), 0)
