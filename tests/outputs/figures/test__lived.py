"""What a house is to live in: ways by hand and by networkx, glazing on the grid of what stops light."""

from __future__ import annotations

import networkx as nx
import numpy as np
import pytest

from genhouse.core.solids import Bool
from genhouse.model.lighting import opaque
from genhouse.outputs.document.document import room_graph
from genhouse.outputs.figures import _lived
from genhouse.outputs.figures._syntax import linked
from genhouse.outputs.figures.figures import figures, room_links
from genhouse.traditions.loader import load_tradition
from tests.outputs.houses import LARGE, SEEDS, SMALL, built, designed

TIMBER = load_tradition("timber")
HOUSES = [*((seed, None) for seed in SEEDS), (11, SMALL), (5, LARGE)]
ALL = pytest.mark.parametrize("house", HOUSES, ids=str)
House = tuple[int, tuple[int, int] | None]


def test_ways_worked_by_hand() -> None:
    # outside - hall - bedroom - bath, and a second bedroom off the hall
    row = linked(5, [(0, 1), (1, 2), (2, 3), (1, 4)])
    assert _lived.behind(row, 2) == {3}
    assert _lived.behind(row, 1) == {2, 3, 4}
    assert _lived.only_through(row, [3], [2, 4]) == [3]
    assert _lived.only_through(row, [2, 4], [2, 3, 4]) == []
    ring = linked(5, [(0, 1), (1, 2), (2, 3), (3, 4), (4, 1)])
    assert _lived.behind(ring, 3) == set()
    assert _lived.only_through(ring, [3], [2]) == []
    assert _lived.only_through(ring, [3], [2, 4]) == [3]


@ALL
def test_networkx_agrees_on_what_lies_behind_a_room(house: House) -> None:
    graph, links = room_graph(designed(*house)), room_links(designed(*house))
    place = {n: i for i, n in enumerate(sorted(graph))}
    for n in sorted(graph)[1:]:
        rest = graph.copy()
        rest.remove_node(n)
        cut = set(graph) - {n} - nx.node_connected_component(rest, 0)
        assert _lived.behind(links, place[n]) == {place[m] for m in cut}


@ALL
def test_glazing_is_the_wall_that_light_passes(house: House) -> None:
    """A wall's open sub-cells, seen square on, counted on the whole grid of what stops light."""
    design, voxels = designed(*house), built(*house)
    dark = opaque(voxels)
    found = _lived.glazing(design, voxels)
    for room in design.rooms:
        if room.indoor:
            open_cells = 0
            for s in design.segments:
                if s.boundary in ("outer", "court") and room.id in (s.low, s.high):
                    open_cells += _open(dark, s, room)
            assert found[room.id] * 16 == open_cells


def _open(dark: Bool, segment, room) -> int:  # type: ignore[no-untyped-def]
    c, across = segment.cells, 1 if segment.axis == "x" else 0
    top = 11 if room.level == 2 else 7  # levels of the tradition's file: plate 10, upper tie 7
    wall = dark[4 * c.x0 : 4 * c.x1, 4 * c.y0 : 4 * c.y1, 4 * room.floor : 4 * top]
    return int(np.count_nonzero(~wall.any(axis=across)))


@ALL
def test_notes_say_what_the_counts_count(house: House) -> None:
    found = figures(designed(*house), built(*house))
    said = " ".join(found.notes)
    assert ("the only way to" in said) == (found.lived.corridors > 0)
    assert ("glazing" in said) == (found.lived.dim > 0)
    assert ("larger than the reception" in said) == (found.lived.hall > 1)
    assert ("would do" in said) == (found.lived.over > 0)


def test_a_table_seats_as_many_as_it_has_cushions() -> None:
    for name, fitting in TIMBER.fittings:
        cushions = sum(role.startswith("cushion") for *_, z, role, _ in fitting.pieces if z == 0)
        if fitting.seats:
            assert cushions == fitting.seats, name


def test_a_bed_sleeps_as_many_as_it_has_pillows() -> None:
    for name, fitting in TIMBER.fittings:
        pillows = sum(role == "pillow" for *_, role, _ in fitting.pieces)
        if fitting.sleeps > 1:
            assert pillows == fitting.sleeps, name
        assert bool(fitting.sleeps) <= ("sleep" in fitting.tags), name
