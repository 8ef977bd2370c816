"""A ground filled so that all of it drains.

From a bound above it, each column comes down to what its lowest neighbour lets run off, until nothing
changes any more (O. Planchon and F. Darboux, Catena 46 (2002) 159-176, from memory): first in sweeps over
the whole map, then about those columns alone that still lie over their ground.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from genhouse.village.grids import ROWS, STEPS, Field, Mask

COARSE = 4
"""Columns along the sides of the blocks by which it is first bounded."""
SWEEPS = 2
"""Times that the map is swept from all four sides; brooks bend, so some columns are left then."""


def filled(top: Field, out: Mask) -> Field:
    """The lowest ground over this from which water finds a way out: over the border, or where ``out`` is.

    Both sides are whole numbers of blocks long.
    """
    found = _bounded(top, out)
    np.copyto(found, top, where=out)
    for edge in (np.s_[0], np.s_[-1], np.s_[:, 0], np.s_[:, -1]):
        found[edge] = top[edge]
    for _ in range(SWEEPS):
        _swept(found, top)
        _swept(found[::-1], top[::-1])
        for row in range(0, len(top), ROWS):
            part = np.s_[row : row + ROWS]
            aside, ground = (np.ascontiguousarray(field[part].T) for field in (found, top))
            _swept(aside, ground)
            _swept(aside[::-1], ground[::-1])
            found[part] = aside.T
    _settled(found.reshape(-1), top.reshape(-1), top.shape[1])
    return found


def _bounded(top: Field, out: Mask) -> Field:
    """No lower than what is sought: filled by blocks, each as high as its highest column."""
    n, m = (size // COARSE for size in top.shape)
    blocks = top.reshape(n, COARSE, m, COARSE).max(axis=(1, 3))
    drained = np.asarray(out.reshape(n, COARSE, m, COARSE).any(axis=(1, 3)))
    drained[[0, -1]] = True
    drained[:, [0, -1]] = True
    coarse = _eroded(np.where(drained, blocks, blocks.max()), blocks)
    return coarse.repeat(COARSE, axis=0).repeat(COARSE, axis=1)


def _eroded(most: Field, least: Field) -> Field:
    """See L. Vincent, IEEE Transactions on Image Processing 2 (1993)."""
    from skimage.morphology import reconstruction

    found = reconstruction(most, least, method="erosion")  # type: ignore[no-untyped-call]
    return np.asarray(found.astype(least.dtype))


def _swept(found: Field, top: Field) -> None:
    """Row after row, each column comes down to the lowest of the three before it."""
    low = np.zeros(found.shape[1] - 2, dtype=found.dtype)
    for n in range(1, len(found) - 1):
        before, inner = found[n - 1], found[n, 1:-1]
        np.minimum(before[:-2], before[1:-1], out=low)
        np.minimum(low, before[2:], out=low)
        np.maximum(low, top[n, 1:-1], out=low)
        np.minimum(inner, low, out=inner)


def _settled(found: Field, top: Field, width: int) -> None:
    """Flat: what still lies over its ground comes down, and with it what lies beside that."""
    steps = np.array([di * width + dj for di, dj in STEPS])
    at: npt.NDArray[np.int64] = np.flatnonzero(found > top)
    while len(at):
        low = found[at]
        for step in steps.tolist():
            np.minimum(low, found[at + step], out=low)
        np.maximum(low, top[at], out=low)
        lower = low < found[at]
        at = at[lower]
        found[at] = low[lower]
        near = (at[:, None] + steps).reshape(-1)
        at = np.unique(near[found[near] > top[near]])
