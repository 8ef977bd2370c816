"""Floors: boards and flags below, verandas, the upper floor over everything but court and stairwell."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from genhouse.core.box import Box, Rect, runs
from genhouse.model.part import Part
from genhouse.model.room import Room
from genhouse.stages.bays import Bays
from genhouse.stages.rooms import Rooms
from genhouse.stages.site import Site
from genhouse.traditions.tradition import Tradition


def matted(room: Room, bays: Bays, tradition: Tradition) -> tuple[Rect, ...]:
    """The rectangles of a room that are laid with mats: all of it but a row of posts in the middle."""
    if not room.indoor or tradition.kind(room.kind).floor != "mat" or room.level != 1:
        return ()
    rect = room.rect
    deep = [line for line in bays.middle_lines if rect.meets(line.cells)]
    if deep and deep[0].axis == "x":
        y = deep[0].cells.y0
        return (Rect(rect.x0, rect.y0, rect.x1, y), Rect(rect.x0, y + 1, rect.x1, rect.y1))
    if deep and deep[0].axis == "y":
        x = deep[0].cells.x0
        return (Rect(rect.x0, rect.y0, x, rect.y1), Rect(x + 1, rect.y0, rect.x1, rect.y1))
    return (rect,)


def floors_parts(site: Site, bays: Bays, rooms: Rooms, tradition: Tradition) -> tuple[Part, ...]:
    """All floors but the mats."""
    return (
        *_lower(bays, rooms, tradition),
        *_verandas(site, tradition),
        *_upper(site, bays, rooms, tradition),
    )


def _boxes(cells: Iterable[tuple[int, int]], z: int) -> list[Box]:
    return runs([(x, y, z) for x, y in cells])


def _lower(bays: Bays, rooms: Rooms, tradition: Tradition) -> Iterator[Part]:
    z = tradition.storeys[0].slab
    posts = set(bays.middle)
    hearth = rooms.hearth.cell
    for room in rooms.on(1):
        laid = {c for r in matted(room, bays, tradition) for c in r.cells()}
        sunk = {c for r in room.sunken for c in r.cells()}
        cells = set(room.rect.cells()) - laid - sunk - posts - {hearth}
        role = "flag" if tradition.kind(room.kind).floor == "flag" else "board"
        for box in _boxes(cells, z):
            yield Part("floors", role, "whole", box)
        for r in room.sunken:
            step = Rect(r.x0, r.y1 - 1, r.x1, r.y1)
            for box in _boxes(set(step.cells()) - posts, z):
                yield Part("floors", "shoe-stone", "half course", box)
    x, y = hearth
    yield Part("floors", "hearth-slab", "whole", Box.cell(x, y, z))


def _verandas(site: Site, tradition: Tradition) -> Iterator[Part]:
    z = tradition.storeys[0].slab
    for court in site.courts:
        for strip in site.verandas(court):
            yield Part("floors", "veranda", "whole", strip.up(z, z + 1))


def _upper(site: Site, bays: Bays, rooms: Rooms, tradition: Tradition) -> Iterator[Part]:
    z = tradition.storeys[0].head
    beams = {c for line in bays.middle_lines for c in line.cells.cells()}
    left_out = beams | set(bays.middle) | {rooms.hearth.cell}
    for stair in rooms.stairs:
        left_out |= set(stair.well.cells())
    for unit in bays.units:
        role = "deck" if site.wings[unit.wing].terrace else "upper-board"
        for box in _boxes(set(unit.rect.cells()) - left_out, z):
            yield Part("floors", role, "whole", box)
