"""The cells of floor over which lamps may go, of many rooms in one table."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from msgspec import Struct

from genhouse.core.solids import Bool, Ints, Whole
from genhouse.model.room import Room
from genhouse.stages.furnishing.floorplan import Floor


class Ground(Struct, frozen=True, kw_only=True, eq=False):
    """Cells of floor.  place: the number of what each belongs to [N].  at: [N, 3].  ceiling: [N].

    free: nothing is planned there.  inner: not along the walls.
    to_roof: under no level ceiling.
    """

    place: Ints
    at: Ints
    ceiling: Ints
    free: Bool
    inner: Bool
    to_roof: Bool

    def __len__(self) -> int:
        return len(self.place)

    def __getitem__(self, which: Bool) -> Ground:
        n = np.flatnonzero(which)
        return Ground(
            place=self.place[n],
            at=self.at.take(n, axis=0),
            ceiling=self.ceiling[n],
            free=self.free[n],
            inner=self.inner[n],
            to_roof=self.to_roof[n],
        )

    @classmethod
    def of_rooms(cls, rooms: Sequence[tuple[int, Room, Floor]]) -> Ground:
        """Of rooms with their floors, each with the number of its place."""
        rects = _table([floor.rect for _, _, floor in rooms])
        which, x, y = cells_of(rects)
        x0, y0, x1, y1 = rects[which].T
        place, z, ceiling, to_roof = _table(
            [(n, room.floor, room.ceiling, room.to_roof) for n, room, _ in rooms]
        )[which].T
        size = max((floor.stride * floor.rect.depth for _, _, floor in rooms), default=0) // 8 + 1
        bit = 8 * size * which + (y - y0) * (x1 - x0 + 1) + x - x0
        free = b"".join([floor.free.to_bytes(size, "little") for _, _, floor in rooms])
        bits = np.unpackbits(np.frombuffer(free, dtype=np.uint8), bitorder="little")
        return cls(
            place=place,
            at=np.stack((x, y, z), axis=1),
            ceiling=ceiling,
            free=bits[bit] > 0,
            inner=(x0 < x) & (x < x1 - 1) & (y0 < y) & (y < y1 - 1),
            to_roof=to_roof > 0,
        )

    @classmethod
    def of_walks(cls, walks: Sequence[tuple[int, Room]]) -> Ground:
        """Of walks in the open, each with the number of its place."""
        number, at = floor_cells([room for _, room in walks])
        place, ceiling, to_roof = _table([(n, r.ceiling, r.to_roof) for n, r in walks], 3)[number].T
        no = np.zeros(len(at), dtype=bool)
        return cls(
            place=place,
            at=at,
            ceiling=ceiling,
            free=~no,
            inner=no,
            to_roof=to_roof > 0,
        )


def cells_of(rects: Ints) -> tuple[Whole, Ints, Ints]:
    """All cells of some rectangles [R, 4], row by row: the number of its rectangle, x and y, each [N]."""
    x0, y0, x1, y1 = rects.T
    wide = x1 - x0
    number = wide * (y1 - y0)
    which = np.arange(len(rects)).repeat(number)
    nth = np.arange(len(which), dtype=np.int32) - (number.cumsum(dtype=np.int32) - number)[which]
    y, x = np.divmod(nth, wide[which])
    return which, x + x0[which], y + y0[which]


def floor_cells(rooms: Sequence[Room]) -> tuple[Whole, Ints]:
    """The lowest cell of each column of some rooms: the number of its room [N]; where it is [N, 3]."""
    numbers = [n for n, room in enumerate(rooms) for _ in room.rects]
    which, x, y = cells_of(_table([rect for room in rooms for rect in room.rects]))
    number = np.array(numbers, dtype=np.intp)[which]
    z = np.array([room.floor for room in rooms], dtype=np.int32)[number]
    sunk = np.zeros(len(z), dtype=bool)
    for n, room in enumerate(rooms):
        for x0, y0, x1, y1 in room.sunken:
            sunk |= (number == n) & (x >= x0) & (x < x1) & (y >= y0) & (y < y1)
    return number, np.stack((x, y, z - sunk), axis=1)


def _table(rows: Sequence[Sequence[int]], wide: int = 4) -> Ints:
    return np.array(rows, dtype=np.int32).reshape(-1, wide)
