"""Lamps: the fewest that bring the brief's light to every corner, as large as their room's task asks.

Below, paper lamps hang from the ceiling.  Above, where the roof has no level ceiling, lamps are
bracketed to the rafters; to the walls only for what none of these reach, under a high ceiling.  Along
the verandas, brackets on the posts help the garden's stone lamps, and such on the walls where these leave
a walk dark; galleries have lamps on their balustrades.  What a lamp brings is worked out with all that
stands in the way; only light that arrives straight counts, on the level of one's feet.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import reduce

import numpy as np
from msgspec import Struct

from genhouse.core.box import Rect
from genhouse.core.draw import Draw
from genhouse.core.errors import InfeasibleError
from genhouse.core.solids import Ints
from genhouse.model.elements import Lamp
from genhouse.model.laid import Laid
from genhouse.model.palette import Palette
from genhouse.model.room import GALLERY, OUTER, TERRACE, Room
from genhouse.stages.furnishing.floorplan import Floor
from genhouse.stages.lighting.light import Burning, Place, by_all, places_of
from genhouse.stages.lighting.places import Built, Spot
from genhouse.stages.lighting.search import Task, choices
from genhouse.stages.lighting.sizes import mean
from genhouse.stages.outdoors import of_courts
from genhouse.stages.rooms import Rooms
from genhouse.traditions.tradition import Tradition

OUTDOORS = 10
"""Courts, verandas and galleries get so many times less light than rooms (common practice for paths)."""


class FloorLight(Struct, frozen=True, kw_only=True, eq=False):
    """How light a floor is to be.  points: where one stands, in eighths [P, 3].  amount: millilux [P]."""

    room: int
    points: Ints
    amount: Ints


@dataclass(frozen=True, slots=True, kw_only=True)
class Lighting:
    """lamps: in the order of rooms.  fewest: (room, lamps that no placing can go below).

    floors: what all lamps bring to each room, and to each court with its walks, in the same order.
    """

    lamps: tuple[Spot, ...]
    fewest: tuple[tuple[int, int], ...]
    floors: tuple[FloorLight, ...] = field(compare=False)

    @property
    def means(self) -> tuple[tuple[int, int], ...]:
        """(room, millilux on the mean), in the same order, where anyone stands."""
        return tuple((f.room, mean(f.amount)) for f in self.floors if len(f.amount))


def plan_lamps(
    rooms: Rooms,
    floors: Sequence[Floor],
    laid: Laid,
    palette: Palette,
    light: int,
    tradition: Tradition,
    draw: Draw,
) -> Lighting:
    """Light every indoor room, then the courts.

    laid: all that stands before.  light: lux that every floor wants; on the mean a room wants what its
    kind asks, which its lamps bring as far as they can.
    Raises InfeasibleError where no lamps bring that to some room.
    """
    built = Built.of(laid, palette, tradition)
    lumens = {use: material.lumens for use, material in tradition.made_of(palette).items()}
    by_id = {room.id: room for room in rooms.rooms}
    inside = [((by_id[floor.room],), 1000 * light, floor) for floor in floors]
    dim = max(1, 1000 * light // OUTDOORS)
    outside = [(some, dim, None) for some in _outside(rooms)]
    tasks = [1000 * tradition.kind(room.kind).light[0] for (room,), *_ in inside]
    places = places_of(built, (*inside, *outside), [*tasks, *(0 for _ in outside)])
    fixed = _burning(built, places)
    task = Task(
        built=built,
        places=places,
        fixed=fixed,
        lumens=lumens,
        word=draw.word("lamp") | 1,
    )
    chosen = dict(zip((place.rooms[0] for place in places), choices(task), strict=True))
    lamps = tuple(spot for choice in chosen.values() for spot in choice.lamps)
    for room, choice in chosen.items():
        if room.indoor and not choice.enough:
            short = choice.points[choice.light < 1000 * light]
            darkest = int(by_all(built, lamps, fixed, lumens, short).min())
            if darkest < 1000 * light:
                raise InfeasibleError(
                    f"light: no lamps bring {light} lux to every corner of room {room.id} "
                    f"({room.kind}); one is left with {darkest // 1000}",
                    stage="lamps",
                )
    return Lighting(
        lamps=lamps,
        fewest=tuple((room.id, choice.fewest) for room, choice in chosen.items()),
        floors=tuple(
            FloorLight(room=room.id, points=choice.points, amount=choice.light)
            for room, choice in chosen.items()
        ),
    )


def _outside(rooms: Rooms) -> Iterator[tuple[Room, ...]]:
    """Each court with its veranda and the galleries over that; each terrace and outer veranda."""
    for court, verandas in of_courts(rooms.rooms):
        walks = (room for room in rooms.rooms if room.kind == GALLERY)
        over = reduce(Rect.hull, (veranda.rect for veranda in verandas))
        yield (court, *verandas, *(walk for walk in walks if over.meet(walk.rect).area))
    yield from ((room,) for room in rooms.rooms if room.kind in (TERRACE, OUTER))


def _burning(built: Built, places: Sequence[Place]) -> Burning:
    """The lamps and fires that earlier stages set, each with the place that it is in."""
    boxes = [(n, *b) for n, p in enumerate(places) for room in p.rooms for b in room.volume()]
    volume = np.array(boxes, dtype=np.int32)
    low, high, cell = volume[:, 1:4], volume[:, 4:], built.burning[:, None, :3]
    lamp, box = np.nonzero(((low <= cell) & (cell < high)).all(axis=2))
    burning = built.burning[lamp]
    return Burning(place=volume[box, 0], at=burning[:, 3:6], lumens=burning[:, 6])


def hung_lamps(lamps: Sequence[Spot]) -> tuple[Lamp, ...]:
    return tuple(spot.lamp for spot in lamps)
