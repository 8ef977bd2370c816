"""The cells of floor over which lamps may go, of many rooms in one table."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from genhouse.core.light import Bool, Ints
from genhouse.model.room import Room
from genhouse.stages._floorplan import Floor


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Ground:
    """Cells of floor.  place: the number of what each belongs to [N].  at: [N, 3].  ceiling: [N].

    free: nothing is planned there.  keep: it must stay passable.  inner: not along the walls.
    to_roof: under no level ceiling.
    """

    place: Ints
    at: Ints
    ceiling: Ints
    free: Bool
    keep: Bool
    inner: Bool
    to_roof: Bool

    @classmethod
    def of_rows(cls, rows: Sequence[tuple[int, ...]]) -> Ground:
        table = np.array(rows, dtype=np.int32).reshape(-1, 9)
        free, keep, inner, to_roof = table[:, 5:].T > 0
        return cls(
            place=table[:, 0],
            at=table[:, 1:4],
            ceiling=table[:, 4],
            free=free,
            keep=keep,
            inner=inner,
            to_roof=to_roof,
        )

    def __getitem__(self, which: Bool) -> Ground:
        return Ground(
            place=self.place[which],
            at=self.at[which],
            ceiling=self.ceiling[which],
            free=self.free[which],
            keep=self.keep[which],
            inner=self.inner[which],
            to_roof=self.to_roof[which],
        )


def floor_rows(n: int, room: Room, floor: Floor) -> Iterator[tuple[int, ...]]:
    """The rows of place ``n``, a room with its floor."""
    x0, y0, x1, y1 = floor.rect
    for y in range(y0, y1):
        first = (y - y0) * floor.stride
        free, keep = floor.free >> first, floor.keep >> first
        for x in range(x0, x1):
            inner = x0 < x < x1 - 1 and y0 < y < y1 - 1
            bit = x - x0
            flags = (free >> bit & 1, keep >> bit & 1, inner, room.to_roof)
            yield (n, x, y, room.floor, room.ceiling, *flags)


def walk_rows(n: int, rooms: Iterable[Room]) -> Iterator[tuple[int, ...]]:
    """The rows of place ``n``, walks in the open."""
    for room in rooms:
        for r in room.rects:
            for x, y in r.cells():
                yield (n, x, y, room.floor, room.ceiling, 1, 0, 0, room.to_roof)


def floor_cells(room: Room) -> list[tuple[int, int, int]]:
    """The lowest cell of each column of a room."""
    cells = [c for r in room.rects for c in r.cells()]
    if not room.sunken:
        return [(x, y, room.floor) for x, y in cells]
    return [(x, y, room.floor - any(low.has(x, y) for low in room.sunken)) for x, y in cells]
