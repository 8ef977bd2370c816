"""Stances: every place and turn in which a fitting can stand in a room of a given size."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from typing import NamedTuple

from msgspec import Struct

from genhouse.core.axes import Turn
from genhouse.core.box import Rect
from genhouse.core.forms import FORMS, NUMBER, SUB
from genhouse.traditions.tradition import Fitting

MIDDLES = 16
"""Stances that are looked at for what stands in the middle of a room, those nearest to it."""


class Stance(Struct, frozen=True, gc=False):
    """One way to stand a fitting; sets of cells are bits, as in ``Floor``.

    cells: its ground, from the room's south-west corner.  facing: index into FACING.
    ahead: cells of floor that it looks down.
    solid: cells its pieces stand on or over.  tall: the same of what would hide a window.
    use: the cell it is used from, 0 where from all round.  front: the cells wanted clear before it.
    seats: of the latter, the cells on which one sits.
    """

    cells: Rect
    facing: int
    ahead: int
    solid: int
    tall: int
    use: int
    front: int
    seats: int = 0

    def off(self, width: int, depth: int) -> int:
        """How far its middle is from that of a room of this size, along the axes, doubled."""
        x0, y0, x1, y1 = self.cells
        return abs(x0 + x1 - width) + abs(y0 + y1 - depth)

    def ends(self, width: int, depth: int) -> int:
        """How many of the room's corners it fills."""
        last = (depth - 1) * (width + 1)
        return sum(self.solid >> n & 1 for n in (0, width - 1, last, last + width - 1))

    def view(self, stride: int) -> int:
        """The cells straight ahead of it, up to the wall.  stride: bits from row to row."""
        (x0, y0, x1, y1), ahead = self.cells, self.ahead
        match self.facing:
            case 0:
                return block(x1 - x0, ahead, stride) << x0
            case 1:
                return block(ahead, y1 - y0, stride) << y0 * stride + x1
            case 2:
                return block(x1 - x0, ahead, stride) << y1 * stride + x0
            case _:
                return block(ahead, y1 - y0, stride) << y0 * stride


class Outline(NamedTuple):
    """A fitting turned: its size, its cells, the same where it is tall, and those on which one sits."""

    width: int
    depth: int
    feet: tuple[tuple[int, int], ...]
    high: tuple[tuple[int, int], ...]
    seats: tuple[tuple[int, int], ...]


@cache
def outlines(fitting: Fitting, mirror: bool) -> tuple[Outline, ...]:
    """By quarter turns.  mirror: left and right changed over."""
    turns = [Turn(*fitting.size, n, mirror) for n in range(4)]
    cells = tuple(dict.fromkeys((x, y) for x, y, *_ in fitting.pieces))
    high = cells if any(z and hides(form) for _, _, z, _, form in fitting.pieces) else ()
    seats = tuple((x, y) for x, y, z, _, form in fitting.pieces if not z and low(form))
    layers = (cells, high, seats if fitting.around and fitting.seats else ())
    return tuple(
        Outline(*turn.size, *(tuple(turn.cell(x, y, 0)[:2] for x, y in some) for some in layers))
        for turn in turns
    )


@cache
def low(form: str) -> bool:
    """Whether one sits on a piece of this form: no higher than half a cell."""
    return not FORMS[NUMBER[form]].shape[:, :, SUB // 2 :].any()


@cache
def hides(form: str) -> bool:
    """Whether a piece of this form, before a window, covers more than half of what it stands before."""
    shape = FORMS[NUMBER[form]].shape
    return max(int(shape.any(axis=axis).sum()) for axis in (0, 1)) > SUB * SUB // 2


def stances(fitting: Fitting, mirror: bool, width: int, depth: int) -> list[Stance]:
    """All of them in a room of this size; none that is used from beyond a wall.

    mirror: left and right changed over.
    """
    found = [
        stance
        for facing, outline in enumerate(outlines(fitting, mirror))
        if outline.width <= width and outline.depth <= depth
        for stance in _turned(fitting, outline, facing, width, depth)
    ]
    if fitting.against == "centre":
        found = sorted(found, key=lambda s: s.off(width, depth))[:MIDDLES]
    return found


def _turned(
    fitting: Fitting, outline: Outline, facing: int, across: int, along: int
) -> Iterator[Stance]:
    """The stances of one turn: what is drawn at the room's corner, moved to each place."""
    stride = across + 1
    width, depth, *layers = outline
    feet, high, seats = (sum(1 << y * stride + x for x, y in cells) for cells in layers)
    upright, around = facing % 2 == 0, fitting.around
    middle = (width - 1) // 2 if upright else (depth - 1) // 2 * stride
    before = (-stride, width, depth * stride, -1)[facing]
    for x, y in _places(fitting, facing, across - width, along - depth):
        ahead = (y, across - x - width, along - y - depth, x)[facing]
        at, use, front = y * stride + x, 0, 0
        if not around:
            if not ahead:
                continue
            rows = min(fitting.clear, ahead)
            use = 1 << at + middle + before
            first = at + (before if facing in (1, 2) else before * rows)
            front = block(width, rows, stride) if upright else block(rows, depth, stride)
            front <<= first
        cells = Rect(x, y, x + width, y + depth)
        yield Stance(cells, facing, ahead, feet << at, high << at, use, front, seats << at)


@cache
def block(width: int, depth: int, stride: int) -> int:
    """A rectangle of cells at the corner of a room whose rows are so far apart."""
    row = (1 << width) - 1
    return sum(row << y * stride for y in range(depth))


def _places(fitting: Fitting, facing: int, right: int, top: int) -> Iterator[tuple[int, int]]:
    """South-west corners at which a footprint may lie.  right, top: the last ones."""
    xs, ys = range(right + 1), range(top + 1)
    if fitting.against in ("wall", "corner"):
        back = (ys[-1:], xs[:1], ys[:1], xs[-1:])[facing]
        xs, ys = (xs, back) if facing % 2 == 0 else (back, ys)
        if fitting.against == "corner":
            xs, ys = xs[:: max(1, right)], ys[:: max(1, top)]
    return ((x, y) for y in ys for x in xs)
