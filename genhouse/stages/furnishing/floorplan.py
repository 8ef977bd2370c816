"""The floor of a room as bits: where a fitting or a lamp may stand, and what must stay clear.

A set of cells is one whole number, a bit a cell, so that a flood fill is a few shifts.  Rows are one
bit wider than the room: nothing leaks from the end of one row to the start of the next.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence

from msgspec import Struct
from msgspec.structs import replace

from genhouse.core.box import Rect
from genhouse.model.elements import Placed, Wall
from genhouse.model.room import Room
from genhouse.stages.bays import Bays
from genhouse.stages.furnishing.stances import block
from genhouse.stages.roof import Roof
from genhouse.stages.roofs.slopes import Field
from genhouse.stages.rooms import Rooms
from genhouse.stages.ways.hearths import Hearth

Cell = tuple[int, int]


class Floor(Struct, frozen=True, kw_only=True):
    """free: cells nothing stands on.  keep: those that must stay clear to walk on.

    hug: cells along a wall that stays shut.  lit: those before a window.
    court: those along a side that gives on a court or veranda.
    flue: cells on one of which a fire has to stand: beside the flue, or past the wall at its back.
    high: cells with at least 1, 2, .. layers under the roof.
    """

    room: int
    rect: Rect
    free: int = 0
    keep: int = 0
    hug: int = 0
    lit: int = 0
    court: int = 0
    flue: int = 0
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

    def block(self, rect: tuple[int, int, int, int]) -> int:
        """The cells of a rectangle, as far as they lie in the room."""
        x0, y0, x1, y1 = self.rect
        left, low, right, top = rect
        left, low = left if left > x0 else x0, low if low > y0 else y0
        right, top = right if right < x1 else x1, top if top < y1 else y1
        if right <= left or top <= low:
            return 0
        stride = x1 - x0 + 1
        return block(right - left, top - low, stride) << (low - y0) * stride + left - x0

    def cells(self, bits: int) -> Iterator[Cell]:
        """The cells of a set, row by row."""
        while bits:
            low = bits & -bits
            y, x = divmod(low.bit_length() - 1, self.stride)
            yield (x + self.rect.x0, y + self.rect.y0)
            bits ^= low

    def spread(self, bits: int) -> int:
        """A set and its neighbours by sides; it may reach past the room's edge."""
        return bits | bits << 1 | bits >> 1 | bits << self.stride | bits >> self.stride

    def around(self, bits: int) -> int:
        """A set and its neighbours by sides and corners; it may reach past the room's edge."""
        row = bits | bits << 1 | bits >> 1
        return row | row << self.stride | row >> self.stride

    def connected(self, free: int, wanted: int) -> bool:
        """Whether the free cells are one piece that holds all the wanted ones.

        A sum carries what is reached to the end of its row; what is alone need not be looked for.
        """
        stride, here = self.stride, free & -free
        if wanted & ~free:
            return False
        if free & ~(free << 1 | free >> 1 | free << stride | free >> stride):
            return here == free
        before = 0
        while here != before:
            before = here
            here |= free & ~(free + here)
            here |= (here << stride | here >> stride | here >> 1) & free
            here |= (here << stride | here >> 1) & free
        return here == free


def floorplans(rooms: Rooms, bays: Bays, roof: Roof) -> tuple[Floor, ...]:
    """The floor of every indoor room, lower storey first."""
    walls: dict[int, list[Wall]] = {room.id: [] for room in rooms.rooms}
    for s in rooms.segments:
        for number in {s.low, s.high}:
            if number in walls:
                walls[number].append(s)
    return tuple(
        _floor(room, walls[room.id], rooms, posts, roof.clear)
        for room in sorted(rooms.rooms, key=lambda room: room.level)
        if room.indoor
        for posts in (roof.posts if room.to_roof else bays.middle,)
    )


def _floor(
    room: Room, walls: Sequence[Wall], rooms: Rooms, posts: Collection[Cell], clear: Field
) -> Floor:
    """What the walls, the stair, the hearth and posts leave of a room's floor."""
    r = room.rect
    blank = Floor(room=room.id, rect=r)
    whole = blank.block(r)
    hearth = blank.bit(*rooms.hearth.cell)
    free = whole & ~hearth & ~blank.bits(posts)
    if rooms.screen is not None and room.level == 1:
        free &= ~blank.block(rooms.screen)
    here = [s for s in walls if s.level == room.level]
    keep, hug, lit, court = _sides(blank, here)
    stepped = (s for s in here if s.way is not None and s.passable and s.floor > room.floor)
    hood = blank.bit(*rooms.hearth.before) if room.id == rooms.hearth.room else 0
    for s in stepped:  # beside a step nothing stands on which one could climb from it
        beside = blank.around(_inside(blank, s, s.way)) if s.way is not None else 0
        keep |= blank.spread(beside) if beside & hood else beside  # too low to step up under
    keep |= blank.bits(c for part in room.sunken for c in part.cells())
    taken, round_stair = _stairs(room, rooms, blank)
    free &= ~taken
    return Floor(
        room=room.id,
        rect=r,
        free=free,
        keep=(keep | round_stair) & free,
        hug=hug,
        lit=lit,
        court=court,
        flue=_flue(room, rooms.hearth, blank),
        high=_heights(room, blank, clear) if room.to_roof else (whole,) * LAYERS,
    )


def _flue(room: Room, hearth: Hearth, blank: Floor) -> int:
    """Cells on which a fire stands by the flue."""
    if room.id == hearth.room:
        return blank.spread(blank.bit(*hearth.cell))
    return blank.bit(*hearth.beyond) if room.id == hearth.behind else 0


def _sides(blank: Floor, walls: Sequence[Wall]) -> tuple[int, int, int, int]:
    """Cells inside its walls: those to keep for walking, before shut walls, windows and a court."""
    keep = hug = lit = court = 0
    for s in walls:
        if s.boundary == "open":
            continue
        inside = _inside(blank, s, s.cells)
        way = _inside(blank, s, s.way) if s.way is not None else 0
        if s.boundary == "court":
            court |= inside
        if s.opening == "window":
            lit |= way
        else:
            keep |= way
        hug |= inside & ~way
    return keep, hug & ~keep, lit, court


def _inside(blank: Floor, segment: Wall, cells: Rect) -> int:
    """The room's cells beside part of a wall."""
    a0, b0, a1, b1 = cells.lie(segment.axis)
    return blank.block(Rect(a0, b0 - 1, a1, b1 + 1).lie(segment.axis))


LAYERS = 3
"""Layers of pieces that a room may ask about."""


def _heights(room: Room, blank: Floor, clear: Field) -> tuple[int, ...]:
    """Cells where 1, 2, .. layers of pieces fit below the roof.  clear: half cells, by cell."""
    r, stride = room.rect, blank.stride
    rows = clear[r.x0 : r.x1, r.y0 : r.y1].T.tolist()
    levels, enough = [blank.block(r)] * LAYERS, 2 * (room.floor + LAYERS)
    for y, row in enumerate(rows):
        for x in [x for x, half in enumerate(row) if half < enough]:
            for n in range(max(0, row[x] // 2 - room.floor), LAYERS):
                levels[n] &= ~(1 << y * stride + x)
    return tuple(levels)


def _stairs(room: Room, rooms: Rooms, blank: Floor) -> tuple[int, int]:
    """What flights take of a floor, and what must stay clear round them: before the first step of one that
    rises here, round the well of one that comes up."""
    taken = clear = 0
    for stair in rooms.stairs:
        run = stair.run[0].hull(stair.run[-1])
        if stair.room == room.id:
            taken |= blank.block(run)
            clear |= blank.block(run.grown(1)) | blank.block(stair.run[0].grown(2))
        elif stair in rooms.flights(room.level - 1):
            taken |= blank.block(run) & ~blank.block(stair.run[-1])
            clear |= blank.block(run.grown(1))
    return taken, clear


def kept_for(placed: Sequence[Placed], floors: Sequence[Floor]) -> tuple[Floor, ...]:
    """The floors of furnished rooms: the cells from which fittings are used stay clear as well."""
    uses: dict[int, list[Cell]] = {}
    for fitting in placed:
        uses.setdefault(fitting.room, []).extend(fitting.use)
    return tuple(
        replace(floor, keep=floor.keep | (floor.bits(uses.get(floor.room, ())) & floor.free))
        for floor in floors
    )
