"""Floors: boards, flags and mats below, verandas, and a floor over every full storey but its stairwell."""

from __future__ import annotations

from collections.abc import Iterator

from genhouse.core.axes import STEP
from genhouse.core.box import Rect
from genhouse.core.draw import Draw
from genhouse.model.elements import Slab
from genhouse.stages.bays import Bays
from genhouse.stages.colonnades import columns
from genhouse.stages.ground import laid
from genhouse.stages.rooms import Rooms
from genhouse.stages.site import Site
from genhouse.stages.terraces import let_down, veranda_steps
from genhouse.traditions.tradition import Tradition

FLOORS = {"flag": "flag", "warm": "warm floor"}
"""What lies in a room that is not boarded."""


def matted(
    rooms: Rooms, bays: Bays, tradition: Tradition, draw: Draw | None = None
) -> Iterator[Slab]:
    """What is laid with mats: all of a room on the ground but a row of posts in its middle.

    draw: for the words that tell how.
    """
    z = tradition.storeys[0].slab
    for room in rooms.on(1):
        if tradition.kind(room.kind).floor == "mat":
            for r in _beside_posts(room.rect, bays):
                word = draw.word(f"{r.x0}/{r.y0}") if draw else 0
                yield Slab(use="mat", box=r.up(z, z + 1), word=word)


def _beside_posts(rect: Rect, bays: Bays) -> Iterator[Rect]:
    line = next((line for line in bays.middle_lines if rect.meets(line.cells)), None)
    if line is None:
        yield rect
    else:
        (a0, b0, a1, b1), row = rect.lie(line.axis), line.cells.lie(line.axis).y0
        yield Rect(a0, b0, a1, row).lie(line.axis)
        yield Rect(a0, row + 1, a1, b1).lie(line.axis)


def floors(site: Site, bays: Bays, rooms: Rooms, tradition: Tradition) -> Iterator[Slab]:
    """All floors but the mats."""
    yield from let_down(_low(site, bays, rooms, tradition), site)
    yield from _upper(site, bays, rooms, tradition)


def _low(site: Site, bays: Bays, rooms: Rooms, tradition: Tradition) -> Iterator[Slab]:
    """Those on the ground, as if it were level."""
    yield from _lower(bays, rooms, tradition)
    z = tradition.storeys[0].slab
    standing = columns(site, tradition)
    _, let_in = veranda_steps(site, rooms.segments, standing)
    for court in site.courts:
        for strip in site.verandas(court):
            yield from laid("veranda", set(strip.cells()) - standing - let_in, z)
    for door in rooms.entrances:
        if door.kind == "service":  # one steps up to a floor that lies above the ground
            dx, dy = STEP[door.side]
            yield from laid("step", [(x + dx, y + dy) for x, y in door.way.cells()], z)


def _lower(bays: Bays, rooms: Rooms, tradition: Tradition) -> Iterator[Slab]:
    z = tradition.storeys[0].slab
    left_out = {*bays.middle, rooms.hearth.cell}
    left_out.update(rooms.screen.cells() if rooms.screen else ())
    left_out.update(c for slab in matted(rooms, bays, tradition) for c in slab.box.rect.cells())
    for room in rooms.on(1):
        sunk = {c for r in room.sunken for c in r.cells()}
        use = FLOORS.get(tradition.kind(room.kind).floor, "board")
        yield from laid(use, set(room.rect.cells()) - left_out - sunk, z)
        for r in room.sunken:
            step = Rect(r.x0, r.y1 - 1, r.x1, r.y1)
            yield from laid("step", set(step.cells()) - left_out, z)
    yield from laid("hearth floor", (rooms.hearth.cell,), z)


def _upper(site: Site, bays: Bays, rooms: Rooms, tradition: Tradition) -> Iterator[Slab]:
    beams = {c for line in bays.middle_lines for c in line.cells.cells()}
    left_out = {*beams, *bays.middle, rooms.shaft}
    for unit in bays.units:
        wing = site.wings[unit.wing]
        use = "terrace" if wing.terrace else "upper floor"
        for level, storey in enumerate(tradition.storeys[: wing.storeys], 1):
            if storey.tie is not None:
                wells = {c for stair in rooms.flights(level) for c in stair.well.cells()}
                yield from laid(use, set(unit.rect.cells()) - left_out - wells, storey.head)
