"""Floors as bits: flood fill and shifts against sets of cells."""

from __future__ import annotations

import networkx as nx
from hypothesis import given, settings
from hypothesis import strategies as st

from genhouse.core.box import Rect
from genhouse.stages.furnishing.floorplan import Floor


@st.composite
def floors(draw: st.DrawFn) -> tuple[Floor, set[tuple[int, int]], set[tuple[int, int]]]:
    """A room somewhere, some of its cells, and some of those."""
    x, y = draw(st.integers(-5, 9)), draw(st.integers(0, 40))
    rect = Rect(x, y, x + draw(st.integers(1, 7)), y + draw(st.integers(1, 7)))
    cells = draw(st.sets(st.sampled_from(list(rect.cells()))))
    wanted = draw(st.sets(st.sampled_from(sorted(cells)))) if cells else set()
    return Floor(room=1, rect=rect), cells, wanted


def grid(cells: set[tuple[int, int]]) -> nx.Graph:
    graph = nx.Graph()
    graph.add_nodes_from(cells)
    graph.add_edges_from(
        ((x, y), n) for x, y in cells for n in ((x + 1, y), (x, y + 1)) if n in cells
    )
    return graph


@given(floors())
@settings(max_examples=150)
def test_bits_and_cells_are_each_others_inverse(made: tuple[Floor, set, set]) -> None:  # type: ignore[type-arg]
    floor, cells, _ = made
    bits = floor.bits(cells)
    assert set(floor.cells(bits)) == cells
    assert bits.bit_count() == len(cells)
    assert floor.bit(floor.rect.x1, floor.rect.y0) == 0, "outside the room there is no bit"


@given(floors())
@settings(max_examples=200)
def test_connected_is_what_a_graph_says(made: tuple[Floor, set, set]) -> None:  # type: ignore[type-arg]
    """networkx on the same cells; nothing leaks from the end of one row to the next."""
    floor, cells, wanted = made
    expected = not cells or nx.is_connected(grid(cells))
    assert floor.connected(floor.bits(cells), floor.bits(wanted)) == expected
    if set(floor.rect.cells()) - cells:
        away = min(set(floor.rect.cells()) - cells)
        assert not floor.connected(floor.bits(cells), floor.bits(wanted | {away}))
