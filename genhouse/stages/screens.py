"""Screens: sets of sliding leaves, each standing open as far as someone left it."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec.structs import replace

from genhouse.core.draw import Draw
from genhouse.model.elements import Wall
from genhouse.stages.rooms import Rooms
from genhouse.traditions.tradition import Tradition

PUBLIC, PRIVATE = 3, 6
"""Depths from the gate up to which a room stands wide open, and from which it is kept to itself."""
SLID = {"public": (1, 9), "middle": (3, 7), "private": (6, 3), "inner": (5, 2)}
"""Weights of none and one of the leaves slid over its neighbour."""


def plan_screens(rooms: Rooms, tradition: Tradition, draw: Draw) -> tuple[Wall, ...]:
    """The walls, with how far each set of leaves is slid: along a wall a set stands more often than not
    otherwise than its neighbour, and slides to the other hand."""
    found: dict[Wall, Wall] = {}
    for line, sets in _walls(rooms):
        here = draw.at(*line)
        hand, last = here.below(2, "hand"), -1
        for n, s in enumerate(sets):
            count = s.way.area if s.way else 0
            weights = list(SLID[_openness(s, rooms, tradition)])
            if last >= 0:
                weights[last] = (weights[last] + 1) // 2
            last = here.at(n).choice((0, 1), "slid", weights) if count > 1 else 0
            # As high as the plate, they stand shut against the weather.
            leaves = _slide(count, 0 if s.lofty else last, from_low=(hand + n) % 2 == 0)
            found[s] = replace(s, leaves=leaves)
    return tuple(found.get(s, s) for s in rooms.segments)


def _walls(rooms: Rooms) -> Iterator[tuple[tuple[object, ...], list[Wall]]]:
    """Sets of leaves by the wall line they stand in, in order along it."""
    lines: dict[tuple[int, str, int], list[Wall]] = {}
    for s in rooms.segments:
        if s.opening == "screens" and s.way is not None:
            lines.setdefault((s.level, s.axis, s.lie.y0), []).append(s)
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
