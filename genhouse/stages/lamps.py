"""Lamps: hung from the ceiling below, set on the floor above, until no corner is far from one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from genhouse.core.box import Box
from genhouse.core.draw import WORD, Draw
from genhouse.model.design import Placed
from genhouse.model.part import Part
from genhouse.stages._floorplan import Floor
from genhouse.stages.rooms import Rooms

REACH = 5
"""Steps along the axes that a lamp lights well."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lamp:
    """hung: under the ceiling; else it stands on the floor."""

    cell: tuple[int, int, int]
    room: int
    hung: bool


def plan_lamps(
    rooms: Rooms, floors: Sequence[Floor], placed: Sequence[Placed], draw: Draw
) -> tuple[Lamp, ...]:
    """Greedy cover of each room's floor."""
    by_id = {room.id: room for room in rooms.rooms}
    lamps: list[Lamp] = []
    for floor in floors:
        room = by_id[floor.room]
        hung = room.level == 1
        here = [p for p in placed if p.room == room.id]
        stood = floor.bits(c for p in here for c in p.cells.cells())
        keep = floor.keep | floor.bits(c for p in here for c in p.use)
        lit = _cover(floor, 0 if hung else stood, keep, draw.at(room.id), hung=hung)
        z = room.ceiling - 1 if hung else room.floor
        lamps += [Lamp(cell=(x, y, z), room=room.id, hung=hung) for x, y in floor.cells(lit)]
    return tuple(lamps)


def _cover(floor: Floor, stood: int, keep: int, draw: Draw, *, hung: bool) -> int:
    """Cells for lamps, most newly lit floor first; a lamp on the floor cuts nothing off."""
    word = draw.word("lamp") | 1
    open_floor = floor.free & ~stood
    spots = [
        (floor.bit(x, y), _lit(floor, x, y), _off(floor, x, y), (i + 1) * word & WORD)
        for i, (x, y) in enumerate(floor.cells(open_floor if hung else open_floor & ~keep))
    ]
    dark, lamps = floor.free, 0
    while dark:
        ranked = sorted(spots, key=lambda s: (-(s[1] & dark).bit_count(), s[2], s[3]))
        chosen = next(
            (s for s in ranked if hung or floor.connected(open_floor & ~lamps & ~s[0], keep)), None
        )
        if chosen is None or not chosen[1] & dark:
            break
        lamps |= chosen[0]
        dark &= ~chosen[1]
        spots.remove(chosen)
    return lamps


def _lit(floor: Floor, x: int, y: int) -> int:
    reached = floor.bit(x, y)
    for _ in range(REACH):
        reached = floor.spread(reached) & floor.high[0]
    return reached


def _off(floor: Floor, x: int, y: int) -> int:
    """How far from the middle of the room, doubled."""
    r = floor.rect
    return abs(2 * x + 1 - r.x0 - r.x1) + abs(2 * y + 1 - r.y0 - r.y1)


def lamps_parts(lamps: Sequence[Lamp]) -> tuple[Part, ...]:
    forms = {True: "hanging lamp", False: "standing lamp"}
    return tuple(Part("lamps", "lamp", forms[lamp.hung], Box.cell(*lamp.cell)) for lamp in lamps)
