"""Calm: how a carpenter would judge the lines of a roof; the lower the calmer."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from genhouse.stages.roofs.slopes import NONE, Field

SHORT = 3
"""Cells of the shortest ridge that does not look astray."""
STEP = 4
"""Half cells from which a drop between neighbours is a wall in the roof, not a slope."""


def unrest(
    top: Field, ridges: npt.NDArray[np.uint8], inside: npt.NDArray[np.bool_], flue: tuple[int, int]
) -> int:
    """Stray ridges, ridges of unlike height, walls in the roof, a chimney low on a slope.

    top: half cells, [2 X, 2 Y].  ridges: 0, 1 or 2 by cell.  inside: the cells over the wings.
    """
    cells = top[::2, ::2].astype(int)
    stray = _short_runs(ridges == 1) + _short_runs((ridges == 2).T)
    heights = len(set(cells[ridges > 0].tolist()))
    return 4 * stray + 2 * max(0, heights - 1) + _walls(cells, inside) + _lonely(ridges, flue)


def _short_runs(lines: npt.NDArray[np.bool_]) -> int:
    """How many runs along x are shorter than the least."""
    starts, ends = lines.copy(), lines.copy()
    starts[1:] &= ~lines[:-1]
    ends[:-1] &= ~lines[1:]
    lengths = np.flatnonzero(ends.T) - np.flatnonzero(starts.T) + 1
    return int(np.count_nonzero(lengths < SHORT))


def _walls(cells: npt.NDArray[np.int_], inside: npt.NDArray[np.bool_]) -> int:
    """A point for each three cells of upright face within the roof."""
    count = 0
    for axis in (0, 1):
        here = np.moveaxis(np.where(inside & (cells != NONE), cells, NONE), axis, 0)
        both = (here[1:] != NONE) & (here[:-1] != NONE)
        count += int((both & (np.abs(here[1:] - here[:-1]) >= STEP)).sum())
    return count // 3


def _lonely(ridges: npt.NDArray[np.uint8], flue: tuple[int, int]) -> int:
    """Cells from the chimney to the nearest ridge, past the first."""
    places = np.argwhere(ridges > 0)
    if not len(places):
        return 0
    return max(0, int(np.abs(places - np.array(flue)).max(axis=1).min()) - 1)
