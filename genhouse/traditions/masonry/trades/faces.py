"""Faces of walls that bear: an opening is small, high in its bay, whole wall below and beside it."""

from __future__ import annotations

from collections.abc import Iterator

from genhouse.core.box import Rect
from genhouse.model.elements import Wall
from genhouse.model.part import Part
from genhouse.traditions.building import piece
from genhouse.traditions.looks import Look, laid
from genhouse.traditions.timber.trades.fronts import Layers, strips
from genhouse.traditions.tradition import Tradition


def face(wall: Wall, layers: Layers, brick: Rect | None, tradition: Tradition) -> Iterator[Part]:
    """The layers of a wall that is seen from outside; the head of a look is the last of them, and its foot
    all below.  Over the lintel its band goes no farther than the opening and what frames it."""
    front, (low, high) = tradition.front, layers
    clad, look = front.row("claddings", wall.clad), front.look(wall.look)
    parts = narrowed(wall, look)
    for z in range(low, high):
        row = look.head if z == high - 1 else look.foot
        for strip, name in zip(parts, row, strict=True):
            for cells in strip:
                for rest in cells.less(brick):
                    yield _laid(wall, name or clad[z > low or high - low == 1], rest, z, tradition)
    if brick is not None:
        yield piece(tradition, "hearth back", brick.up(low, high))
    for z in range(high + 1, wall.z1 - 1):
        for strip, name in zip(parts, ("", look.band, look.band), strict=True):
            for cells in strip or ((wall.way,) if wall.way and name else ()):
                yield _laid(wall, name or clad[True], cells, z, tradition)
        if wall.passable and wall.way and not look.band:
            yield _laid(wall, clad[True], wall.way, z, tradition)


def _laid(wall: Wall, name: str, cells: Rect, z: int, tradition: Tradition) -> Part:
    role, form = tradition.front.row("pieces", name)
    return Part(
        "walls",
        role,
        "whole" if wall.abuts else laid(form, wall.axis, wall.face),
        cells.up(z, z + 1),
    )


def narrowed(wall: Wall, look: Look) -> tuple[tuple[Rect, ...], ...]:
    """The wall beside an opening, what frames it, and the opening, in the middle where narrow."""
    plain = strips(wall)
    if not look.narrow or not plain[2]:
        return plain
    a0, b0, a1, b1 = plain[2][0].lie(wall.axis)
    middle = Rect((a0 + a1 - 1) // 2, b0, (a0 + a1) // 2 + 1, b1).lie(wall.axis)
    jambs = middle.lie(wall.axis)
    frame = Rect(jambs.x0 - 1, b0, jambs.x1 + 1, b1).lie(wall.axis).meet(wall.cells)
    return wall.cells.less(frame), frame.less(middle), (middle,)
