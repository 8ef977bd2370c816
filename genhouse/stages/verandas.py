"""Outer verandas: a walk along the garden side of a range, under eaves that the roof has anyway.

It is planned once the roof is: only where that keeps the rain off all of it, and where a yard before it is
wide enough to be looked at.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import replace as with_
from functools import reduce
from itertools import combinations, groupby, islice

from msgspec.structs import replace

from genhouse.core.axes import FLANKS, STEP, Side
from genhouse.core.box import Rect
from genhouse.core.draw import Draw
from genhouse.core.patch import cells_of, painted
from genhouse.core.region import Cell
from genhouse.model.elements import Slab, Wall, rows_of
from genhouse.model.room import OUTER, Room
from genhouse.stages.fronts import PORCH
from genhouse.stages.gardens.lot import joined
from genhouse.stages.ground import laid
from genhouse.stages.grounds.ground import closed, yards
from genhouse.stages.roof import Roof
from genhouse.stages.roofs.slopes import NONE, by_cell
from genhouse.stages.rooms import Rooms
from genhouse.stages.site import Site, line_along
from genhouse.stages.ways.entrances import Entrance
from genhouse.stages.ways.stretches import clear, middle
from genhouse.traditions.tradition import Tradition

Run = tuple[Wall, ...]
LEAST = 6
"""Cells of the shortest: two bays, or a wide one."""
GARDEN, OPEN = 5, (3, 4)
"""Cells of ground before it, past what lies dry, that make a garden, and how many, of how many, do."""
HEAD = 2
"""Layers over its floor that a walk needs free."""


def with_outer_veranda(
    site: Site, rooms: Rooms, roof: Roof, tradition: Tradition, draw: Draw
) -> Rooms:
    """The rooms, and, where the seed and the ground have it so, a walk to which some of them slide open."""
    if not draw.chance(*tradition.bays.outer, "outer veranda"):
        return rooms
    found = list(_longest(site, rooms, roof, tradition))
    if not found:
        return rooms
    run, strip = draw.choice(found, "run", [strip.area for _, strip in found])
    walk = _walk(strip, run[0], len(rooms.rooms) + 1, roof)
    opened = {wall: _opened(wall, walk.id) for wall in run}
    return with_(
        rooms,
        rooms=(*rooms.rooms, walk),
        segments=tuple(opened.get(wall, wall) for wall in rooms.segments),
    )


def _longest(
    site: Site, rooms: Rooms, roof: Roof, tradition: Tradition
) -> Iterator[tuple[Run, Rect]]:
    """The longest run of bays in each plane with a garden before it and a roof over it, and its walk."""
    covered = _covered(site, rooms, roof, tradition)
    garden = yards(site, rooms.front)
    doors = tuple(e.way for e in rooms.entrances if e.kind == "service")
    inside = closed(site, rooms.front, doors).inside
    covered &= inside
    for row in _planes(rooms, tradition):
        near = (_two_rows(wall.cells, wall.outward) for wall in row)
        dry = [covered.issuperset(rect.cells()) for rect in near]
        ends = [(i, j) for i, j in combinations(range(len(row) + 1), 2) if all(dry[i:j])]
        runs = (row[i:j] for i, j in sorted(ends, key=lambda e: e[0] - e[1]))
        strips = ((run, _strip(run, covered)) for run in runs)
        fit = (pair for pair in strips if _fits(site, pair[1], row[0].outward, covered, garden))
        yield from (pair for pair in islice(fit, 1) if not _bars(pair[1], inside))


def _planes(rooms: Rooms, tradition: Tradition) -> Iterator[Run]:
    """Walls side by side behind which one lives, to outdoors, and which nothing bars."""
    kinds = {room.id: tradition.kind(room.kind) for room in rooms.rooms if room.indoor}
    lower = [rect for room in rooms.rooms for rect in room.sunken]
    stairs = [stair.run[0].hull(stair.run[-1]) for stair in rooms.flights(1)]
    cells = (c for rect in (*lower, *stairs) for c in rect.cells())
    blocked = frozenset((rooms.hearth.cell, *cells))

    def free(wall: Wall) -> bool:
        kind = kinds[wall.low or wall.high]
        lived = not kind.dark and not kind.work
        return lived and wall.opening in ("none", "window") and clear(wall, blocked)

    outer = [wall for wall in rooms.segments if wall.level == 1 and wall.boundary == "outer"]

    def plane(wall: Wall) -> tuple[str, int]:
        return wall.outward, wall.lie.y0

    for _, some in groupby(sorted(outer, key=plane), plane):
        for row in rows_of(some):
            for (lived, _), run in groupby(row, lambda wall: (free(wall), wall.floor)):
                if lived:
                    yield tuple(run)


def _two_rows(rect: Rect, side: Side) -> Rect:
    """The cells before a side of a place: of a walk, and of the ground that lies dry beyond it."""
    return line_along(rect, side).hull(line_along(rect, side, 2))


def _strip(run: Sequence[Wall], covered: Collection[Cell]) -> Rect:
    """The ground before some walls in a row, a cell deep, and before the posts beside them where it lies
    dry."""
    axis, side = run[0].axis, run[0].outward
    row = line_along(reduce(Rect.hull, (wall.cells for wall in run)), side).lie(axis)
    ends = (Rect(a, row.y0, a + 1, row.y1).lie(axis) for a in (row.x0 - 1, row.x1))
    dry = (end for end in ends if all(c in covered for c in end.cells()))
    return reduce(Rect.hull, dry, row.lie(axis))


def _covered(site: Site, rooms: Rooms, roof: Roof, tradition: Tradition) -> frozenset[Cell]:
    """The open ground over which the roof lies, high enough to walk below it, clear of porches."""
    under, high = by_cell(roof.under), 2 * (tradition.storeys[0].floor + HEAD)
    taken = [*site.built, *(e.way.grown(PORCH) for e in rooms.entrances)]
    dry = painted(site.plot, site.land.parts) & (under != NONE) & (under >= high)
    return cells_of(dry & ~painted(site.plot, taken))


def _fits(
    site: Site, strip: Rect, side: Side, covered: Collection[Cell], garden: Collection[Cell]
) -> bool:
    """Whether it is long enough, dry, and looks on a garden as long as it."""
    dry = strip.hull(line_along(strip, side))
    if strip.area < LEAST or not all(c in covered for c in dry.cells()):
        return False
    before = (line_along(strip, side, n) for n in range(site.dry, site.dry + GARDEN))
    open_ground, (part, whole) = (sum(c in garden for c in row.cells()) for row in before), OPEN
    return all(n * whole >= strip.area * part for n in open_ground)


def _bars(strip: Rect, ground: Collection[Cell]) -> bool:
    """Whether its boards would part ground that hangs together: one steps up to them only in the middle."""
    left = frozenset(ground).difference(strip.cells())
    return len([*joined(left)]) > len([*joined(ground)])


def _walk(strip: Rect, wall: Wall, number: int, roof: Roof) -> Room:
    """The boards, and the ground before them that lies dry, on which one sits and steps up."""
    under, dry = by_cell(roof.under), line_along(strip, wall.outward)
    return Room(
        id=number,
        kind=OUTER,
        level=1,
        rects=(strip, dry),
        floor=wall.floor,
        ceiling=min(int(under[c]) for c in strip.cells()) // 2,
        indoor=False,
        sunken=(dry,),
    )


def _opened(wall: Wall, walk: int) -> Wall:
    """A wall with screens to the walk."""
    low, high = (wall.low, walk) if wall.low else (walk, wall.high)
    way = middle(wall)
    return replace(wall, boundary="court", opening="screens", way=way, low=low, high=high)


def outer_floors(rooms: Rooms) -> Iterator[Slab]:
    """The boards of outer verandas, and a step before each to the garden."""
    for room in rooms.rooms:
        if room.kind == OUTER:
            z = room.floor - 1
            yield Slab(use="veranda", box=room.rects[0].up(z, z + 1))
            yield from laid("step", [step_before(rooms, room)], z)


def fronts(rooms: Rooms) -> Iterator[tuple[Rect, int, Cell]]:
    """Each door and each outer veranda, how far before it the ground belongs to it, and the cell of the
    house that says how high that lies."""
    for entrance in rooms.entrances:
        yield _porch(entrance), 1, entrance.way[:2]
    for walk in (room for room in rooms.rooms if room.kind == OUTER):
        (x, y), (dx, dy) = step_before(rooms, walk), STEP[side_of(rooms, walk)]
        yield walk.rect, 1, (x - 2 * dx, y - 2 * dy)


def _porch(entrance: Entrance) -> Rect:
    """The ground before a door: two cells deep, and one more at either hand."""
    x0, y0, x1, y1 = _two_rows(entrance.way, entrance.side)
    wide, deep = map(abs, STEP[entrance.side][::-1])
    return Rect(x0 - wide, y0 - deep, x1 + wide, y1 + deep)


def step_before(rooms: Rooms, walk: Room) -> Cell:
    """Where one steps down from an outer veranda: before its middle."""
    x0, y0, x1, y1 = walk.rects[0]
    dx, dy = STEP[side_of(rooms, walk)]
    return (x0 + x1 - 1) // 2 + dx, (y0 + y1 - 1) // 2 + dy


def side_of(rooms: Rooms, walk: Room) -> Side:
    """The side to which an outer veranda looks."""
    wall = next(wall for wall in rooms.segments if walk.id in (wall.low, wall.high))
    return FLANKS[wall.axis][wall.high == walk.id]
