"""How light every floor of a house is: lamps at night, open sky by day.

On the level of one's feet, from light that arrives straight: nothing thrown back by walls counts, and
of lamps only those in the room itself (paper between rooms scatters what it lets through), as long as
these bring the least that is asked for.
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct

from genhouse.core.axes import STEP
from genhouse.core.light import lit
from genhouse.core.sky import Floats, sky_component
from genhouse.core.solids import Bool, Ints
from genhouse.model.brief import LAMPLIGHT
from genhouse.model.lighting import dark, floors, lamps_of, opaque
from genhouse.model.room import OUTSIDE
from genhouse.model.voxels import Voxels

OUTDOORS = 0
"""Stands for every court and veranda together: their lamps light each other's ground."""


FAINT = 10
"""Millilux up to which one lamp's light is left out of account."""


class RoomLight(Struct, frozen=True, kw_only=True, eq=False):
    """cells: int [P, 3], the floor cells that one walks on.  points: in eighths, [P, 3].

    lux: [P], by lamps, in the middle of each cell.  lamps: how many hang or stand in it, or on its rail.
    """

    room: int
    kind: str
    level: int
    indoor: bool
    cells: Ints
    points: Ints
    lux: Floats
    lamps: int


def house_light(
    voxels: Voxels, walked: Bool, above: int = 0, least: int = LAMPLIGHT
) -> tuple[RoomLight, ...]:
    """Every room, court and veranda at night, in the order of the room table.

    walked: bool [X, Y, Z], the cells that count.  above: quarter cells from one's feet to what is lit.
    least: lux; a floor indoors that its own lamps leave below it has the light of all others too.
    """
    lamps = lamps_of(voxels)
    inside = _rooms_of(voxels, lamps.cells)
    cells, points, room = floors(voxels, walked)
    points[:, 2] += 2 * above
    place = _places(voxels)
    own = (lamps.lumens, lamps.at, place[inside])
    amount = lit(dark(voxels), own, (points, place[room]), FAINT).sums(len(points))
    short = np.flatnonzero((amount < 1000 * least) & (place[room] != OUTDOORS))
    if short.size:
        every = (lamps.lumens, lamps.at, np.zeros_like(inside))
        amount[short] = lit(
            dark(voxels), every, (points[short], np.zeros_like(room[short])), FAINT
        ).sums(short.size)
    lux = amount / 1000
    return tuple(
        RoomLight(
            room=entry.id,
            kind=entry.kind,
            level=entry.level,
            indoor=entry.indoor,
            cells=cells[room == entry.id],
            points=points[room == entry.id],
            lux=lux[room == entry.id],
            lamps=int((inside == entry.id).sum()),
        )
        for entry in voxels.about.rooms
    )


def _rooms_of(voxels: Voxels, cells: Ints) -> Ints:
    """The room that each cell [N, 3] is in, or that it is beside, as on the rail of a gallery: [N]."""
    x, y, z = cells.T
    room = voxels.room[x, y, z]
    for dx, dy in STEP.values():
        i, j = (np.clip(a, 0, n - 1) for a, n in zip((x + dx, y + dy), voxels.size, strict=False))
        room = np.where(room == OUTSIDE, voxels.room[i, j, z], room)
    return np.asarray(room, dtype=np.int32)


def _places(voxels: Voxels) -> Ints:
    """By room number, what its lamps light: itself, or all outdoors."""
    place = np.full(int(voxels.room.max()) + 1, -1, dtype=np.int32)
    place[OUTSIDE] = OUTDOORS
    for entry in voxels.about.rooms:
        if entry.id < len(place):
            place[entry.id] = entry.id if entry.indoor else OUTDOORS
    return place


def daylight(voxels: Voxels, rooms: tuple[RoomLight, ...]) -> tuple[Floats, ...]:
    """For each room the sky component of each of its floor cells, 0 to 1, under an overcast sky.

    Whatever is clear, paper too, lets all light pass: with the screens open, so to speak.
    """
    points = np.concatenate([np.zeros((0, 3), dtype=np.int32), *(room.points for room in rooms)])
    sky = sky_component(opaque(voxels), points, sky="overcast")
    return tuple(np.split(sky, np.cumsum([len(room.points) for room in rooms])[:-1]))


TARGET, LEAST = (0.021, 0.50), (0.007, 0.95)
"""EN 17037:2018, minimum level, London's sky: a daylight factor, and the part of a floor that has it."""


def provided(sky: Floats) -> bool:
    """Whether a floor has the daylight that EN 17037 calls the minimum, by what comes straight."""
    return bool(sky.size) and all((sky >= least).mean() >= part for least, part in (TARGET, LEAST))
