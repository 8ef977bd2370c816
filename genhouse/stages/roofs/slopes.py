"""Roof surfaces as height fields on half cells: joining is max, cutting is min.

Plan resolution is half a cell, heights are whole half cells from the ground of the array.  A column
of the field is half a cell square; ``NONE`` marks a column without roof.
"""

from __future__ import annotations

from functools import cache
from typing import Any, TypeVar

import numpy as np
import numpy.typing as npt

from genhouse.core.box import Rect
from genhouse.core.kept import fixed
from genhouse.stages.roofs.profiles import Pair

Field = npt.NDArray[np.int16]
Whole = npt.NDArray[np.integer[Any]]
T = TypeVar("T", bound=np.generic)
NONE = -1
ABOVE_ALL = np.int16(np.iinfo(np.int16).max)
"""Higher than any roof."""


@cache
def eaves(courses: int, gentle: int) -> tuple[Pair, ...]:
    """The courses beyond a wall, outermost first, each so many half cells below the next."""
    return tuple((-gentle * n, -gentle * n) for n in range(courses, 0, -1))


@cache
def across(low: tuple[Pair, ...], slope: tuple[Pair, ...], high: tuple[Pair, ...]) -> Field:
    """Heights across a wing of two slopes in half-cell columns, from its low overhang to its high one.

    low, high: the courses of each overhang, outermost first.  slope: wall to ridge.  Read-only.
    """
    rising = [h for pair in (*low, *slope) for h in pair]
    falling = [h for pair in (*high, *slope[:-1]) for h in pair]
    return _fixed(rising + falling[::-1])


@cache
def rising(length: int, courses: tuple[Pair, ...], upright: int | None = None) -> Field:
    """Heights along a wing from a sloping end on, overhang first: the slope, then its top.

    length: cells along the wing.  upright: courses after which a small gable stands on the slope.
    Read-only.
    """
    shown = courses if upright is None else courses[:upright]
    slope = [h for pair in shown for h in pair]
    level = [slope[-1] if upright is None else int(ABOVE_ALL) // 2] * (2 * length)
    return _fixed((slope + level)[: 2 * length])


def lain(field: npt.NDArray[T], axis: str) -> npt.NDArray[T]:
    """A plan as what runs along an axis has it: along, across.  Its own inverse, and a view."""
    return field if axis == "x" else field.T


def _fixed(heights: list[int]) -> Field:
    """Heights along a line, read-only."""
    return fixed(np.array(heights, dtype=np.int16))


def prism(
    size: tuple[int, int],
    ground: Rect,
    heights: Field,
    axis: str,
    base: int,
    ends: tuple[Field | None, Field | None] = (None, None),
) -> Field:
    """One wing's roof over a plot: the heights across it, cut down toward its hipped ends.

    size: the plot in cells, at whose edge a roof ends.  ground: the cells it covers, overhangs
    included.  base: height of the top of the course over the wall, in half cells.  ends: what
    ``rising`` gives, as long as the wing, for a hip at its low and high end; None for a gable.
    Returns int16 [2 X, 2 Y].
    """
    x0, y0, x1, y1 = ground
    whole = np.zeros((2 * (x1 - x0), 2 * (y1 - y0)), dtype=np.int16)
    along = lain(whole, axis)
    along[:] = heights + base
    low, high = ends
    if low is not None:
        np.minimum(along, (low + base)[:, None], out=along)
    if high is not None:
        np.minimum(along, (high[::-1] + base)[:, None], out=along)
    field = np.full((2 * size[0], 2 * size[1]), NONE, dtype=np.int16)
    u0, v0, u1, v1 = ground.meet(Rect(0, 0, *size))
    kept = whole[2 * (u0 - x0) : 2 * (u1 - x0), 2 * (v0 - y0) : 2 * (v1 - y0)]
    field[2 * u0 : 2 * u1, 2 * v0 : 2 * v1] = kept
    return field


def join(fields: Field | list[Field]) -> Field:
    """The upper envelope."""
    highest: Field = np.maximum.reduce(fields)
    return highest


def shell(top: Field) -> Field:
    """The underside of a roof that no path can cross: by face, edge or corner.

    top: [..., 2 X, 2 Y], one roof or several.  A column reaches one half cell below the top of the
    lowest of its eight neighbours.  int16, NONE where there is no roof.
    """
    *several, x, y = top.shape
    padded = np.full((*several, x + 2, y + 2), NONE, dtype=np.int16)
    padded[..., 1:-1, 1:-1] = top
    high = padded.view(np.uint16)  # read without its sign, NONE is above all
    rows = np.minimum(np.minimum(high[..., :-2, :], high[..., 1:-1, :]), high[..., 2:, :])
    lowest = np.minimum(np.minimum(rows[..., :-2], rows[..., 1:-1]), rows[..., 2:]).view(np.int16)
    return np.where(top == NONE, top, lowest - 1)


def columns(field: Field) -> Field:
    """A field [2 X, 2 Y] as the four columns of each cell: [4, X Y]."""
    x, y = (n // 2 for n in field.shape)
    return field.reshape(x, 2, y, 2).transpose(1, 3, 0, 2).reshape(4, x * y)


def by_cell(under: Field) -> Field:
    """The lowest height over each cell: [X, Y]; NONE outside."""
    x, y = under.shape
    lowest: Field = columns(under).min(axis=0)
    return lowest.reshape(x // 2, y // 2)


def half(cells: npt.NDArray[T]) -> npt.NDArray[T]:
    """A plan in cells as a plan in half cells."""
    return cells.repeat(2, axis=0).repeat(2, axis=1)


def closed_on(under: Field, walls: npt.NDArray[np.bool_]) -> Field:
    """An underside brought down to the top of a whole cell wherever a wall meets it."""
    lowest = by_cell(under)
    seat = half(lowest & -2)
    return np.where(half(walls) & (under != NONE), seat, under)
