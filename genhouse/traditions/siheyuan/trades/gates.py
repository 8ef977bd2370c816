"""Gates and piers: a drum stone at either side of the way in, a board over it; brick on a stone foot."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec.structs import replace

from genhouse.core.axes import FLANKS, opposite
from genhouse.core.box import Box, Rect
from genhouse.model.elements import Element, Wall, of
from genhouse.model.part import Part
from genhouse.traditions.building import piece, set_members
from genhouse.traditions.timber.trades.porches import gate_roof
from genhouse.traditions.tradition import Tradition


def set_gates(elements: Sequence[Element], tradition: Tradition) -> Iterator[Part]:
    """What stands before the door by which visitors come in, at the level of the ground."""
    for wall in of(Wall, elements):
        if wall.opening == "entrance" and wall.way is not None and wall.floor == wall.z0:
            yield from _before(wall, wall.way.lie(wall.axis), tradition)
        if wall.opening == "gate" and wall.way is not None and not wall.look:
            yield from gate_roof(wall, wall.way.lie(wall.axis), tradition)


def _before(wall: Wall, way: Rect, tradition: Tradition) -> Iterator[Part]:
    """Drum stones; a board hangs on the wall over the door.  way: as the wall runs."""
    out = wall.outward == FLANKS[wall.axis][1]
    near = way.y1 if out else way.y0 - 1
    for a in (way.x0 - 1, way.x1):
        stone = Rect(a, near, a + 1, near + 1).lie(wall.axis)
        yield piece(tradition, "drum foot", stone.up(wall.z0, wall.z0 + 1))
        yield piece(tradition, "drum stone", stone.up(wall.z0 + 1, wall.z0 + 2))
    board = Rect(way.x0, near, way.x1, near + 1).lie(wall.axis)
    high = wall.lintel + 1
    yield piece(tradition, "gate board", board.up(high, high + 1), opposite(wall.outward))


def set_on_stone(elements: Sequence[Element], tradition: Tradition) -> Iterator[Part]:
    """One part of each member; the foot of a pier is of the stone that lies under the walls beside it."""
    ground, pier = tradition.storeys[0].slab, tradition.role("pier")
    for part in set_members(elements, tradition):
        if part.role == pier and part.box.z0 <= ground:
            x0, y0, z0, x1, y1, z1 = part.box
            yield piece(tradition, "outer sill", Box(x0, y0, z0, x1, y1, z0 + 1))
            part = replace(part, box=Box(x0, y0, z0 + 1, x1, y1, z1))
        yield part
