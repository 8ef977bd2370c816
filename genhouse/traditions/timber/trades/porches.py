"""Porches: a roof on two posts before an entrance; a small gable over a gate; at both a nameless board."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from genhouse.core.axes import FLANKS, opposite
from genhouse.core.box import Rect
from genhouse.model.elements import Element, Wall, of
from genhouse.model.part import Part
from genhouse.traditions.building import piece
from genhouse.traditions.tradition import Tradition

EYES = 1
"""Layers above the ground of what is to be read on a post."""


def roof_porches(elements: Sequence[Element], tradition: Tradition) -> Iterator[Part]:
    """Whatever keeps the rain off a way in from outdoors."""
    for wall in of(Wall, elements):
        if wall.opening == "entrance" and wall.way is not None:
            yield from _porch(wall, wall.way.lie(wall.axis), tradition)
        if wall.opening == "gate" and wall.way is not None and not wall.look:
            yield from gate_roof(wall, wall.way.lie(wall.axis), tradition)


def _porch(wall: Wall, way: Rect, tradition: Tradition) -> Iterator[Part]:
    """Two courses out from the wall; the lower rests on posts.  way: as the wall runs."""
    z, step = wall.lintel, 1 if wall.outward == FLANKS[wall.axis][1] else -1
    near = way.y1 if step > 0 else way.y0 - 1
    upper, lower = (
        Rect(way.x0 - 1, b, way.x1 + 1, b + 1).lie(wall.axis) for b in (near, near + step)
    )
    back = opposite(wall.outward)
    yield piece(tradition, "porch course", upper.up(z, z + 1), back)
    yield piece(tradition, "porch eave", lower.up(z, z + 1))
    if wall.floor == wall.z0:  # visitors walk in at the level of the ground
        yield piece(tradition, "name board", upper.up(z + 1, z + 2), back)
    for a in (way.x0 - 1, way.x1):
        foot = Rect(a, near + step, a + 1, near + step + 1).lie(wall.axis)
        yield piece(tradition, "porch post", foot.up(wall.z0, z))


def gate_roof(wall: Wall, way: Rect, tradition: Tradition) -> Iterator[Part]:
    """A small gable over a gate in a wall.  way: as the wall runs."""
    z = wall.z1
    low, line, high = (
        Rect(way.x0 - 1, b, way.x1 + 1, b + 1).lie(wall.axis) for b in (way.y0 - 1, way.y0, way.y1)
    )
    yield piece(tradition, "gate roof", line.up(z, z + 1))
    for eave in (low, high):
        yield piece(tradition, "porch eave", eave.up(z, z + 1))
    yield piece(tradition, "gate ridge", line.up(z + 1, z + 2), wall.axis)
    board = Rect(way.x1, way.y0 - 1, way.x1 + 1, way.y0).lie(wall.axis)
    foot, back = wall.z0 + EYES, opposite(wall.outward)
    yield piece(tradition, "gate board", board.up(foot, foot + 1), back)
