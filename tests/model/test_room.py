"""Rooms and segments turn with their plot."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from genhouse.core.axes import Turn
from genhouse.core.box import Rect
from genhouse.model.room import Room, Segment

turns = st.builds(Turn, st.just(12), st.just(9), st.integers(0, 3), st.booleans())


def segment(axis: str) -> Segment:
    cells = Rect(3, 4, 7, 5) if axis == "x" else Rect(3, 4, 4, 8)
    way = Rect(4, 4, 6, 5) if axis == "x" else Rect(3, 5, 4, 7)
    return Segment(
        level=1,
        axis=axis,
        cells=cells,
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
    s = segment(axis)
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
    assert t.length == s.length


@given(turns)
@settings(max_examples=30)
def test_a_turned_room_keeps_its_area_and_its_volume(turn: Turn) -> None:
    room = Room(
        id=1, kind="entry", level=1, rects=(Rect(1, 1, 5, 4), Rect(5, 2, 7, 4)), floor=3, ceiling=7,
        sunken=(Rect(1, 1, 5, 3),),
    )  # fmt: skip
    other = room.turned(turn)
    assert other.area == room.area == 16
    assert (
        sum(b.volume for b in other.volume()) == sum(b.volume for b in room.volume()) == 16 * 4 + 8
    )
    assert all(other.has(*turn.cell(x, y, 0)[:2]) for r in room.rects for x, y in r.cells())


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
    s = Segment(
        level=1,
        axis="x",
        cells=Rect(0, 0, 3, 1),
        boundary=boundary,
        low=1,
        high=2,
        opening=opening,  # type: ignore[arg-type]
    )
    assert s.passable == passable
