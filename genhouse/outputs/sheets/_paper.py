"""How a sheet lies on paper: its margins, and into how many parts a plot is cut so that all is legible."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise, product

from genhouse.core.box import Rect
from genhouse.outputs.plans._pen import CELL

EDGE, AXIS, HEAD, FOOT = 16, 22, 40, 14
"""Free paper round a sheet, beside the plot for its axes, above for its title, and below."""
KEY_ROW, KEY_COLUMN = 24, 124
LETTERING = 8.0
"""Size of the smallest lettering, in units of the drawing."""
LEGIBLE = 6.0
"""The least size of lettering in print, in points."""
PAGE = (184, 264)
"""Width and height of what a page of A4 has for a drawing, in millimetres; the page's style has the
same."""
POINTS = 72 / 25.4
"""In a millimetre."""


def key_columns(width: int) -> int:
    """Of the key under a plot, or a part of it, so many cells wide."""
    return int(_wide(width) // KEY_COLUMN)


def size_of(width: int, depth: int, key: int) -> tuple[int, int]:
    """Units of a sheet of so many cells, with so many entries in its key."""
    rows = -(-key // key_columns(width))
    return (
        _wide(width) + 2 * EDGE,
        HEAD + CELL * depth + 2 * AXIS + KEY_ROW * rows + 2 * EDGE + FOOT,
    )


def parted(plot: tuple[int, int], key: Callable[[Rect], int]) -> tuple[Rect, ...]:
    """The fewest parts that print legibly, row by row from the south-west; neighbours share a row or
    column of cells.  key: how many entries that of a part has.

    >>> parted((20, 30), lambda part: 12)
    (Rect(x0=0, y0=0, x1=20, y1=30),)
    >>> len(parted((45, 61), lambda part: 24))
    4
    """
    width, depth = plot
    counts = sorted(product(range(1, width), range(1, depth)), key=lambda n: (n[0] * n[1], n[0]))
    for across, up in counts:
        parts = tuple(
            Rect(x0, y0, x1, y1) for y0, y1 in _cut(depth, up) for x0, x1 in _cut(width, across)
        )
        if all(_legible(part.width, part.depth, key(part)) for part in parts):
            return parts
    return (Rect(0, 0, width, depth),)


def _legible(width: int, depth: int, key: int) -> bool:
    """Whether a sheet is, as large as the page allows."""
    wide, high = size_of(width, depth, key)
    scale = min(PAGE[0] / wide, PAGE[1] / high) * POINTS
    return scale * LETTERING >= LEGIBLE


def _wide(width: int) -> int:
    return max(CELL * width + 2 * AXIS, 2 * KEY_COLUMN)


def _cut(n: int, parts: int) -> list[tuple[int, int]]:
    """So many cells in even parts; each begins with the last cell of the one before it.

    >>> _cut(10, 3)
    [(0, 4), (3, 7), (6, 10)]
    """
    at = [part * (n - 1) // parts for part in range(parts + 1)]
    return [(a, b + 1) for a, b in pairwise(at)]
