"""Stretches of wall: where one could be opened, and which room it belongs to."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from genhouse.core.box import Rect
from genhouse.model.elements import Wall
from genhouse.model.room import Room

ById = Mapping[int, Room]
"""Rooms by number."""


def free(segment: Wall, blocked: frozenset[tuple[int, int]]) -> list[tuple[int, int]]:
    """The cells of a segment with clear floor on both sides, inside first."""
    cells = list(segment.cells.cells())
    return [c for c in cells if c not in blocked and not blocked & set(segment.beside(c))]


def stretch(cells: Sequence[tuple[int, int]]) -> Rect:
    return Rect(cells[0][0], cells[0][1], cells[-1][0] + 1, cells[-1][1] + 1)


def middle(segment: Wall) -> Rect:
    """The cells of a segment but for those beside the posts."""
    a0, b0, a1, b1 = segment.cells.lie(segment.axis)
    return Rect(a0 + 1, b0, a1 - 1, b1).lie(segment.axis)


def clear(segment: Wall, blocked: frozenset[tuple[int, int]]) -> bool:
    """Whether it is free from post to post."""
    return set(free(segment, blocked)).issuperset(middle(segment).cells())


def indoor(segment: Wall, by_id: ById) -> Room:
    """The room that a wall to outdoors or to a court belongs to."""
    low = by_id.get(segment.low)
    return low if low is not None and low.indoor else by_id[segment.high]
