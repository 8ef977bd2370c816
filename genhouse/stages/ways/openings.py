"""How each stretch of wall is opened, so that every room can be reached and has its light."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations, product

from msgspec.structs import replace

from genhouse.core.axes import FLANKS
from genhouse.core.box import Rect
from genhouse.core.draw import Draw
from genhouse.model.elements import Boundary, Wall
from genhouse.model.room import COURTS, OUTSIDE, Room, Stair
from genhouse.model.storeys import Storey
from genhouse.stages.bays import Bays, Line
from genhouse.stages.galleries import guarded
from genhouse.stages.site import Site
from genhouse.stages.terraces import uneven
from genhouse.stages.ways.doors import Storied, cut_off, lights, with_doors
from genhouse.stages.ways.entrances import Entrance, entrances_in, seen_from_door
from genhouse.stages.ways.rising import raised
from genhouse.stages.ways.stretches import clear, indoor, middle, stretch
from genhouse.traditions.tradition import Tradition

GLAZING = 10
"""Cells of floor for one of window, at the most.  The Building Standards Act of Japan, Art. 28, asks a
seventh of a dwelling's rooms; Order Art. 19 lets down to a tenth stand where they are lit (from memory)."""
Cell = tuple[int, int]
Plan = dict[Cell, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Opened:
    """walls: of every storey, from below.  entrances: the front door or gate first.

    strung: how many rooms one comes to only through private ones.
    """

    walls: tuple[Wall, ...]
    entrances: tuple[Entrance, ...]
    strung: int


def open_walls(
    site: Site,
    bays: Bays,
    rooms: Sequence[Room],
    stairs: Sequence[Stair],
    fires: Collection[Cell],
    tradition: Tradition,
    draw: Draw,
) -> Opened:
    """Every wall of every storey with its openings, none before fires, and the entrances."""
    storeys = _storeys(site, rooms, stairs, fires, tradition)
    plain = [list(_standing(site, bays, rooms, at, tradition)) for at in storeys]
    done: list[Wall] = []
    entrances: list[Entrance] = []
    strung = 0
    for at, walls in zip(storeys, raised(site, plain, tradition.storeys), strict=True):
        hidden = replace(at, blocked=at.blocked | seen_from_door(at))
        walls = with_doors(_court_sides(walls, hidden, draw), hidden, draw)
        if at.lowest:
            walls, entrances = entrances_in(site, walls, at, draw)
        done += _windows(walls, at, fires)
        strung += sum(at.rooms[n].indoor for n in cut_off(walls, at, at.private))
    return Opened(walls=tuple(done), entrances=tuple(entrances), strung=strung)


def _storeys(
    site: Site,
    rooms: Sequence[Room],
    stairs: Sequence[Stair],
    fires: Collection[Cell],
    tradition: Tradition,
) -> list[Storied]:
    by_id = {room.id: room for room in rooms}
    kinds = dict(tradition.kinds)
    found: list[Storied] = []
    rails = guarded(site, rooms)
    steps: list[Cell] = []
    heads: list[Cell] = []
    for level, storey in enumerate(tradition.storeys, 1):
        here = [room for room in rooms if room.level == level]
        rising = [stair for stair in stairs if by_id[stair.room].level == level]
        above = [cell for stair in rising for step in stair.run for cell in step.cells()]
        railed = [(x, y) for x, y, z in rails if z == storey.floor]
        start = [r.id for r in here if any(r.has(*head) for head in heads)]
        found.append(
            Storied(
                level=level,
                lowest=level == 1,
                under_roof=storey.under_roof,
                rooms=by_id,
                kinds=kinds,
                start=tuple(start) if heads else (OUTSIDE, here[0].id),
                private=frozenset(r.id for r in here if r.indoor and kinds[r.kind].private),
                dark=frozenset(r.id for r in here if r.indoor and kinds[r.kind].dark),
                blocked=frozenset(
                    (*fires, *steps, *above, *railed, *(uneven(site) if level == 1 else ()))
                ),
                shaded=frozenset((*fires, *above)),
                built=site.built,
                blind=tradition.front.blind,
                sparing=tradition.front.sparing,
                broad=tradition.front.broad,
                wide=tradition.gate.wide,
                steps=_stepped(here) if level == 1 else (),
            )
        )
        steps, heads = above, [stair.run[-1][:2] for stair in rising]
    return found


def _stepped(here: Sequence[Room]) -> tuple[tuple[int, int], ...]:
    """Verandas between which one steps up or down, and courts on to which one does, where a court has
    more than one."""
    courts = sum(room.kind in COURTS for room in here)
    level = [r for r in here if not r.indoor]
    pairs = combinations(level, 2) if len(level) > 2 * courts else ()
    return tuple(
        (a.id, b.id)
        for a, b in pairs
        if (b.floor - a.floor in (0, 1) if a.kind in COURTS else abs(a.floor - b.floor) == 1)
        and any(one.adjoins(other) for one, other in product(a.rects, b.rects))
    )


def _standing(
    site: Site, bays: Bays, rooms: Sequence[Room], at: Storied, tradition: Tradition
) -> Iterator[Wall]:
    """The walls of a storey: every line that has a room of it at one side."""
    plan = _rooms_at(rooms, at.level)
    for line in bays.lines:
        fall = site.fall(*line.cells[:2]) if at.lowest else 0
        storey = tradition.storeys[at.level - 1].let_down(fall)
        wall = _segment(site, at, line, plan, storey)
        if any(n in at.rooms and at.rooms[n].indoor for n in (wall.low, wall.high)):
            yield wall


def _segment(site: Site, at: Storied, line: Line, plan: Plan, storey: Storey) -> Wall:
    a0, b0, a1, b1 = line.cells.lie(line.axis)
    along = (a0 + a1 - 1) // 2
    low, high = (
        plan.get(Rect(along, across, 0, 0).lie(line.axis)[:2], OUTSIDE) for across in (b0 - 1, b1)
    )
    boundary: Boundary
    if low == high and low != OUTSIDE:
        boundary = "open"
    elif all(n in at.rooms and at.rooms[n].indoor for n in (low, high)):
        boundary = "partition"
    elif any(n in at.rooms and not at.rooms[n].indoor for n in (low, high)):
        boundary = "court"
    elif any(site.gap(line.cells, side) == 0 for side in site.party if side in FLANKS[line.axis]):
        boundary = "party"
    else:
        boundary = "outer"
    return Wall(
        level=at.level,
        axis=line.axis,
        cells=line.cells,
        z0=storey.slab if at.lowest else storey.floor,
        z1=storey.head + 1,
        floor=storey.floor,
        lintel=storey.lintel,
        lofty=storey.under_roof,
        boundary=boundary,
        bears=boundary in ("outer", "court", "party"),
        low=low,
        high=high,
    )


def _rooms_at(rooms: Sequence[Room], level: int) -> Plan:
    """The room of a storey at each cell, or the court or veranda that it looks down on."""
    seen = [r for r in rooms if r.level <= level and (r.level == level or not r.indoor)]
    return {
        cell: room.id
        for room in sorted(seen, key=lambda r: r.level)
        for rect in room.rects
        for cell in rect.cells()
    }


def _court_sides(walls: Sequence[Wall], at: Storied, draw: Draw) -> list[Wall]:
    """Screens slide between inner walls that stand only beside the posts, to a veranda or a gallery: each
    room at one bay, and rooms for work, and upstairs, seldom at another.  Some stand open, post to post."""
    done: list[Wall] = []
    opened: set[int] = set()
    ways = _middles(walls, at) if at.sparing else None
    for i, s in enumerate(walls):
        if s.boundary == "court" and at.holds(s) and clear(s, at.blocked):
            room = indoor(s, at.rooms)
            sparing = not at.lowest or at.kinds[room.kind].work
            if at.kinds[room.kind].open:
                s = replace(s, opening="passage", way=s.cells)
            elif ways is not None and i not in ways:
                pass
            elif not (sparing and room.id in opened and draw.chance(2, 3, f"court/{i}")):
                s = replace(s, opening="screens", way=middle(s))
                opened.add(room.id)
        done.append(s)
    return done


def _middles(walls: Sequence[Wall], at: Storied) -> set[int]:
    """Of the walls of each room to one court that may be opened, that in the middle."""
    found: dict[tuple[int, int], list[int]] = {}
    for i, s in enumerate(walls):
        if s.boundary == "court" and at.holds(s) and clear(s, at.blocked):
            found.setdefault((s.low, s.high), []).append(i)
    rows = (sorted(some, key=lambda i: walls[i].lie) for some in found.values())
    return {row[len(row) // 2] for row in rows}


def _windows(walls: Iterable[Wall], at: Storied, fires: Collection[Cell]) -> list[Wall]:
    done = _no_room_dark([_windowed(s, at) for s in walls], at)
    return _wider(done, at, fires) if at.under_roof else done


def _windowed(segment: Wall, at: Storied) -> Wall:
    """Windows where a wall to outdoors or to a court has no other opening."""
    way = middle(segment)
    if segment.opening != "none" or lights(segment, at) != list(way.cells()):
        return segment
    if segment.boundary == "outer" and (at.blind or indoor(segment, at.rooms).id in at.dark):
        return segment
    return replace(segment, opening="window", way=way)


def _wider(walls: Sequence[Wall], at: Storied, fires: Collection[Cell]) -> list[Wall]:
    """Low windows run from post to post: all, or in rooms that would have too little of them."""
    glazed: dict[int, int] = {}
    for s in walls:
        if s.exposed and s.way is not None:
            room = indoor(s, at.rooms).id
            glazed[room] = glazed.get(room, 0) + s.way.area * (2 if s.opening == "screens" else 1)
    return [
        replace(s, way=s.cells)
        if s.opening == "window"
        and (at.broad or glazed[indoor(s, at.rooms).id] * GLAZING < indoor(s, at.rooms).area)
        and not any({*fires} & {*s.beside(c)} for c in s.cells.cells())
        else s
        for s in walls
    ]


def _no_room_dark(walls: Sequence[Wall], at: Storied) -> list[Wall]:
    """A small window beside the hearth or the stair for a room that has no other light."""
    done = list(walls)
    lit = {
        indoor(s, at.rooms).id
        for s in done
        if s.exposed and s.opening in ("window", "screens", "passage")
    } | at.dark
    for i, s in enumerate(done):
        some = lights(s, at) if s.opening == "none" else []
        if some and (room := indoor(s, at.rooms).id) not in lit:
            done[i] = replace(s, opening="window", way=stretch(some[:1]))
            lit.add(room)
    return done
