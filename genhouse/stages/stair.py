"""Stair: steps of one cell, what carries them, and a balustrade round the well."""

from __future__ import annotations

from collections.abc import Iterator

from genhouse.core.axes import STEP, Side
from genhouse.core.box import Box, Rect
from genhouse.model.elements import Beam, Edge, Member, Slab, Support
from genhouse.model.room import Stair
from genhouse.stages.rooms import Rooms
from genhouse.traditions.tradition import Tradition

DEEP = 2
"""Steps from which one may fall."""


def climbs(rooms: Rooms, tradition: Tradition) -> Iterator[Member]:
    """Treads, what carries them, trimmers along the wells and rails on them."""
    for level, storey in enumerate(tradition.storeys, 1):
        for stair in rooms.flights(level):
            floor = next(room.floor for room in rooms.rooms if room.id == stair.room)
            yield from _treads(stair, floor)
            yield from _handrail(stair, floor)
            yield from _balustrade(stair, storey.head, _standing(rooms, level + 1))


def _standing(rooms: Rooms, level: int) -> set[tuple[int, int]]:
    walls = (s for s in rooms.segments if s.level == level and s.boundary != "open")
    return {cell for wall in walls for cell in wall.cells.cells()}


def _treads(stair: Stair, floor: int) -> Iterator[Member]:
    for z, step in enumerate(stair.run, floor):
        yield Slab(use="tread", box=step.up(z, z + 1), side=stair.rise)
        if z > floor:
            yield Support(use="stringer", box=step.up(floor, z))


def _handrail(stair: Stair, floor: int) -> Iterator[Member]:
    """Along the steps that one could fall from, and that lie too low for the balustrade to stand beside."""
    side: Side = stair.open_side  # type: ignore[assignment]
    for z, step in list(enumerate(stair.run, floor + 1))[DEEP:-3]:
        x, y = _edge(step, side)
        yield Edge(use="well rail", box=Box.cell(x, y, z), side=side)


def _edge(step: Rect, side: Side) -> tuple[int, int]:
    """The cell of a step on its open side."""
    dx, dy = STEP[side]
    return (step.x1 - 1 if dx > 0 else step.x0, step.y1 - 1 if dy > 0 else step.y0)


def _balustrade(stair: Stair, head: int, walls: set[tuple[int, int]]) -> Iterator[Member]:
    """Along the well and before it; the last step is left open: there one walks off onto the floor."""
    side: Side = stair.open_side  # type: ignore[assignment]
    wells = [step for step in stair.run if stair.well.meets(step)]
    for step in wells[:-1]:
        x, y = _edge(step, side)
        yield Beam(use="well trimmer", box=Box.cell(x, y, head), side=side)
        yield Edge(use="well rail", box=Box.cell(x, y, head + 1), side=side)
    dx, dy = STEP[stair.rise]  # type: ignore[index]
    for x, y in ((x - dx, y - dy) for x, y in wells[0].cells()):
        if (x, y) not in walls:
            yield Edge(use="well rail", box=Box.cell(x, y, head + 1), side=stair.rise)
