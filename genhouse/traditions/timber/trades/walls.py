"""Walls: infill below the lower beam, a lattice band between the beams, windows, garden walls."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from genhouse.core.axes import ENDS
from genhouse.core.box import Rect
from genhouse.model.elements import Element, Panel, Wall, of
from genhouse.model.part import Part
from genhouse.traditions.timber.trades.frame import panel
from genhouse.traditions.tradition import Tradition


def raise_walls(elements: Sequence[Element], tradition: Tradition) -> Iterator[Part]:
    """Everything that fills the frame and stays where it is."""
    bricks = [p.box for p in of(Panel, elements) if p.use == "hearth"]
    for wall in of(Wall, elements):
        if wall.boundary not in ("open", "garden"):
            low, high = panel(wall, tradition)
            back = (b.rect for b in bricks if b.z0 == low and wall.cells.meets(b.rect))
            yield from _infill(wall, low, high, next(back, None))
            if wall.opening == "window" and wall.way is not None:
                yield from _window(wall, wall.way, low, high)
            if high < wall.z1 - 1:
                band = wall.cells.up(high + 1, wall.z1 - 1)
                yield Part("walls", "lattice", f"lattice {ENDS[wall.axis][1]}", band)


def _infill(wall: Wall, low: int, high: int, brick: Rect | None) -> Iterator[Part]:
    """The panel beside the opening, with the brick at a hearth's back let into it."""
    role = "partition" if wall.inner else "infill"
    form = "whole" if wall.abuts else f"infill {wall.axis}"
    for piece in wall.cells.less(wall.way):
        for rest in piece.less(brick):
            yield Part("walls", role, form, rest.up(low, high))
    if brick is not None:
        yield Part("walls", "hearth", "whole", brick.up(low, high))


def _window(wall: Wall, way: Rect, low: int, high: int) -> Iterator[Part]:
    """A lattice over the whole opening, paper over all of it, or over its topmost layer only."""
    if wall.look == "lattice":
        yield Part("walls", "lattice", f"lattice {ENDS[wall.axis][1]}", way.up(low, high))
        return
    foot = high - 1 if wall.look == "high" else low
    if foot > low:
        yield Part("walls", "infill", f"infill {wall.axis}", way.up(low, foot))
    yield Part("walls", "window", f"leaf near {wall.axis}", way.up(foot, high))


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
