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
def stances(fitting: Fitting, mirror: bool, width: int, depth: int) -> tuple[Stance, ...]:
    """All of them.  mirror: left and right changed over.  width, depth: of the room."""
    floor = Floor(room=0, rect=Rect(0, 0, width, depth))
    found = [s for n in range(4) for s in _turned(fitting, mirror, n, floor)]
    if fitting.against == "centre":
        found = sorted(found, key=lambda s: s.off)[:MIDDLES]
    return tuple(found)


def _turned(fitting: Fitting, mirror: bool, quarters: int, floor: Floor) -> Iterator[Stance]:
    turn = Turn(*fitting.size, quarters, mirror)
    feet = floor.bits(turn.cell(x, y, 0)[:2] for x, y, z, _, _ in fitting.pieces if z == 0)
    high = floor.bits(turn.cell(x, y, 0)[:2] for x, y, z, _, _ in fitting.pieces if z == 1)
    width, depth = turn.size
    if width > floor.rect.width or depth > floor.rect.depth:
        return
    corners = floor.bits((x, y) for x in (0, floor.rect.x1 - 1) for y in (0, floor.rect.y1 - 1))
    for x, y in _places(fitting, FACING[quarters], floor.rect, width, depth):
        cells = Rect(x, y, x + width, y + depth)
        solid = floor.shifted(feet, x, y)
        front = _front(cells, FACING[quarters], fitting.clear)
        yield Stance(
            cells=cells,
            facing=quarters,
            solid=solid,
            tall=floor.shifted(high, x, y),
            use=0 if fitting.around else _use(floor, cells, FACING[quarters], solid),
            front=0 if fitting.around else floor.block(front),
            ends=(solid & corners).bit_count(),
            off=abs(2 * x + width - floor.rect.width) + abs(2 * y + depth - floor.rect.depth),
            ahead=_ahead(cells, FACING[quarters], floor.rect),
        )


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


def _use(floor: Floor, cells: Rect, facing: Side, solid: int) -> int:
    """The cell before the middle of its front; or, drawn into its plan, before what it backs on."""
    dx, dy = STEP[facing]
    x, y = (cells.x0 + cells.x1 - 1) // 2, (cells.y0 + cells.y1 - 1) // 2
    x = cells.x1 if dx > 0 else cells.x0 - 1 if dx < 0 else x
    y = cells.y1 if dy > 0 else cells.y0 - 1 if dy < 0 else y
    return floor.bit(x, y) & ~solid or NOWHERE


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


def _ahead(cells: Rect, facing: Side, rect: Rect) -> int:
    match facing:
        case "south":
            return cells.y0
        case "north":
            return rect.y1 - cells.y1
        case "east":
            return rect.x1 - cells.x1
        case _:
            return cells.x0
