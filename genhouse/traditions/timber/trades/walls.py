"""Walls: infill below the lower beam, a lattice band between the beams, windows, garden walls."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from genhouse.core.axes import ENDS
from genhouse.core.box import Rect
from genhouse.model.elements import Element, Panel, Wall, of
from genhouse.model.part import Part
from genhouse.traditions.timber.trades.frame import panel
from genhouse.traditions.timber.trades.fronts import face
from genhouse.traditions.tradition import Tradition


def raise_walls(elements: Sequence[Element], tradition: Tradition) -> Iterator[Part]:
    """Everything that fills the frame and stays where it is."""
    bricks = [p.box for p in of(Panel, elements) if p.use == "hearth"]
    for wall in of(Wall, elements):
        if wall.boundary not in ("open", "garden"):
            low, high = panel(wall, tradition)
            back = (b.rect for b in bricks if b.z0 == low and wall.cells.meets(b.rect))
            brick = next(back, None)
            if wall.face:
                yield from face(wall, (low, high), brick, tradition)
            else:
                yield from _infill(wall, low, high, brick)


def _infill(wall: Wall, low: int, high: int, brick: Rect | None) -> Iterator[Part]:
    """The panel beside the opening, with the brick at a hearth's back let into it; a lattice over it."""
    for piece in wall.cells.less(wall.way):
        for rest in piece.less(brick):
            yield Part("walls", "partition", f"infill {wall.axis}", rest.up(low, high))
    if brick is not None:
        yield Part("walls", "hearth", "whole", brick.up(low, high))
    if high < wall.z1 - 1:
        band = wall.cells.up(high + 1, wall.z1 - 1)
        yield Part("walls", "lattice", f"lattice {ENDS[wall.axis][1]}", band)


def bound_ground(elements: Sequence[Element], _: Tradition) -> Iterator[Part]:
    """Garden walls under their coping; at a gate two posts and a lintel."""
    for wall in of(Wall, elements):
        if wall.boundary == "garden":
            top = wall.z1 - 1
            hole = wall.way.grown(1).meet(wall.cells) if wall.way else None
            for piece in wall.cells.less(hole):
                yield Part("walls", "garden-wall", "whole", piece.up(wall.z0, top))
                yield Part("walls", "wall-cap", f"coping {wall.axis}", piece.up(top, wall.z1))
            if hole is not None and wall.way is not None:
                for post in hole.less(wall.way):
                    yield Part("walls", "post", "whole", post.up(wall.z0, wall.z1))
                yield Part("walls", "tie", "whole", wall.way.up(top, wall.z1))
