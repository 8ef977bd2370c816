"""Where water would stand: what must be filled so that all of a ground drains.

Filling is a reconstruction by erosion (L. Vincent, IEEE Transactions on Image Processing 2 (1993)), done
square by square until nothing changes at their borders: it takes little memory however large the map.
"""

from __future__ import annotations

import numpy as np

from genhouse.village.grids import Mask
from genhouse.village.surface import Halves, Surface

SQUARE = 512
"""Columns along the sides of what is filled at once."""
COARSE = 4
"""Columns along the sides of the blocks by which it is first bounded."""


def pits(surface: Surface) -> Halves:
    """Half cells that water would stand on each column before it runs off the map, or into water."""
    top, out = surface.top, surface.level > 0
    out[[0, -1]] = True
    out[:, [0, -1]] = True
    return filled(top, out) - top


def filled(top: Halves, out: Mask) -> Halves:
    """The lowest ground over this from which water finds a way out.  out: where it does."""
    found = np.where(out, top, _bounded(top, out))
    squares = [
        (x, y) for x in range(0, top.shape[0], SQUARE) for y in range(0, top.shape[1], SQUARE)
    ]
    waiting = dict.fromkeys(squares)
    while waiting:
        x, y = next(iter(waiting))
        del waiting[x, y]
        part = np.s_[max(0, x - 1) : x + SQUARE + 1, max(0, y - 1) : y + SQUARE + 1]
        before = found[part].copy()
        found[part] = _eroded(before, top[part])
        lower = found[part] != before
        lower[2:-2, 2:-2] = False
        if lower.any():
            beside = {(x + i * SQUARE, y + j * SQUARE) for i in (-1, 0, 1) for j in (-1, 0, 1)}
            waiting.update(dict.fromkeys(s for s in squares if s in beside and s != (x, y)))
    return found


def _bounded(top: Halves, out: Mask) -> Halves:
    """No lower than what is sought: filled by blocks, each as high as its highest column."""
    n, m = (size // COARSE for size in top.shape)
    blocks = top.reshape(n, COARSE, m, COARSE).max(axis=(1, 3))
    drained = np.asarray(out.reshape(n, COARSE, m, COARSE).any(axis=(1, 3)))
    coarse = _eroded(np.where(drained, blocks, blocks.max()), blocks)
    return coarse.repeat(COARSE, axis=0).repeat(COARSE, axis=1)


def _eroded(most: Halves, least: Halves) -> Halves:
    from skimage.morphology import reconstruction

    found = reconstruction(most, least, method="erosion")  # type: ignore[no-untyped-call]
    return np.asarray(found.astype(np.int16))
