"""Lamps: the fewest that bring the brief's light to every corner, each kind in its place.

Below, paper lamps hang from the ceiling.  Above, where the roof has no level ceiling, lamps are
bracketed to the rafters, and where that is not enough to the wall plate, or set on high tables.  Along
the verandas, brackets on the posts help the garden's stone lamps.  What a lamp brings is worked out with
what stands in the way; only light that arrives straight counts, on the level of one's feet.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from genhouse.core.box import Box
from genhouse.core.draw import WORD, Draw
from genhouse.core.light import lit
from genhouse.model.palette import Palette
from genhouse.model.part import Part
from genhouse.model.room import COURTS, Room
from genhouse.stages._cover import Cover, cover
from genhouse.stages._floorplan import Floor
from genhouse.stages._lamp_places import (
    OVERHEAD,
    Built,
    Spot,
    bracketed,
    centre,
    hung,
    off_middle,
    stood,
)
from genhouse.stages.rooms import Rooms

Ints = npt.NDArray[np.int32]
OUTDOORS = 10
"""Courts and verandas get so many times less light than rooms (common practice for paths at night)."""
SHADED = 14
"""Eighths of a cell round a high table within which its top shades the floor."""
HIGHEST = 6
"""Layers over one's head in which a lamp may be bracketed, under a high slope."""
FAINT = 25
"""Parts of the wanted light below which a lamp's is left out of account."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lighting:
    """lamps: in the order of rooms.  fewest: (room, lamps that no placing can go below)."""

    lamps: tuple[Spot, ...]
    fewest: tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Lit:
    """A lamp that stands already.  at: the middle of its light, in eighths of a cell."""

    cell: tuple[int, int, int]
    at: tuple[int, int, int]
    lumens: int


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Place:
    """What is to be lit together.  fixed: lamps that stand there already.

    points: int [P, 3], eighths.  wanted: millilux.  floor: what must stay passable; open: its cells
    on which nothing stands.
    """

    room: Room
    points: Ints
    spots: tuple[Spot, ...]
    wanted: int
    fixed: tuple[_Lit, ...] = ()
    floor: Floor | None = None
    open: int = 0


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
    """
    built = Built.of(parts, palette, size)
    lumens = {role: material.lumens for role, material in palette.roles}
    shining = _shining(parts, palette)
    by_id = {room.id: room for room in rooms.rooms}
    inside = [by_id[floor.room] for floor in floors]
    places = [
        _indoors(room, floor, built, points, _within(shining, room), 1000 * light, draw)
        for room, floor, points in zip(inside, floors, built.points(inside), strict=True)
    ]
    places += _outdoors(rooms, parts, built, shining, max(1, 1000 * light // OUTDOORS))
    lamps: list[Spot] = []
    least: list[tuple[int, int]] = []
    for place, gain in zip(places, _gains(places, built, lumens), strict=True):
        found = _chosen(place, gain)
        if not found.enough and place.floor is not None:
            place = _anywhere(place, place.floor, built, draw)
            found = _chosen(place, next(_gains([place], built, lumens)))
        lamps += [place.spots[c] for c in found.chosen]
        least.append((place.room.id, found.fewest))
    return Lighting(lamps=tuple(lamps), fewest=tuple(least))


def _indoors(
    room: Room,
    floor: Floor,
    built: Built,
    points: Ints,
    fixed: tuple[_Lit, ...],
    wanted: int,
    draw: Draw,
) -> _Place:
    r = floor.rect
    empty = (built.form[r.x0 : r.x1, r.y0 : r.y1, room.floor] == 0).tolist()
    left = floor.bits(c for c in floor.cells(floor.free) if empty[c[0] - r.x0][c[1] - r.y0])
    spots = _spots(room, floor, left, built, anywhere=False)
    return _Place(
        room=room,
        points=points,
        spots=tuple(_ranked(spots, room, draw.at(room.id))),
        wanted=wanted,
        fixed=fixed,
        floor=floor,
        open=left,
    )


def _anywhere(place: _Place, floor: Floor, built: Built, draw: Draw) -> _Place:
    """Where lamps may hang by the walls too, sit on the wall plate, and stand on the floor."""
    spots = _spots(place.room, floor, place.open, built, anywhere=True)
    return replace(place, spots=tuple(_ranked(spots, place.room, draw.at(place.room.id))))


def _spots(room: Room, floor: Floor, left: int, built: Built, *, anywhere: bool) -> Iterator[Spot]:
    """Over one's head, from a ceiling or a rafter; else on the wall plate, and on the floor."""
    inner = room.rect if anywhere else room.rect.grown(-1)
    yield from hung(built, room, (c for c in floor.cells(floor.free) if inner.has(*c)))
    if not room.to_roof:
        return
    low = room.floor + OVERHEAD
    for z in range(low, min(low + (HIGHEST if anywhere else 2), built.form.shape[2])):
        yield from bracketed(built, room.rect.cells(), z, "wall-lamp", blocks=False)
    if anywhere:
        aside, taken = tuple(floor.cells(left & ~floor.keep)), floor.cells(floor.free & ~left)
        yield from bracketed(built, taken, low - 1, "wall-lamp", blocks=False)
        yield from bracketed(built, aside, low - 1, "wall-lamp", blocks=True)
        yield from stood(built, aside, room.floor)


def _ranked(spots: Iterator[Spot], room: Room, draw: Draw) -> list[Spot]:
    """The likeliest first: nothing in the way, then near the middle, then as drawn."""
    word = draw.word("lamp") | 1

    def rank(n_spot: tuple[int, Spot]) -> tuple[bool, int, int]:
        n, spot = n_spot
        x, y, _ = spot.cell
        return (spot.blocks, off_middle(room.rect, x, y), (n + 1) * word & WORD)

    return [spot for _, spot in sorted(enumerate(spots), key=rank)]


def _outdoors(
    rooms: Rooms, parts: Sequence[Part], built: Built, shining: Sequence[_Lit], wanted: int
) -> Iterator[_Place]:
    """Each court with its verandas."""
    posts = frozenset(c for p in parts if p.role == "post" for c in p.box.rect.cells())
    courts = [room for room in rooms.rooms if room.kind in COURTS]
    verandas = [room for room in rooms.rooms if room.kind == "veranda"]
    for court, veranda in zip(courts, verandas, strict=True):
        walk = [c for r in veranda.rects for c in r.cells()]
        z = veranda.floor + OVERHEAD
        yield _Place(
            room=court,
            points=np.concatenate(built.points((court, veranda))),
            spots=tuple(bracketed(built, walk, z, "veranda-lamp", blocks=False, posts=posts)),
            wanted=wanted,
            fixed=_within(shining, court, veranda),
        )


def _shining(parts: Sequence[Part], palette: Palette) -> tuple[_Lit, ...]:
    """The lamps and fires that earlier stages set."""
    lumens = {role: material.lumens for role, material in palette.roles}
    return tuple(
        _Lit(cell=cell, at=centre(cell, p.form), lumens=lumens[p.role])
        for p in parts
        if lumens[p.role]
        for cell in p.box.cells()
    )


def _within(shining: Sequence[_Lit], *rooms: Room) -> tuple[_Lit, ...]:
    """Those in some rooms."""
    return tuple(
        lamp
        for lamp in shining
        if any(r.has(*lamp.cell[:2]) and r.floor - 1 <= lamp.cell[2] < r.ceiling for r in rooms)
    )


def _gains(places: Sequence[_Place], built: Built, lumens: dict[str, int]) -> Iterator[Ints]:
    """For each place, millilux [S, P] of every spot, then of every fixed lamp, at every point."""
    sources, points, powers, sizes = [], [], [], []
    for place in places:
        at = [spot.at for spot in place.spots] + [lamp.at for lamp in place.fixed]
        power = [lumens[spot.role] for spot in place.spots] + [n.lumens for n in place.fixed]
        p, s = len(place.points), len(at)
        sources.append(np.array(at, dtype=np.int32).reshape(-1, 3).repeat(p, axis=0))
        powers.append(np.array(power, dtype=np.int32).repeat(p))
        points.append(np.tile(place.points, (s, 1)).reshape(-1, 3))
        sizes.append((s, p))
    least = np.array([place.wanted // FAINT for place in places]).repeat([s * p for s, p in sizes])
    flat = lit(
        built.opaque, np.concatenate(powers), np.concatenate(sources), np.concatenate(points), least
    )
    start = 0
    for place, (s, p) in zip(places, sizes, strict=True):
        yield _past_tables(place, flat[start : start + s * p].reshape(s, p))
        start += s * p


def _past_tables(place: _Place, gain: Ints) -> Ints:
    """A lamp that stands on a table gives nothing to the floor right round it, which its top shades."""
    past = gain.copy()
    for n, spot in enumerate(place.spots):
        if spot.stand is not None:
            aside = np.abs(place.points[:, :2] - spot.at[:2]).max(axis=1)
            past[n, aside < SHADED] = 0
    return past


def _chosen(place: _Place, gain: Ints) -> Cover:
    n = len(place.spots)
    need = place.wanted - gain[n:].sum(axis=0, dtype=np.int32)

    def allowed(chosen: tuple[int, ...]) -> bool:
        return _passable(place, [place.spots[c] for c in chosen])

    return cover(gain[:n], need, allowed)


def _passable(place: _Place, spots: Sequence[Spot]) -> bool:
    """Whether these lamps share no cell and leave every kept cell of the floor reachable."""
    if len({spot.cell for spot in spots}) < len(spots):
        return False
    blocking = [spot.cell[:2] for spot in spots if spot.blocks]
    if not blocking or place.floor is None:
        return True
    left = place.open & ~place.floor.bits(blocking)
    return place.floor.connected(left, place.floor.keep)


def lamps_parts(lamps: Sequence[Spot]) -> tuple[Part, ...]:
    return tuple(part for spot in lamps for part in _parts(spot))


def _parts(spot: Spot) -> Iterator[Part]:
    x, y, z = spot.cell
    if spot.stand is not None:
        yield Part("lamps", "table", "high table", Box(x, y, spot.stand, x + 1, y + 1, z))
    yield Part("lamps", spot.role, spot.form, Box.cell(x, y, z))
