"""The free floor of a room: where a fitting or a lamp may stand, and what must stay clear."""

from __future__ import annotations

from dataclasses import dataclass

from genhouse.model.room import Room
from genhouse.stages._openings import beside
from genhouse.stages.bays import Bays
from genhouse.stages.rooms import Rooms

Cell = tuple[int, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Floorplan:
    """free: floor cells that nothing stands on.  keep: those that must stay clear to walk on.

    solid_walls: wall cells round the room that stay shut.
    """

    free: frozenset[Cell]
    keep: frozenset[Cell]
    solid_walls: frozenset[Cell]


def floorplan(room: Room, rooms: Rooms, bays: Bays) -> Floorplan:
    """What the walls, the stair and the hearth leave of a room's floor."""
    free = set(room.rect.cells())
    keep: set[Cell] = set()
    solid: set[Cell] = set()
    if room.level == 1:
        free -= set(bays.middle)
    free.discard(rooms.hearth.cell)
    for r in room.sunken:
        keep |= set(r.cells())
    for s in rooms.segments:
        if s.level == room.level and room.id in (s.low, s.high):
            way = set(s.way.cells()) if s.way else set()
            solid |= set(s.cells.cells()) - way
            if s.way and s.opening != "window":
                keep |= {c for w in way for c in beside(s, w) if c in free}
    _stairs(room, rooms, free, keep)
    return Floorplan(free=frozenset(free), keep=frozenset(keep & free), solid_walls=frozenset(solid))


def _stairs(room: Room, rooms: Rooms, free: set[Cell], keep: set[Cell]) -> None:
    """Below, the flight and the floor before its first step; above, the well and the walk round it."""
    stair = rooms.stair
    first, last = stair.run[0], stair.run[-1]
    run = first.hull(last)
    if room.level == 1:
        if room.id == stair.room:
            free -= set(run.cells())
            around = run.grown(1)
            keep |= {c for c in around.cells() if c in free}
            keep |= {c for c in first.grown(2).cells() if c in free}
        return
    free -= set(stair.well.cells())
    free -= set(first.cells())
    keep |= {c for c in run.grown(1).cells() if c in free}

