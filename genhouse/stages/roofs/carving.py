"""Half-cell solids to forms: the piece that fills a cell best without rising above the roof."""

from __future__ import annotations

from functools import cache

import numpy as np
import numpy.typing as npt

from genhouse.core.forms import FORMS
from genhouse.stages.roofs.slopes import NONE, Field

PIECES = ("full", "lower slab", "upper slab", "step", "outer corner step", "inner corner step")


@cache
def _octants() -> tuple[tuple[int, int], ...]:
    """(form number, octants) of each piece a roof is laid with; bit ``x * 4 + y * 2 + z``."""
    found = []
    for number, form in enumerate(FORMS):
        if form.piece in PIECES:
            halves = form.shape.reshape(2, 2, 2, 2, 2, 2).all(axis=(1, 3, 5))
            bits = sum(1 << i for i, full in enumerate(halves.reshape(-1)) if full)
            found.append((number, bits))
    return tuple(found)


@cache
def best_form(needed: int, sky: int) -> int:
    """The form that fills the needed octants with the least rise into the sky, then the least bulk.

    needed, sky: octants as bits ``x * 4 + y * 2 + z``.  Returns a form number.
    """
    fits = [(n, bits) for n, bits in _octants() if bits & needed == needed]
    return min(fits, key=lambda f: ((f[1] & sky).bit_count(), f[1].bit_count(), f[0]))[0]


def carve(top: Field, under: Field, layers: int) -> npt.NDArray[np.uint8]:
    """Forms of a shell between two height fields.

    top, under: int16 [2 X, 2 Y] in half cells.  Returns uint8 [X, Y, layers], 0 for no piece.
    """
    size = top.shape[0] // 2, top.shape[1] // 2
    covered = np.flatnonzero(_columns(top).max(axis=0) != NONE)
    tops, unders = (_columns(field)[:, covered].repeat(2, axis=0) for field in (top, under))
    low, high = int(under[top != NONE].min()) // 2, -(-int(top.max()) // 2)
    z = np.arange(2 * low, 2 * high, dtype=np.int16).reshape(-1, 1, 2).repeat(4, axis=1)
    layer = z.reshape(-1, 8, 1)
    below = layer < tops
    packed = _pack(below & (layer >= unders))
    filled = packed.nonzero()
    codes = packed[filled].astype(np.uint16) << 8 | _pack((tops != NONE) & ~below)[filled]
    kinds, which = np.unique(codes, return_inverse=True)
    found = np.array([best_form(k >> 8, k & 255) for k in kinds.tolist()], dtype=np.uint8)
    forms = np.zeros((size[0] * size[1], layers), dtype=np.uint8)
    forms[covered[filled[1]], low + filled[0]] = found[which]
    return forms.reshape(*size, layers)


def _columns(field: Field) -> Field:
    """A field [2 X, 2 Y] as the four columns of each cell: [4, X Y]."""
    x, y = (n // 2 for n in field.shape)
    return field.reshape(x, 2, y, 2).transpose(1, 3, 0, 2).reshape(4, x * y)


def _pack(halves: npt.NDArray[np.bool_]) -> npt.NDArray[np.uint8]:
    """Octants by layer and cell, [Z, 8, N], as bits."""
    bits = halves.view(np.uint8) << np.arange(8, dtype=np.uint8).reshape(8, 1)
    return np.asarray(np.bitwise_or.reduce(bits, axis=1), dtype=np.uint8)
