"""How a house is lived in: what one walks through, how large rooms are and how light, who sits and sleeps.

Counts alone, from the room graph, the rooms and the cells; ``notes`` says them in words.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

import numpy as np

from genhouse.core.axes import ALONG
from genhouse.core.solids import Bool
from genhouse.model.design import Design
from genhouse.model.elements import Wall
from genhouse.model.room import Room
from genhouse.model.voxels import Voxels
from genhouse.outputs.document._room_graph import ways
from genhouse.outputs.figures._syntax import Graph
from genhouse.outputs.figures._tables import LivedFigures, RoomFigures
from genhouse.outputs.setting_out import heights
from genhouse.traditions.tradition import Tradition

GLAZING = (1, 10)
"""Glazing that a room asks, as a part of its floor: the Building Standards Act of Japan, Art. 28, asks a
seventh of a dwelling's rooms; Order Art. 19 lets down to a tenth stand where they are lit (from memory)."""


def reached(graph: Graph, shut: Collection[int] = ()) -> set[int]:
    """The places to which one comes from outside, place 0, without going through those that are shut.

    A shut place is reached where one stands before it.
    """
    found, edge = {0}, [0]
    while edge:
        for near in graph[edge.pop()]:
            if near not in found:
                found.add(near)
                if near not in shut:
                    edge.append(near)
    return found


def behind(graph: Graph, place: int) -> set[int]:
    """The places to which every way from outside leads through this one."""
    return set(range(len(graph))) - reached(graph, {place})


def only_through(graph: Graph, places: Collection[int], through: Collection[int]) -> list[int]:
    """Those of some places to which one comes only through some others."""
    return [p for p in places if p not in reached(graph, set(through) - {p})]


def lived(
    design: Design, graph: Graph, rooms: Sequence[RoomFigures], tradition: Tradition
) -> LivedFigures:
    """The counts of a house.  rooms: in the order of the graph's places, from its second."""
    kinds = dict(tradition.kinds)
    private = [n for n, r in enumerate(rooms, 1) if r.kind in kinds and kinds[r.kind].private]
    hall = max((r.area for r in rooms if r.kind in kinds and kinds[r.kind].climbs), default=0)
    larger = kinds[tradition.the("climbs")].under
    courts = [court.area for court in design.courts]
    indoor = _indoor(design, rooms)
    return LivedFigures(
        strung=len(indoor - reached(graph, private)),
        corridors=sum(bool(behind(graph, n) & indoor) for n in private),
        landing=sum(rooms[n - 1].id in landings(design) for n in private),
        hall=_ratio(hall, max((r.area for r in rooms if r.kind == larger), default=hall)),
        hall_court=_ratio(hall, max(courts)),
        over=over_number(rooms, tradition) + over_area(rooms, tradition),
        dim=sum(map(_dim, asking(rooms, tradition))),
    )


def _indoor(design: Design, rooms: Sequence[RoomFigures]) -> set[int]:
    """The places of indoor rooms: a terrace of one's own is no room behind one's room."""
    inside = {room.id for room in design.rooms if room.indoor}
    return {n for n, r in enumerate(rooms, 1) if r.id in inside}


def landings(design: Design) -> set[int]:
    """The rooms at the heads of the stairs."""
    return {w.high for w in ways(design) if w.kind == "stair"}


def over_number(rooms: Sequence[RoomFigures], tradition: Tradition) -> int:
    """Rooms beyond the number that the tradition gives their kind."""
    return sum(
        max(0, sum(r.kind == name for r in rooms) - kind.most) for name, kind in tradition.kinds
    )


def over_area(rooms: Sequence[RoomFigures], tradition: Tradition) -> int:
    """Rooms beyond the largest area that the tradition gives their kind."""
    kinds = dict(tradition.kinds)
    return sum(r.kind in kinds and r.area > kinds[r.kind].area[2] for r in rooms)


def asking(rooms: Sequence[RoomFigures], tradition: Tradition) -> Iterator[RoomFigures]:
    """Rooms that want daylight: all that do not keep cool."""
    kinds = dict(tradition.kinds)
    return (r for r in rooms if r.kind in kinds and not kinds[r.kind].dark)


def _dim(room: RoomFigures) -> bool:
    return room.glazing * GLAZING[1] < room.area * GLAZING[0]


def _ratio(a: int, b: int) -> float:
    return round(a / b, 2) if b else 0.0


def glazing(design: Design, voxels: Voxels) -> dict[int, float]:
    """For each indoor room what lets light through the walls to outdoors and courts, in cells.

    Seen square on, by sub-cells: paper, lattice, and where a screen stands open.
    """
    stops = _stops(voxels)
    found = {room.id: 0 for room in design.rooms if room.indoor}
    by_id = {room.id: room for room in design.rooms}
    for s in design.segments:
        if s.exposed:
            room = by_id[s.low] if s.low in found else by_id[s.high]
            found[room.id] += _glazed(s, room, design, voxels, stops)
    return {room: cells / 16 for room, cells in found.items()}


def _stops(voxels: Voxels) -> Bool:
    """What each form of wall hides, seen from south and from west: bool [2, F, 16]."""
    south, west = voxels.shapes.any(axis=2), voxels.shapes.any(axis=1)
    return np.stack((south, west)).reshape(2, len(voxels.shapes), 16)


def _glazed(s: Wall, room: Room, design: Design, voxels: Voxels, stops: Bool) -> int:
    """Sixteenths of a cell of one wall that light passes."""
    c = s.cells
    box = np.s_[c.x0 : c.x1, c.y0 : c.y1, room.floor : min(room.ceiling, heights(design).plate + 1)]
    form = np.where(voxels.flag("clear")[voxels.material[box]], 0, voxels.form[box])
    return int(np.count_nonzero(~stops[ALONG[s.axis]][form]))


def seats(design: Design, tradition: Tradition) -> int:
    """Places to eat at, in the rooms that are for eating."""
    fittings = dict(tradition.fittings)
    eating = {r.id for r in design.rooms if r.indoor and tradition.kind(r.kind).seats[0]}
    return sum(fittings[p.name].seats for p in design.placed if p.room in eating)


def sleepers(design: Design, tradition: Tradition) -> int:
    fittings = dict(tradition.fittings)
    return sum(fittings[p.name].sleeps for p in design.placed)


def notes(
    design: Design, graph: Graph, rooms: Sequence[RoomFigures], tradition: Tradition
) -> tuple[str, ...]:
    """What someone who is to live in the house would remark, a sentence each: to know, no faults."""
    return (
        *_of_ways(design, graph, rooms, tradition),
        *_of_light(rooms, tradition),
        *_of_size(design, rooms, tradition),
    )


def _of_ways(
    design: Design, graph: Graph, rooms: Sequence[RoomFigures], tradition: Tradition
) -> Iterator[str]:
    kinds, indoor = dict(tradition.kinds), _indoor(design, rooms)
    for n, r in enumerate(rooms, 1):
        if r.kind in kinds and kinds[r.kind].private:
            if hidden := [rooms[m - 1] for m in sorted(behind(graph, n) & indoor)]:
                yield f"{named(r)} is the only way to {' and '.join(map(named, hidden))}"
            if r.id in landings(design):
                yield f"the stair comes up in {named(r)}"


def _of_light(rooms: Sequence[RoomFigures], tradition: Tradition) -> Iterator[str]:
    for r in asking(rooms, tradition):
        if _dim(r):
            yield f"{named(r)} has {r.glazing:g} cells of glazing for {r.area} of floor"


def _of_size(design: Design, rooms: Sequence[RoomFigures], tradition: Tradition) -> Iterator[str]:
    hall = tradition.the("climbs")
    halls, larger = [r for r in rooms if r.kind == hall], tradition.kind(hall).under
    best = max((r.area for r in rooms if r.kind == larger), default=None)
    for r in halls:
        if best is not None and r.area > best:
            yield f"{named(r)} is larger than the {larger}"
        if r.area > max(c.area for c in design.courts):
            yield f"{named(r)} is larger than every court"
    for name, kind in tradition.kinds:
        mine = [r for r in rooms if r.kind == name]
        if len(mine) > kind.most:
            yield f"there are {len(mine)} rooms of kind {name}; {kind.most} would do"
        for r in mine:
            if r.area > kind.area[2]:
                yield f"{named(r)} covers {r.area} cells; {kind.area[2]} would do"


def named(room: RoomFigures) -> str:
    return f"room {room.id} ({room.kind})"
