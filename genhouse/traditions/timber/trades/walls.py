"""Walls: infill below the lower beam, a lattice band between the beams, windows, garden walls."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from genhouse.core.axes import ENDS
from genhouse.core.box import Rect
from genhouse.model.elements import Element, Panel, Wall, of
from genhouse.model.part import Part
from genhouse.traditions.building import piece
from genhouse.traditions.timber.trades.frame import panel
from genhouse.traditions.timber.trades.fronts import Layers, face
from genhouse.traditions.tradition import Tradition


def raise_walls(elements: Sequence[Element], tradition: Tradition) -> Iterator[Part]:
    """Everything that fills the frame and stays where it is."""
    bricks = [p.box for p in of(Panel, elements) if p.use == "hearth"]
    for wall in of(Wall, elements):
        if wall.boundary not in ("open", "garden"):
            low, high = panel(wall, tradition)
            if wall.boundary == "party":
                yield from _party(wall, (low, high), tradition)
                continue
            back = (b.rect for b in bricks if b.z0 == low and wall.cells.meets(b.rect))
            brick = next(back, None)
            if wall.face:
                yield from face(wall, (low, high), brick, tradition)
            else:
                yield from _infill(wall, (low, high), brick, tradition)


def _infill(wall: Wall, layers: Layers, brick: Rect | None, tradition: Tradition) -> Iterator[Part]:
    """The panel beside the opening, with the brick at a hearth's back let into it; a lattice over it."""
    low, high = layers
    for cells in wall.cells.less(wall.way):
        for rest in cells.less(brick):
            yield piece(tradition, "infill", rest.up(low, high), wall.axis)
    if brick is not None:
        yield piece(tradition, "hearth back", brick.up(low, high))
    if high < wall.z1 - 1:
        band = wall.cells.up(high + 1, wall.z1 - 1)
        yield piece(tradition, "band", band, ENDS[wall.axis][1])


def _party(wall: Wall, layers: Layers, tradition: Tradition) -> Iterator[Part]:
    """Whole cells between the beams: a neighbour's wall may stand against them, or none."""
    low, high = layers
    for z0, z1 in ((low, high), (high + 1, wall.z1 - 1)):
        if z0 < z1:
            yield piece(tradition, "party wall", wall.cells.up(z0, z1))


def bound_ground(elements: Sequence[Element], tradition: Tradition) -> Iterator[Part]:
    """Garden walls under their coping; at a gate two posts and a lintel."""
    for wall in of(Wall, elements):
        if wall.boundary == "garden" and not wall.look:
            top = wall.z1 - 1
            hole = wall.way.grown(1).meet(wall.cells) if wall.way else None
            for cells in wall.cells.less(hole):
                yield piece(tradition, "garden wall", cells.up(wall.z0, top))
                yield piece(tradition, "coping", cells.up(top, wall.z1), wall.axis)
            if hole is not None and wall.way is not None:
                for post in hole.less(wall.way):
                    yield piece(tradition, "gate post", post.up(wall.z0, wall.z1))
                yield piece(tradition, "gate lintel", wall.way.up(top, wall.z1))
