"""Stair: steps of one cell over a box of cupboards, with a balustrade round the well."""

from __future__ import annotations

from collections.abc import Iterator

from genhouse.core.axes import STEP, Side
from genhouse.core.box import Box, Rect
from genhouse.model.part import Part
from genhouse.model.room import Stair
from genhouse.stages.rooms import Rooms
from genhouse.traditions.tradition import Tradition


def stair_parts(rooms: Rooms, tradition: Tradition) -> tuple[Part, ...]:
    """Treads, the boxes that carry them, trimmers along the wells and rails on them."""
    return tuple(
        part
        for level, storey in enumerate(tradition.storeys, 1)
        for stair in rooms.flights(level)
        for part in (
            *_treads(stair, storey.floor),
            *_balustrade(stair, storey.head, _standing(rooms, level + 1)),
        )
    )


def _standing(rooms: Rooms, level: int) -> set[tuple[int, int]]:
    walls = (s for s in rooms.segments if s.level == level and s.boundary != "open")
    return {cell for wall in walls for cell in wall.cells.cells()}


def _treads(stair: Stair, floor: int) -> Iterator[Part]:
    for i, step in enumerate(stair.run):
        yield Part("stair", "tread", f"tread {stair.rise}", step.up(floor + i, floor + i + 1))
        if i:
            yield Part("stair", "stair-box", "whole", step.up(floor, floor + i))


def _edge(step: Rect, side: Side) -> tuple[int, int]:
    """The cell of a step on its open side."""
    dx, dy = STEP[side]
    return (step.x1 - 1 if dx > 0 else step.x0, step.y1 - 1 if dy > 0 else step.y0)


def _balustrade(stair: Stair, tie: int, walls: set[tuple[int, int]]) -> Iterator[Part]:
    """Along the well and before it; the last step is left open: there one walks off onto the floor."""
    side: Side = stair.open_side  # type: ignore[assignment]
    rise: Side = stair.rise  # type: ignore[assignment]
    wells = [step for step in stair.run if stair.well.meets(step)]
    for step in wells[:-1]:
        x, y = _edge(step, side)
        yield Part("stair", "trimmer", f"panel {side}", Box.cell(x, y, tie))
        yield Part("stair", "rail", f"rail {side}", Box.cell(x, y, tie + 1))
    for x, y in stair.run[-len(wells) - 1].cells():
        if (x, y) not in walls:
            yield Part("stair", "rail", f"rail {rise}", Box.cell(x, y, tie + 1))
