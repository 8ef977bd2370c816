"""Roof surfaces as height fields on half cells: joining is max, cutting is min.

Plan resolution is half a cell, heights are whole half cells from the ground of the array.  A column
of the field is half a cell square; ``NONE`` marks a column without roof.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from genhouse.core.box import Rect
from genhouse.traditions.loader import RoofRule

Field = npt.NDArray[np.int16]
NONE = -1


def profile(span: int, rule: RoofRule, *, steep: bool) -> tuple[tuple[int, int], ...]:
    """Heights over the wall plate of one slope, a pair of half-cell columns a course, eaves first.

    The first pair lies over the outermost course of the larger overhang; the last is the ridge course.
    span: wall line to wall line, even.  steep: whether the last courses rise faster.
    Returns pairs (outer, inner) in half cells above the top of the course over the wall.
    """
    flat = [(-rule.gentle * n, -rule.gentle * n) for n in range(rule.outside, -1, -1)]
    courses = span // 2 - 1
    rises = [rule.pitch] * courses
    if steep and courses > 2:
        rises[-2:] = [rule.steep, rule.steep]
    height = 0
    rising: list[tuple[int, int]] = []
    for rise in rises:
        height += rise
        whole = rise == 2 and height % 2 == 0
        rising.append((height - 1, height) if whole else (height, height))
    return (*flat, *rising, (height + 1, height + 1))


def across(span: int, rule: RoofRule, low_over: int, high_over: int, *, steep: bool) -> Field:
    """Heights across a whole wing in half-cell columns, from its low overhang to its high one.

    low_over, high_over: overhang of each side in courses, at most ``rule.outside``.
    """
    slope = profile(span, rule, steep=steep)
    low = [h for pair in slope[rule.outside - low_over :] for h in pair]
    high = [h for pair in slope[rule.outside - high_over : -1] for h in pair]
    return np.array(low + high[::-1], dtype=np.int16)


def rising(length: int, span: int, rule: RoofRule, *, steep: bool) -> Field:
    """Heights along a wing from a hipped end on, overhang first: the slope, then its top.

    length: cells along the wing from the edge of that overhang.
    """
    slope = [h for pair in profile(span, rule, steep=steep) for h in pair]
    level = [slope[-1]] * max(0, 2 * length - len(slope))
    return np.array((slope + level)[: 2 * length], dtype=np.int16)


def prism(
    size: tuple[int, int],
    ground: Rect,
    heights: Field,
    axis: str,
    base: int,
    ends: tuple[Field | None, Field | None] = (None, None),
) -> Field:
    """One wing's roof over a plot: the heights across it, cut down toward its hipped ends.

    size: the plot in cells.  ground: the cells it covers, overhangs included.  base: height of the
    top of the course over the wall, in half cells.  ends: what ``rising`` gives, as long as the
    wing, for a hip at its low and high end; None for a gable.  Returns int16 [2 X, 2 Y].
    """
    field = np.full((2 * size[0], 2 * size[1]), NONE, dtype=np.int16)
    cut = field[2 * ground.x0 : 2 * ground.x1, 2 * ground.y0 : 2 * ground.y1]
    low, high = ends
    along = [end for end in (low, high[::-1] if high is not None else None) if end is not None]
    across = heights[None, :] if axis == "x" else heights[:, None]
    cut[:] = across + base
    for end in along:
        np.minimum(cut, (end[:, None] if axis == "x" else end[None, :]) + base, out=cut)
    return field


def join(fields: list[Field]) -> Field:
    """The upper envelope."""
    highest: Field = np.maximum.reduce(fields)
    return highest


def shell(top: Field) -> Field:
    """The underside of a roof that no path can cross: by face, edge or corner.

    A column reaches one half cell below the top of the lowest of its eight neighbours.  int16,
    NONE where there is no roof.
    """
    high = np.int16(np.iinfo(np.int16).max)
    padded = np.pad(np.where(top == NONE, high, top), 1, constant_values=high)
    rows = np.minimum(np.minimum(padded[:-2], padded[1:-1]), padded[2:])
    lowest = np.minimum(np.minimum(rows[:, :-2], rows[:, 1:-1]), rows[:, 2:])
    return np.where(top == NONE, NONE, lowest - 1).astype(np.int16)
