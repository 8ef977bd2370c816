"""Rooms: the units joined to rooms, each given its kind; the stair, the hearth, and the ways between."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from genhouse.core.axes import Side
from genhouse.core.box import Rect
from genhouse.core.draw import Draw
from genhouse.model.room import Room, Segment, Stair
from genhouse.stages._openings import Entrance, open_walls
from genhouse.stages._programme import Slot, choose_kinds, seat
from genhouse.stages._stairs import plan_flight
from genhouse.stages.bays import Bays, Unit
from genhouse.stages.site import Site
from genhouse.traditions.loader import Tradition


@dataclass(frozen=True, slots=True, kw_only=True)
class Hearth:
    """cell: where the hearth stands and its flue runs up.  facing: its open side."""

    cell: tuple[int, int]
    facing: Side
    room: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Rooms:
    """gate: the cell at the plot's edge where a visitor stands."""

    rooms: tuple[Room, ...]
    segments: tuple[Segment, ...]
    stair: Stair
    hearth: Hearth
    entrances: tuple[Entrance, ...]
    gate: tuple[int, int]

    def on(self, level: int) -> tuple[Room, ...]:
        return tuple(r for r in self.rooms if r.level == level and r.indoor)


def plan_rooms(site: Site, bays: Bays, tradition: Tradition, draw: Draw) -> Rooms:
    """Seat the rooms of both storeys and decide every opening."""
    entry = _entry_unit(site, bays, draw)
    taken = frozenset() if entry is None else frozenset({entry})
    flight = plan_flight(site, bays, taken, draw)
    taken |= {flight.lower, flight.upper}
    lower = _lower(site, bays, taken, entry, flight.room, tradition, draw)
    upper = _upper(bays, tradition, draw.at("upper"))
    outdoors = tuple(_outdoors(site, tradition))
    rooms = tuple(replace(room, id=n) for n, room in enumerate((*outdoors, *lower, *upper), 1))
    hall = next(r.id for r in rooms if r.kind == "stairhall")
    stair = replace(flight.stair, room=hall)
    hearth = _hearth(site, bays, rooms, draw)
    segments, entrances, gate = open_walls(
        site, bays, rooms, stair, hearth.cell, draw.at("openings")
    )
    return Rooms(
        rooms=tuple(_sink(room, entrances) for room in rooms),
        segments=segments,
        stair=stair,
        hearth=hearth,
        entrances=entrances,
        gate=gate,
    )


def _entry_unit(site: Site, bays: Bays, draw: Draw) -> int | None:
    """A bay of the front wing that reaches the court, off the axis more often than on it."""
    front = next((i for i, w in enumerate(site.wings) if w.name == "front"), None)
    if front is None:
        return None
    units = [n for n, u in enumerate(bays.units) if u.wing == front and not u.corner]
    middle = site.house.x0 + site.house.x1
    weights = [
        1 + min(6, abs(bays.units[n].rect.x0 + bays.units[n].rect.x1 - middle)) for n in units
    ]
    return draw.choice(units, "entry", weights)


def _runs(units: Sequence[tuple[int, Unit]], draw: Draw, longest: int) -> Iterator[list[int]]:
    """Cut a row of neighbouring units into rooms, each with a side to the court where it can be."""
    left = list(units)
    n = 0
    while left:
        size = draw.choice((1, 2, 3), f"run {n}", weights=(3, 5, 2 if longest > 2 else 0))
        size = min(size, longest)
        while size < len(left) and all(u.corner for _, u in left[:size]):
            size += 1
        if all(u.corner for _, u in left[size:]):
            size = len(left) if len(left) - size + size <= longest + 1 else size
        yield [number for number, _ in left[:size]]
        left = left[size:]
        n += 1


def _rows(bays: Bays, taken: frozenset[int]) -> Iterator[list[tuple[int, Unit]]]:
    """Neighbouring free units of each wing, in order."""
    row: list[tuple[int, Unit]] = []
    for n, unit in enumerate(bays.units):
        if row and (unit.wing != row[-1][1].wing or n in taken):
            yield row
            row = []
        if n not in taken:
            row.append((n, unit))
    if row:
        yield row


def _hull(bays: Bays, units: Sequence[int]) -> Rect:
    rect = bays.units[units[0]].rect
    for n in units[1:]:
        rect = rect.hull(bays.units[n].rect)
    return rect


def _lower(
    site: Site,
    bays: Bays,
    taken: frozenset[int],
    entry: int | None,
    hall: Rect,
    tradition: Tradition,
    draw: Draw,
) -> tuple[Room, ...]:
    free = len(bays.units) - len(taken)
    runs = [
        run
        for k, row in enumerate(_rows(bays, taken))
        for run in _runs(row, draw.at("row", k), 3 if free > 16 else 2)
    ]
    rects = [_hull(bays, run) for run in runs]
    door = bays.units[entry].rect if entry is not None else site.courts[0]
    court = [any(not bays.units[n].corner for n in run) for run in runs]
    slots = _slots(rects, court, door, site)
    kinds = seat(slots, choose_kinds(tradition, 1, len(slots), draw), tradition)
    named = list(zip(kinds, rects, strict=True))
    if entry is not None:
        named.append(("entry", bays.units[entry].rect))
    named.append(("stairhall", hall))
    z = tradition.levels
    return tuple(
        Room(id=0, kind=kind, level=1, rects=(rect,), floor=z.floor, ceiling=z.upper_tie)
        for kind, rect in sorted(named, key=lambda pair: (pair[1].y0, pair[1].x0))
    )


def _upper(bays: Bays, tradition: Tradition, draw: Draw) -> tuple[Room, ...]:
    rows = list(_rows(bays, frozenset()))
    rects = [
        _hull(bays, run)
        for k, row in enumerate(rows)
        for run in _runs([(n, replace(u, corner=False)) for n, u in row], draw.at("row", k), 3)
    ]
    slots = _slots(rects, [True] * len(rects), rects[0], None)
    kinds = seat(slots, choose_kinds(tradition, 2, len(slots), draw), tradition)
    z = tradition.levels
    return tuple(
        Room(
            id=0,
            kind=kind,
            level=2,
            rects=(rect,),
            floor=z.upper_floor,
            ceiling=z.plate + 24,
            to_roof=True,
        )
        for kind, rect in zip(kinds, rects, strict=True)
    )


def _slots(
    rects: Sequence[Rect], court: Sequence[bool], door: Rect, site: Site | None
) -> list[Slot]:
    away = [
        abs(r.x0 + r.x1 - door.x0 - door.x1) + abs(r.y0 + r.y1 - door.y0 - door.y1) for r in rects
    ]
    if site is None:
        away = [0] * len(rects)
    far = max(away) or 1
    return [
        Slot(
            rect=rect,
            depth=10 * away[i] // far,
            court=court[i],
            neighbours=tuple(j for j, other in enumerate(rects) if i != j and _touch(rect, other)),
        )
        for i, rect in enumerate(rects)
    ]


def _touch(a: Rect, b: Rect) -> bool:
    """Whether only one wall line stands between two rooms."""
    wide = Rect(a.x0 - 1, a.y0, a.x1 + 1, a.y1)
    deep = Rect(a.x0, a.y0 - 1, a.x1, a.y1 + 1)
    return (
        wide.meet(Rect(b.x0 - 1, b.y0, b.x1 + 1, b.y1)).area > 0
        or deep.meet(Rect(b.x0, b.y0 - 1, b.x1, b.y1 + 1)).area > 0
    )


def _outdoors(site: Site, tradition: Tradition) -> Iterator[Room]:
    z = tradition.levels
    for court in site.courts:
        yield Room(
            id=0,
            kind="court",
            level=1,
            rects=(site.garden(court),),
            floor=z.ground,
            ceiling=z.plate,
            indoor=False,
        )
    for court in site.courts:
        yield Room(
            id=0,
            kind="veranda",
            level=1,
            rects=site.verandas(court),
            floor=z.floor,
            ceiling=z.plate,
            indoor=False,
        )


def _hearth(site: Site, bays: Bays, rooms: Sequence[Room], draw: Draw) -> Hearth:
    """By the ridge, at an end of the kitchen, so that the chimney leaves the roof near its top.

    In a deep wing the beam under the ridge is passed on one side.
    """
    kitchen = next(r for r in rooms if r.kind == "kitchen")
    rect = kitchen.rect
    wing = next(w for w in site.wings if w.rect.meet(rect).area == rect.area)
    options: list[tuple[tuple[int, int], Side]]
    deep = any(line.cells.meet(rect).area for line in bays.middle_lines)
    aside = draw.choice((-1, 1), "side of the ridge") if deep else 0
    if wing.axis == "x":
        middle = (wing.rect.y0 + wing.rect.y1 - 1) // 2 + aside
        options = [((rect.x0, middle), "east"), ((rect.x1 - 1, middle), "west")]
    else:
        middle = (wing.rect.x0 + wing.rect.x1 - 1) // 2 + aside
        options = [((middle, rect.y0), "north"), ((middle, rect.y1 - 1), "south")]
    cell, facing = draw.choice(options, "hearth")
    return Hearth(cell=cell, facing=facing, room=kitchen.id)


def _sink(room: Room, entrances: Sequence[Entrance]) -> Room:
    """The entry's floor lies at ground level in the two rows inside its door."""
    for entrance in entrances:
        if entrance.kind == "front" and entrance.room == room.id and room.kind == "entry":
            rect = room.rect
            return replace(room, sunken=(Rect(rect.x0, rect.y0, rect.x1, rect.y0 + 2),))
    return room
