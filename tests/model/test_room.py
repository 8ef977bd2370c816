"""Rooms turn with their plot."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from genhouse.core.axes import Turn
from genhouse.core.box import Rect
from genhouse.model.room import Room

turns = st.builds(Turn, st.just(12), st.just(9), st.integers(0, 3), st.booleans())


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
