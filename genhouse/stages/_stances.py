"""Stances: every place and turn in which a fitting can stand in a room of a given size."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from typing import NamedTuple

from genhouse.core.axes import STEP, Side, Turn
from genhouse.core.box import Rect
from genhouse.stages._floorplan import Floor
from genhouse.traditions.loader import Fitting

FACING: tuple[Side, ...] = ("south", "east", "north", "west")
"""By quarter turns from the way a fitting is drawn."""
MIDDLES = 16
"""Stances that are looked at for what stands in the middle of a room, those nearest to it."""


class Stance(NamedTuple):
    """One way to stand a fitting; sets of cells are bits, as in ``Floor``.

    cells: its ground, from the room's south-west corner.  facing: index into FACING.
    solid: cells its pieces stand on.  tall: those two layers high and more.
    use: the cell it is used from, 0 where from all round.  front: the cells wanted clear before it.
    ends: how many of its cells lie in the room's corners.  off: from the middle of the room, doubled.
    ahead: cells of floor that it looks down.
    """

    cells: Rect
    facing: int
    solid: int
    tall: int
    use: int
    front: int
    ends: int
    off: int
    ahead: int


@cache
def lopsided(fitting: Fitting) -> bool:
    """Whether its left and right cover different cells."""
    last = fitting.size[0] - 1
    at = {(x, y, z) for x, y, z, _, _ in fitting.pieces}
    return at != {(last - x, y, z) for x, y, z in at}


@cache
def stances(fitting: Fitting, mirror: bool, width: int, depth: int) -> tuple[Stance, ...]:
    """All of them.  mirror: left and right changed over.  width, depth: of the room."""
    floor = Floor(room=0, rect=Rect(0, 0, width, depth))
    found = [s for n in range(4) for s in _turned(fitting, mirror, n, floor)]
    if fitting.against == "centre":
        found = sorted(found, key=lambda s: s.off)[:MIDDLES]
    return tuple(found)


def _turned(fitting: Fitting, mirror: bool, quarters: int, floor: Floor) -> Iterator[Stance]:
    """The stances of one turn: what is drawn at the room's corner, moved to each place."""
    turn, facing = Turn(*fitting.size, quarters, mirror), FACING[quarters]
    width, depth = turn.size
    across, along = floor.rect.width, floor.rect.depth
    if width > across or depth > along:
        return
    stride = floor.stride
    feet, high = (
        sum(1 << y * stride + x for x, y in _plan(fitting, turn, layer)) for layer in (0, 1)
    )
    front = _front(Rect(0, 0, width, depth), facing, fitting.clear)
    before = _before(width, depth, facing)
    for x, y in _places(fitting, facing, floor.rect, width, depth):
        at = y * stride + x
        solid = feet << at
        yield Stance(
            cells=Rect(x, y, x + width, y + depth),
            facing=quarters,
            solid=solid,
            tall=high << at,
            use=0
            if fitting.around
            else floor.bit(before[0] + x, before[1] + y) & ~solid or NOWHERE,
            front=0 if fitting.around else _clipped(front, x, y, floor.rect, stride),
            ends=_ends_filled(solid, across, along, stride),
            off=abs(2 * x + width - across) + abs(2 * y + depth - along),
            ahead=_ahead(x, y, width, depth, facing, floor.rect),
        )


def _plan(fitting: Fitting, turn: Turn, layer: int) -> set[tuple[int, int]]:
    """The cells of a layer, from the turned fitting's corner."""
    return {turn.cell(x, y, 0)[:2] for x, y, z, _, _ in fitting.pieces if z == layer}


def _clipped(front: Rect, x: int, y: int, room: Rect, stride: int) -> int:
    """The cells of a moved rectangle that lie in the room."""
    x0, x1 = max(0, front.x0 + x), min(room.x1, front.x1 + x)
    if x0 >= x1:
        return 0
    row = ((1 << x1 - x0) - 1) << x0
    rows = range(max(0, front.y0 + y), min(room.y1, front.y1 + y))
    return sum(row << n * stride for n in rows)


def _ends_filled(solid: int, across: int, along: int, stride: int) -> int:
    """How many of the room's four corners it fills."""
    last = (along - 1) * stride
    return sum(solid >> n & 1 for n in (0, across - 1, last, last + across - 1))


def _places(
    fitting: Fitting, facing: Side, rect: Rect, width: int, depth: int
) -> Iterator[tuple[int, int]]:
    """South-west corners at which a footprint of this size may lie."""
    xs, ys = range(rect.x1 - width + 1), range(rect.y1 - depth + 1)
    if fitting.against in ("wall", "corner"):
        ends = fitting.against == "corner"
        match facing:
            case "south":
                xs, ys = _ends(xs, ends), ys[-1:]
            case "north":
                xs, ys = _ends(xs, ends), ys[:1]
            case "east":
                xs, ys = xs[:1], _ends(ys, ends)
            case "west":
                xs, ys = xs[-1:], _ends(ys, ends)
    return ((x, y) for y in ys for x in xs)


def _ends(places: range, only: bool) -> range:
    return places[:: max(1, len(places) - 1)] if only else places


NOWHERE = 1 << 4096
"""A cell no room has: a stance that is used from there is never taken."""


def _before(width: int, depth: int, facing: Side) -> tuple[int, int]:
    """The cell before the middle of its front, from its corner."""
    dx, dy = STEP[facing]
    x = width if dx > 0 else -1 if dx < 0 else (width - 1) // 2
    y = depth if dy > 0 else -1 if dy < 0 else (depth - 1) // 2
    return x, y


def _front(cells: Rect, facing: Side, rows: int) -> Rect:
    """The rows of cells before it."""
    x0, y0, x1, y1 = cells
    match facing:
        case "south":
            return Rect(x0, y0 - rows, x1, y0)
        case "north":
            return Rect(x0, y1, x1, y1 + rows)
        case "east":
            return Rect(x1, y0, x1 + rows, y1)
        case _:
            return Rect(x0 - rows, y0, x0, y1)


def _ahead(x: int, y: int, width: int, depth: int, facing: Side, room: Rect) -> int:
    match facing:
        case "south":
            return y
        case "north":
            return room.y1 - y - depth
        case "east":
            return room.x1 - x - width
        case _:
            return x
