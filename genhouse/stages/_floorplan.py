"""The floor of a room as bits: where a fitting or a lamp may stand, and what must stay clear.

A set of cells is one whole number, a bit a cell, so that a flood fill is a few shifts.  Rows are one
bit wider than the room: nothing leaks from the end of one row to the start of the next.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from genhouse.core.box import Rect
from genhouse.model.room import Room
from genhouse.stages._openings import beside
from genhouse.stages.bays import Bays
from genhouse.stages.roof import Roof
from genhouse.stages.rooms import Rooms

Cell = tuple[int, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Floor:
    """free: cells nothing stands on.  keep: those that must stay clear to walk on.

    hug: cells along a wall that stays shut.  corners: its four.
    high: cells with at least 1, 2, .. layers under the roof.
    """

    room: int
    rect: Rect
    free: int = 0
    keep: int = 0
    hug: int = 0
    corners: int = 0
    high: tuple[int, ...] = ()

    @property
    def stride(self) -> int:
        return self.rect.width + 1

    def bit(self, x: int, y: int) -> int:
        """One cell; 0 outside the room."""
        if not self.rect.has(x, y):
            return 0
        return 1 << (y - self.rect.y0) * self.stride + (x - self.rect.x0)

    def bits(self, cells: Iterable[Cell]) -> int:
        total = 0
        for x, y in cells:
            total |= self.bit(x, y)
        return total

    def cells(self, bits: int) -> Iterator[Cell]:
        """The cells of a set, row by row."""
        while bits:
            low = bits & -bits
            y, x = divmod(low.bit_length() - 1, self.stride)
            yield (x + self.rect.x0, y + self.rect.y0)
            bits ^= low

    def shifted(self, bits: int, x: int, y: int) -> int:
        """A pattern drawn at the room's south-west corner, moved so that its origin lies on (x, y)."""
        return bits << (y - self.rect.y0) * self.stride + (x - self.rect.x0)

    def spread(self, bits: int) -> int:
        """A set and its neighbours by sides; it may reach past the room's edge."""
        return bits | bits << 1 | bits >> 1 | bits << self.stride | bits >> self.stride

    def connected(self, free: int, wanted: int) -> bool:
        """Whether the free cells are one piece that holds all the wanted ones."""
        if wanted & ~free:
            return False
        here = free & -free
        while (grown := self.spread(here) & free) != here:
            here = grown
        return here == free


def floorplans(rooms: Rooms, bays: Bays, roof: Roof) -> tuple[Floor, ...]:
    """The floor of every indoor room, lower storey first."""
    return tuple(_floor(room, rooms, bays, roof) for room in (*rooms.on(1), *rooms.on(2)))


def _floor(room: Room, rooms: Rooms, bays: Bays, roof: Roof) -> Floor:
    """What the walls, the stair and the hearth leave of a room's floor."""
    blank = Floor(room=room.id, rect=room.rect)
    free, keep, hug = blank.bits(room.rect.cells()), 0, 0
    if room.level == 1:
        free &= ~blank.bits(bays.middle)
    free &= ~blank.bit(*rooms.hearth.cell)
    keep |= blank.bits(c for r in room.sunken for c in r.cells())
    for s in rooms.segments:
        if s.level == room.level and room.id in (s.low, s.high):
            walked = s.way is not None and s.opening != "window"
            for cell in s.cells.cells():
                inside = blank.bits(beside(s, cell))
                if walked and s.way is not None and s.way.has(*cell):
                    keep |= inside
                else:
                    hug |= inside
    taken, clear = _stairs(room, rooms, blank)
    free &= ~taken
    r = room.rect
    return Floor(
        room=room.id,
        rect=r,
        free=free,
        keep=(keep | clear) & free,
        hug=hug,
        corners=blank.bits((x, y) for x in (r.x0, r.x1 - 1) for y in (r.y0, r.y1 - 1)),
        high=tuple(blank.bits(_under(room, roof, n)) for n in (1, 2, 3)),
    )


def _under(room: Room, roof: Roof, layers: int) -> Iterator[Cell]:
    """Cells where a piece of so many layers fits below the roof."""
    if not room.to_roof:
        return room.rect.cells()
    least = 2 * (room.floor + layers)
    return (c for c in room.rect.cells() if roof.clear(*c) >= least)


def _stairs(room: Room, rooms: Rooms, blank: Floor) -> tuple[int, int]:
    """What a flight takes of a floor, and what must stay clear round it: before its first step
    below, round the well above."""
    stair = rooms.stair
    first = stair.run[0]
    run = first.hull(stair.run[-1])
    if room.level == 1 and room.id != stair.room:
        return 0, 0
    clear = blank.bits(run.grown(1).cells())
    if room.level == 1:
        return blank.bits(run.cells()), clear | blank.bits(first.grown(2).cells())
    return blank.bits(run.cells()) & ~blank.bits(stair.run[-1].cells()), clear
