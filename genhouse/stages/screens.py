"""Screens: sliding leaves on two tracks, each set standing open as far as someone left it; and doors."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from genhouse.core.box import Rect
from genhouse.core.draw import Draw
from genhouse.model.elements import Wall
from genhouse.model.part import Part
from genhouse.stages.rooms import Rooms
from genhouse.traditions.loader import Tradition


@dataclass(frozen=True, slots=True, kw_only=True)
class Screens:
    """One row of leaves in a segment.  leaves: for each cell of its way, how many stand in it (0 to 2)."""

    segment: Wall
    leaves: tuple[int, ...]

    @property
    def open(self) -> int:
        """Cells that stand open."""
        return self.leaves.count(0)


PUBLIC, PRIVATE = 3, 6
"""Depths from the gate up to which a room stands wide open, and from which it is kept to itself."""
SLID = {"public": (1, 9), "middle": (3, 7), "private": (6, 3), "inner": (5, 2)}
"""Weights of none and one of the leaves slid over its neighbour."""
TRACKS = {1: ("leaf near", "leaf far"), 2: ("leaf near", "leaf near")}
"""The tracks on which leaves stand by turns; to a gallery on one, so that no draught comes between."""


def plan_screens(rooms: Rooms, tradition: Tradition, draw: Draw) -> tuple[Screens, ...]:
    """How far each set of leaves is slid: along a wall a set stands more often than not otherwise
    than its neighbour, and slides to the other hand."""
    found: list[Screens] = []
    for line, sets in _walls(rooms):
        here = draw.at(*line)
        hand, last = here.below(2, "hand"), -1
        for n, s in enumerate(sets):
            count = max(s.way.width, s.way.depth) if s.way else 0
            weights = list(SLID[_openness(s, rooms, tradition)])
            if last >= 0:
                weights[last] = (weights[last] + 1) // 2
            last = here.at(n).choice((0, 1), "slid", weights) if count > 1 else 0
            above = s.level == 2  # as high as the plate, they stand shut against the weather
            leaves = _slide(count, 0 if above else last, from_low=(hand + n) % 2 == 0)
            found.append(Screens(segment=s, leaves=leaves))
    return tuple(found)


def _walls(rooms: Rooms) -> Iterator[tuple[tuple[object, ...], list[Wall]]]:
    """Sets of leaves by the wall line they stand in, in order along it."""
    lines: dict[tuple[int, str, int], list[Wall]] = {}
    for s in rooms.segments:
        if s.opening == "screens" and s.way is not None:
            at = s.cells.y0 if s.axis == "x" else s.cells.x0
            lines.setdefault((s.level, s.axis, at), []).append(s)
    for line in sorted(lines):
        yield line, sorted(lines[line], key=lambda s: s.cells[:2])


def _openness(s: Wall, rooms: Rooms, tradition: Tradition) -> str:
    """Rooms that visitors see open wide to the court; leaves between two rooms mostly stand shut."""
    if s.boundary != "court":
        return "inner"
    kinds = [r.kind for r in rooms.rooms if r.indoor and r.id in (s.low, s.high)]
    depth = max(tradition.kind(kind).depth for kind in kinds)
    return "public" if depth <= PUBLIC else "private" if depth >= PRIVATE else "middle"


def _slide(count: int, slid: int, *, from_low: bool) -> tuple[int, ...]:
    """The leaf at one end over its neighbour, if one is slid."""
    leaves = [0, 2, *[1] * (count - 2)] if slid else [1] * count
    return tuple(leaves if from_low else leaves[::-1])


def screens_parts(
    rooms: Rooms, screens: tuple[Screens, ...], tradition: Tradition
) -> tuple[Part, ...]:
    """Leaves, hinged doors and gate leaves."""
    first = tradition.storeys[0]
    parts: list[Part] = []
    for row in screens:
        storey = tradition.storeys[row.segment.level - 1]
        high = storey.head + 1 if row.segment.level == 2 else storey.lintel
        parts += _leaves(row, storey.floor, high)
    fronts = {e.way for e in rooms.entrances if e.kind == "front"}
    for s in rooms.segments:
        if s.opening in ("door", "entrance") and s.way is not None:
            low = first.slab if s.way in fronts else first.floor
            parts.append(
                Part("screens", "door", f"door leaf {s.axis}", s.way.up(low, first.lintel))
            )
    for e in rooms.entrances:
        if e.kind == "front" and e.room == 0:
            parts.append(
                Part("screens", "gate-leaf", "door leaf x", e.way.up(first.slab, first.slab + 3))
            )
    return tuple(parts)


def _leaves(row: Screens, low: int, high: int) -> Iterator[Part]:
    s = row.segment
    role = "screen" if s.boundary == "court" else "partition-screen"
    for i, (x, y) in enumerate(s.way.cells() if s.way else ()):
        if row.leaves[i]:
            track = "leaf pair" if row.leaves[i] == 2 else TRACKS[s.level][i % 2]
            yield Part("screens", role, f"{track} {s.axis}", Rect(x, y, x + 1, y + 1).up(low, high))
