"""Lamps: the fewest that bring the brief's light to every corner, each kind in its place.

Below, paper lamps hang from the ceiling.  Above, where the roof has no level ceiling, lamps are
bracketed to the rafters, and where that is not enough to the wall plate, or set on high tables.  Along
the verandas, brackets on the posts help the garden's stone lamps, and galleries have theirs flat under
the eaves.  What a lamp brings is worked out with what stands in the way, its own table too; only light
that arrives straight counts, on the level of one's feet.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import reduce

import numpy as np

from genhouse.core.box import Rect
from genhouse.core.draw import Draw
from genhouse.core.errors import InfeasibleError
from genhouse.core.light import Bool, Ints
from genhouse.model.palette import Palette
from genhouse.model.part import Part
from genhouse.model.room import COURTS, Room
from genhouse.stages._cover import cover
from genhouse.stages._floorplan import Floor
from genhouse.stages._lamp_ground import Ground, floor_rows, walk_rows
from genhouse.stages._lamp_light import Burning, Place, among_themselves, gains, places_of
from genhouse.stages._lamp_places import (
    BRACKETED,
    HIGHEST,
    IN_THE_WAY,
    ON_POST,
    OVERHEAD,
    Built,
    Spot,
    Spots,
    bracketed,
    centre,
    flush,
    hung,
    stood,
)
from genhouse.stages.galleries import KIND as GALLERY
from genhouse.stages.galleries import galleries
from genhouse.stages.rooms import Rooms

OUTDOORS = 10
"""Courts, verandas and galleries get so many times less light than rooms (common practice for paths)."""
TRIES = 8
"""How often lamps are chosen anew where a table of theirs throws a shadow on a floor."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FloorLight:
    """How light a floor is to be.  points: where one stands, in eighths [P, 3].  amount: millilux [P]."""

    room: int
    points: Ints
    amount: Ints


@dataclass(frozen=True, slots=True, kw_only=True)
class Lighting:
    """lamps: in the order of rooms.  fewest: (room, lamps that no placing can go below).

    floors: what all lamps bring to each room or court, in the same order.
    """

    lamps: tuple[Spot, ...]
    fewest: tuple[tuple[int, int], ...]
    floors: tuple[FloorLight, ...] = field(compare=False)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Task:
    """built: what stands before.  fixed: lamps and fires among it.  posts: where any stand, [X, Y].

    lumens: by role.
    """

    built: Built
    places: tuple[Place, ...]
    fixed: Burning
    posts: Bool
    lumens: Mapping[str, int]
    draw: Draw


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Choice:
    """lamps: of one place.  fewest: a bound.  light: on its floor."""

    lamps: tuple[Spot, ...]
    fewest: int
    enough: bool
    light: FloorLight


def plan_lamps(
    rooms: Rooms,
    floors: Sequence[Floor],
    parts: Sequence[Part],
    palette: Palette,
    size: tuple[int, int, int],
    light: int,
    draw: Draw,
) -> Lighting:
    """Light every indoor room, then the courts.

    parts: all that stands before.  size: of the whole in cells.  light: lux that every floor wants.
    Raises InfeasibleError where no lamps bring that to some room.
    """
    task = _task(rooms, floors, parts, palette, size, light, draw)
    found: dict[int, _Choice] = {}
    which: Sequence[int] = range(len(task.places))
    for search in SEARCHES:
        if which:
            found |= zip(which, _choices(task, which, search), strict=True)
        which = [n for n in which if task.places[n].floor and not found[n].enough]
    for n in which:
        room, darkest = task.places[n].rooms[0], int(found[n].light.amount.min())
        raise InfeasibleError(
            f"light: no lamps bring {light} lux to every corner of room {room.id} ({room.kind}); "
            f"one is left with {darkest // 1000}",
            stage="lamps",
        )
    chosen = [found[n] for n in range(len(task.places))]
    return Lighting(
        lamps=tuple(spot for choice in chosen for spot in choice.lamps),
        fewest=tuple((choice.light.room, choice.fewest) for choice in chosen),
        floors=tuple(choice.light for choice in chosen),
    )


def _task(
    rooms: Rooms,
    floors: Sequence[Floor],
    parts: Sequence[Part],
    palette: Palette,
    size: tuple[int, int, int],
    light: int,
    draw: Draw,
) -> _Task:
    built = Built.of(parts, palette, size)
    by_id = {room.id: room for room in rooms.rooms}
    lumens = {role: material.lumens for role, material in palette.roles}
    inside = [((by_id[floor.room],), 1000 * light, floor) for floor in floors]
    dim = max(1, 1000 * light // OUTDOORS)
    places = places_of(built, (*inside, *((some, dim, None) for some in _outside(rooms))))
    posts = np.zeros(size[:2], dtype=bool)
    for part in parts:
        if part.role == "post":
            posts[part.box.x0 : part.box.x1, part.box.y0 : part.box.y1] = True
    return _Task(
        built=built,
        places=places,
        fixed=_burning(parts, places, lumens),
        posts=posts,
        lumens=lumens,
        draw=draw,
    )


def _outside(rooms: Rooms) -> Iterator[tuple[Room, ...]]:
    """Each court with its veranda and the galleries over that."""
    courts = [room for room in rooms.rooms if room.kind in COURTS]
    verandas = [room for room in rooms.rooms if room.kind == "veranda"]
    for court, veranda in zip(courts, verandas, strict=True):
        over = (g for g in galleries(rooms.rooms) if veranda.rect.meet(g.rect).area)
        yield (court, veranda, *over)


def _burning(parts: Sequence[Part], places: Sequence[Place], lumens: Mapping[str, int]) -> Burning:
    """The lamps and fires that earlier stages set, each with the place that it is in."""
    boxes = [[b for room in place.rooms for b in room.volume()] for place in places]
    found = [
        (n, *centre(cell, part.form), lumens[part.role])
        for part in parts
        if lumens[part.role]
        for cell in part.box.cells()
        for n, some in enumerate(boxes)
        if any(box.rect.has(*cell[:2]) and box.z0 <= cell[2] < box.z1 for box in some)
    ]
    table = np.array(found, dtype=np.int32).reshape(-1, 5)
    return Burning(place=table[:, 0], at=table[:, 1:4], lumens=table[:, 4])


def _overhead(task: _Task, which: Sequence[int]) -> Spots:
    """Over one's head: from a ceiling, off the walls, or a rafter; on posts and under eaves outside."""
    built = task.built
    ground = _ground(task, which)
    walks, upper = (
        Ground.of_rows(
            [
                row
                for n in which
                for row in walk_rows(n, [r for r in task.places[n].rooms if r.kind == kind])
            ]
        )
        for kind in ("veranda", GALLERY)
    )
    return Spots.joined(
        (
            hung(built, ground[ground.free & ground.inner]),
            *(
                bracketed(built, ground[ground.to_roof], OVERHEAD + up, BRACKETED)
                for up in range(2)
            ),
            bracketed(built, walks, OVERHEAD, ON_POST, task.posts),
            flush(built, upper),
        )
    )


def _by_walls(task: _Task, which: Sequence[int]) -> Spots:
    """Overhead along the walls too, and high under a steep roof."""
    ground = _ground(task, which)
    return Spots.joined(
        (
            hung(task.built, ground[ground.free]),
            *(
                bracketed(task.built, ground[ground.to_roof], OVERHEAD + up, BRACKETED)
                for up in range(HIGHEST)
            ),
        )
    )


def _anywhere(task: _Task, which: Sequence[int]) -> Spots:
    """On the wall plate too, and on tables."""
    ground = _ground(task, which)
    empty = task.built.form[tuple(ground.at.T)] == 0
    aside = ground.free & empty & ~ground.keep
    return Spots.joined(
        (
            _by_walls(task, which),
            bracketed(task.built, ground[ground.free & ~empty], OVERHEAD - 1, BRACKETED),
            bracketed(task.built, ground[aside], OVERHEAD - 1, IN_THE_WAY),
            stood(task.built, ground[aside]),
        )
    )


SEARCHES = (_overhead, _by_walls, _anywhere)
"""Where lamps are looked for, as far as what comes before is not enough."""


def _ground(task: _Task, which: Sequence[int]) -> Ground:
    """The floors of those places that are rooms."""
    places = ((n, task.places[n]) for n in which)
    return Ground.of_rows(
        [row for n, p in places if p.floor for row in floor_rows(n, p.rooms[0], p.floor)]
    )


def _ranked(task: _Task, spots: Spots) -> Spots:
    """By place; there the likeliest first: nothing in the way, then near the middle, then as drawn."""
    hulls = [reduce(Rect.hull, (room.rect for room in p.rooms)) for p in task.places]
    middle = np.array([(r.x0 + r.x1 - 1, r.y0 + r.y1 - 1) for r in hulls])[spots.place]
    off = np.abs(2 * spots.cell[:, :2] - middle).sum(axis=1)
    x, y, z = spots.cell.T.astype(np.uint64)
    word = np.uint64(task.draw.word("lamp") | 1)
    mixed = ((x << np.uint64(32)) + (y << np.uint64(16)) + z + np.uint64(1)) * word
    blocks = spots.having(lambda kind: kind.blocks)
    return spots[np.lexsort((mixed, off, blocks, spots.place))]


def _choices(
    task: _Task, which: Sequence[int], search: Callable[[_Task, Sequence[int]], Spots]
) -> Iterator[_Choice]:
    """The lamps of some places, in their order."""
    spots = _ranked(task, search(task, which))
    found = gains(task.built, task.places, which, spots, task.fixed, task.lumens)
    for n, (gain, given) in zip(which, found, strict=True):
        yield _choice(task, n, spots.of(n), gain, given)


def _choice(task: _Task, n: int, spots: Spots, gain: Ints, given: Ints) -> _Choice:
    """The fewest of one place; chosen anew, with more asked for, where tables leave a point short."""
    place = task.places[n]
    room, need, fewest = place.rooms[0], place.wanted - given, None
    light = FloorLight(room=room.id, points=place.points, amount=given)
    if place.floor and (gain.sum(axis=0) < need).any():
        return _Choice(lamps=(), fewest=0, enough=False, light=light)

    def allowed(chosen: tuple[int, ...]) -> bool:
        return _passable(task, place, [spots.spot(c) for c in chosen])

    for _ in range(TRIES):
        found = cover(gain, need, allowed)
        fewest = found.fewest if fewest is None else fewest
        lamps = tuple(spots.spot(c) for c in found.chosen)
        amount = given + gain[list(found.chosen)].sum(axis=0, dtype=np.int32)
        light = replace(light, points=place.points, amount=amount)
        if all(spot.cell[2] >= room.floor + OVERHEAD for spot in lamps):
            return _Choice(lamps=lamps, fewest=fewest, enough=found.enough, light=light)
        left, points, amount = among_themselves(
            task.built, place, lamps, task.fixed.of(n), task.lumens
        )
        light = replace(light, points=points, amount=amount)
        short = np.maximum(place.wanted - amount, 0)
        if not short.any():
            break
        need[left] += short
    return _Choice(lamps=lamps, fewest=fewest or 0, enough=not short.any(), light=light)


def _passable(task: _Task, place: Place, spots: Sequence[Spot]) -> bool:
    """Whether these lamps share no cell and leave every kept cell of the floor reachable."""
    if len({spot.cell for spot in spots}) < len(spots):
        return False
    blocking = [spot.cell[:2] for spot in spots if spot.kind.blocks]
    floor = place.floor
    if not blocking or floor is None:
        return True
    form, z = task.built.form, place.rooms[0].floor
    taken = [(x, y) for x, y in floor.cells(floor.free) if form[x, y, z]]
    left = floor.free & ~floor.bits(taken) & ~floor.bits(blocking)
    return floor.connected(left, floor.keep)


def lamps_parts(lamps: Sequence[Spot]) -> tuple[Part, ...]:
    return tuple(part for spot in lamps for part in spot.parts())
