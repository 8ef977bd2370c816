"""Calm: how a carpenter would judge the lines of a roof; the lower the calmer."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import numpy.typing as npt

from genhouse.stages.roofs.slopes import NONE, Field

Marks = npt.NDArray[np.uint8]
Places = npt.NDArray[np.intp]

SHORT = 3
"""Cells of the shortest ridge that does not look astray."""
STEP = 4
"""Half cells from which a drop between neighbours is a wall in the roof, not a slope."""


def unrest(top: Field, ridges: Marks, inside: npt.NDArray[np.bool_], flue: tuple[int, int]) -> int:
    """Stray ridges, ridges of unlike height, walls in the roof, a chimney low on a slope.

    top: half cells, [2 X, 2 Y].  ridges: 0, 1 or 2 by cell.  inside: the cells over the wings.
    """
    cells = top[::2, ::2].copy()
    count = _walls(cells, inside)
    x, y = ridges.nonzero()
    if not len(x):
        return count
    heights = len(set(cells[x, y].tolist()))
    away = int(np.maximum(np.abs(x - flue[0]), np.abs(y - flue[1])).min())
    return count + 4 * _stray(ridges, x, y) + 2 * (heights - 1) + max(0, away - 1)


def _stray(ridges: Marks, x: Places, y: Places) -> int:
    """How many ridges, on the cells at x and y, are shorter than the least."""
    kind = ridges[x, y]
    line, along = np.where(kind == 1, (y, x), (x, y))
    wide = max(ridges.shape) + 1
    places = np.sort((kind * wide + line) * wide + along)
    ends = (places[1:] != places[:-1] + 1).nonzero()[0].tolist()
    return sum(b - a < SHORT for a, b in pairwise((-1, *ends, len(places) - 1)))


def _walls(cells: Field, inside: npt.NDArray[np.bool_]) -> int:
    """A point for each three cells of upright face within the roof."""
    roofed = inside & (cells != NONE)
    count = 0
    for high, there in ((cells, roofed), (cells.T, roofed.T)):
        upright = np.abs(high[1:] - high[:-1]) >= STEP
        count += int(np.count_nonzero(upright & there[1:] & there[:-1]))
    return count // 3
