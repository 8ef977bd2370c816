"""Lamps: hung from the ceiling below, set on the floor above, until no corner is far from one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from genhouse.core.box import Box
from genhouse.core.draw import Draw
from genhouse.model.design import Placed
from genhouse.model.part import Part
from genhouse.model.room import Room
from genhouse.stages._floorplan import floorplan
from genhouse.stages.bays import Bays
from genhouse.stages.fittings import connected
from genhouse.stages.roof import Roof
from genhouse.stages.rooms import Rooms
from genhouse.traditions import Tradition

Cell = tuple[int, int]
REACH = 5
"""Steps along the axes that a lamp lights well."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lamp:
    """hung: under the ceiling; else it stands on the floor."""

    cell: tuple[int, int, int]
    room: int
    hung: bool


def plan_lamps(
    rooms: Rooms, bays: Bays, roof: Roof, placed: Sequence[Placed], tradition: Tradition, draw: Draw
) -> tuple[Lamp, ...]:
    """Greedy cover of each room's floor."""
    lamps: list[Lamp] = []
    solid = {
        (x + p.cells.x0, y + p.cells.y0, p.room) for p in placed for x in range(p.cells.width) for y in range(p.cells.depth)
    }
    for room in (*rooms.on(1), *rooms.on(2)):
        plan = floorplan(room, rooms, bays)
        floor = set(plan.free)
        if room.level == 1:
            spots = {c for c in floor if c not in set(rooms.stair.well.cells())}
        else:
            stood = {c for c in floor if (*c, room.id) in solid}
            spots = {c for c in floor - stood - plan.keep if connected(floor - stood - {c}, plan.keep)}
        for x, y in _cover(floor, spots, draw.at(room.id)):
            z = room.ceiling - 1 if room.level == 1 else room.floor
            lamps.append(Lamp(cell=(x, y, z), room=room.id, hung=room.level == 1))
    return tuple(lamps)


def _cover(floor: set[Cell], spots: set[Cell], draw: Draw) -> list[Cell]:
    dark, chosen = set(floor), []
    while dark and spots:

        def lit(c: Cell) -> int:
            return sum(_steps(c, d) <= REACH for d in dark)

        best = max(sorted(spots), key=lambda c: (lit(c), -_off(c, floor), draw.word(f"{c}")))
        if not lit(best):
            break
        chosen.append(best)
        spots = {c for c in spots if _steps(c, best) > 1}
        dark = {d for d in dark if _steps(best, d) > REACH}
    return chosen


def _steps(a: Cell, b: Cell) -> int:
    return abs(a[0] - b[0]) + abs(a[1] - b[1])


def _off(cell: Cell, floor: set[Cell]) -> int:
    """How far from the middle of the room, doubled."""
    xs, ys = [c[0] for c in floor], [c[1] for c in floor]
    return abs(2 * cell[0] - min(xs) - max(xs)) + abs(2 * cell[1] - min(ys) - max(ys))


def lamps_parts(lamps: Sequence[Lamp]) -> tuple[Part, ...]:
    return tuple(
        Part("lamps", "lamp", "hanging lamp" if lamp.hung else "standing lamp", Box.cell(*lamp.cell)) for lamp in lamps
    )
