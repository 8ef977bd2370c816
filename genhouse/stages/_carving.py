"""Half-cell solids to forms: the piece that fills a cell best without rising above the roof."""

from __future__ import annotations

from functools import cache

import numpy as np
import numpy.typing as npt

from genhouse.core.forms import FORMS
from genhouse.stages._slopes import NONE, Field

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
    there = top != NONE
    low, high = int(under[there].min()) // 2, -(-int(top.max()) // 2)
    z = np.arange(2 * low, 2 * high, dtype=np.int16)
    below = (z < top[..., None]) & there[..., None]
    packed = _pack(below & (z >= under[..., None]))
    code = packed.astype(np.uint16) << 8 | _pack(there[..., None] & ~below)
    code[packed == 0] = 0
    form = np.zeros(1 << 16, dtype=np.uint8)
    for k in np.flatnonzero(np.bincount(code.ravel())).tolist():
        form[k] = best_form(k >> 8, k & 255) if k else 0
    forms = np.zeros((*packed.shape[:2], layers), dtype=np.uint8)
    forms[..., low:high] = form[code]
    return forms


def _pack(halves: npt.NDArray[np.bool_]) -> npt.NDArray[np.uint8]:
    x, y, z = (n // 2 for n in halves.shape)
    cells = halves.reshape(x, 2, y, 2, z, 2).transpose(0, 2, 4, 1, 3, 5).reshape(x, y, z, 8)
    return np.packbits(cells, axis=-1, bitorder="little")[..., 0]
