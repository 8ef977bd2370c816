"""Walls turn with their plot."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from genhouse.core.axes import Turn
from genhouse.core.box import Rect
from genhouse.model.elements import Wall

turns = st.builds(Turn, st.just(12), st.just(9), st.integers(0, 3), st.booleans())


def wall(axis: str) -> Wall:
    cells = Rect(3, 4, 7, 5) if axis == "x" else Rect(3, 4, 4, 8)
    way = Rect(4, 4, 6, 5) if axis == "x" else Rect(3, 5, 4, 7)
    return Wall(
        level=1,
        axis=axis,
        cells=cells,
        z0=2,
        z1=8,
        floor=3,
        lintel=5,
        boundary="partition",
        low=1,
        high=2,
        opening="door",
        way=way,  # type: ignore[arg-type]
    )


@given(turns, st.sampled_from("xy"))
@settings(max_examples=60)
def test_low_and_high_stay_on_their_sides(turn: Turn, axis: str) -> None:
    """The cells beside a turned wall are the turned cells: low below, high above."""
    s = wall(axis)
    t = s.turned(turn)
    dx, dy = (0, 1) if axis == "x" else (1, 0)
    u, v = (0, 1) if t.axis == "x" else (1, 0)
    for x, y in s.cells.cells():
        a, b, _ = turn.cell(x, y, 0)
        low = turn.cell(x - dx, y - dy, 0)[:2]
        assert t.cells.has(a, b)
        assert (low == (a - u, b - v)) == (t.low == s.low)
    assert {t.low, t.high} == {1, 2}
    assert t.way is not None
    assert t.cells.meet(t.way) == t.way
    assert (t.length, t.thick) == (s.length, s.thick) == (4, 1)
    assert {turn.cell(*c, 0)[:2] for c in s.ends} == set(t.ends)
    assert set(t.beside(t.cells[:2])) == {
        turn.cell(*c, 0)[:2] for c in s.beside(turn.inverse.cell(*t.cells[:2], 0)[:2])
    }


@given(turns, st.sampled_from("xy"))
@settings(max_examples=30)
def test_leaves_stay_in_their_cells(turn: Turn, axis: str) -> None:
    s = replace(wall(axis), opening="screens", leaves=(0, 2))
    t = s.turned(turn)
    assert s.way is not None
    assert t.way is not None
    held = {turn.cell(*c, 0)[:2]: n for c, n in zip(s.way.cells(), s.leaves, strict=True)}
    assert held == dict(zip(t.way.cells(), t.leaves, strict=True))


@given(turns, st.sampled_from("xy"), st.booleans())
@settings(max_examples=30)
def test_an_outer_wall_looks_to_where_no_room_is(turn: Turn, axis: str, flip: bool) -> None:
    s = replace(wall(axis), boundary="outer", low=0 if flip else 1, high=1 if flip else 0)
    assert s.turned(turn).outward == turn.side(s.outward)
    assert s.outward == {("x", True): "south", ("y", True): "west"}.get(
        (axis, flip), "north" if axis == "x" else "east"
    )


@pytest.mark.parametrize(
    ("opening", "boundary", "passable"),
    [
        ("none", "partition", False),
        ("window", "outer", False),
        ("screens", "court", True),
        ("door", "partition", True),
        ("entrance", "outer", True),
        ("passage", "partition", True),
        ("none", "open", True),
    ],
)
def test_what_a_person_goes_through(opening: str, boundary: str, passable: bool) -> None:
    s = Wall(
        level=1,
        axis="x",
        cells=Rect(0, 0, 3, 1),
        z0=2,
        z1=8,
        floor=3,
        lintel=5,
        boundary=boundary,
        low=1,
        high=2,
        opening=opening,  # type: ignore[arg-type]
    )
    assert s.passable == passable
