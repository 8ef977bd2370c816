"""Screens: sliding leaves on two tracks, each set standing open as far as someone left it; and doors."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from genhouse.core.box import Rect
from genhouse.core.draw import Draw
from genhouse.model.part import Part
from genhouse.model.room import Segment
from genhouse.stages.rooms import Rooms
from genhouse.traditions.loader import Tradition


@dataclass(frozen=True, slots=True, kw_only=True)
class Screens:
    """One row of leaves in a segment.  leaves: for each cell of its way, how many stand in it (0 to 2)."""

    segment: Segment
    leaves: tuple[int, ...]

    @property
    def open(self) -> int:
        """Cells that stand open."""
        return self.leaves.count(0)


def plan_screens(rooms: Rooms, draw: Draw) -> tuple[Screens, ...]:
    """How far each set of leaves is slid."""
    found: list[Screens] = []
    for s in rooms.segments:
        if s.opening == "screens" and s.way is not None:
            here = draw.at(s.way.x0, s.way.y0)
            found.append(Screens(segment=s, leaves=_slide(max(s.way.width, s.way.depth), here)))
    return tuple(found)


def _slide(count: int, draw: Draw) -> tuple[int, ...]:
    """Slide some leaves over their neighbours, from one end, so that what is open lies together."""
    leaves = [1] * count
    slid = draw.choice((0, 1, 2), "slid", weights=(3, 4, 1))
    for i in range(min(slid, count // 2)):
        leaves[2 * i], leaves[2 * i + 1] = 0, 2
    return tuple(leaves if draw.chance(1, 2, "end") else leaves[::-1])


def screens_parts(
    rooms: Rooms, screens: tuple[Screens, ...], tradition: Tradition
) -> tuple[Part, ...]:
    """Leaves, hinged doors and gate leaves."""
    z = tradition.levels
    parts: list[Part] = []
    for row in screens:
        parts += _leaves(row, z.floor, z.lower_tie)
    fronts = {e.way for e in rooms.entrances if e.kind == "front"}
    for s in rooms.segments:
        if s.opening in ("door", "entrance") and s.way is not None:
            low = z.ground if s.way in fronts else z.floor
            parts.append(Part("screens", "door", f"door leaf {s.axis}", s.way.up(low, z.lower_tie)))
    for e in rooms.entrances:
        if e.kind == "front" and e.room == 0:
            parts.append(
                Part("screens", "gate-leaf", "door leaf x", e.way.up(z.ground, z.ground + 3))
            )
    return tuple(parts)


def _leaves(row: Screens, low: int, high: int) -> Iterator[Part]:
    s = row.segment
    role = "screen" if s.boundary == "court" else "partition-screen"
    for i, (x, y) in enumerate(s.way.cells() if s.way else ()):
        if row.leaves[i]:
            track = "leaf pair" if row.leaves[i] == 2 else ("leaf near", "leaf far")[i % 2]
            yield Part("screens", role, f"{track} {s.axis}", Rect(x, y, x + 1, y + 1).up(low, high))
