"""Half-cell solids to forms: the piece that fills a cell best without rising above the roof."""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from genhouse.core.forms import FORMS
from genhouse.core.kept import fixed
from genhouse.stages.roofs.slopes import ABOVE_ALL, NONE, Field, Whole, columns

PIECES = ("whole", "half course", "half soffit", "course", "hip piece", "valley piece")
HALVES = fixed(np.array([0, 0b01, 0b11], dtype=np.uint8))
"""The halves of a quarter column of a cell that are filled up to 0, 1 or 2 of them."""
QUARTERS = fixed(np.array([[0], [2], [4], [6]], dtype=np.uint8))
"""Where the halves of each quarter column stand among the octants of a cell."""


class Pieces(NamedTuple):
    """Pieces by column, lowest first.

    column: x Y + y of each on a plot of X by Y cells.  z: its layer.  form: its number.
    """

    column: Whole
    z: Whole
    form: npt.NDArray[np.uint16]


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


def carve(top: Field, under: Field) -> Pieces:
    """The pieces of a shell between two height fields.

    top, under: int16 [2 X, 2 Y] in half cells.
    """
    tops = columns(top)
    fields = np.where(tops == NONE, ABOVE_ALL, np.array((tops, columns(under))))
    high = (tops.max(axis=0) + 1) // 2
    layers = high - np.minimum(fields[1].min(axis=0) // 2, high)
    column = np.arange(len(high)).repeat(layers)
    z = np.arange(len(column)) - (layers.cumsum() - high).take(column)
    below, void = _packed(fields.take(column, axis=2) - 2 * z)
    needed = below & ~void
    laid = needed.nonzero()[0]
    return Pieces(column[laid], z[laid], _best_forms(needed[laid], ~below[laid]))


def _packed(heights: Whole) -> npt.NDArray[np.uint8]:
    """The octants of cells that lie below a surface, as bits.

    heights: of the four columns over the foot of each cell, [..., 4, N], in half cells.
    """
    halves = HALVES.take(heights, mode="clip") << QUARTERS
    return np.asarray(np.bitwise_or.reduce(halves, axis=-2))


def _best_forms(
    needed: npt.NDArray[np.uint8], sky: npt.NDArray[np.uint8]
) -> npt.NDArray[np.uint16]:
    """``best_form`` of each cell."""
    return _best()[needed, sky]


@cache
def _best() -> npt.NDArray[np.uint16]:
    """``best_form`` by needed octants and sky, [256, 256].

    Pieces rank by bulk, then number; of those that fit, the one of least rise and then rank.
    """
    octants = np.arange(256, dtype=np.uint16)
    least = np.full((256, 256), np.iinfo(np.uint16).max, dtype=np.uint16)
    ranked = sorted(_octants(), key=lambda f: (f[1].bit_count(), f[0]))
    for rank, (_, bits) in enumerate(ranked):
        rise = np.bitwise_count(octants & bits).astype(np.uint16)
        fits = octants & bits == octants
        least[fits] = np.minimum(least[fits], rise << np.uint16(8) | np.uint16(rank))
    return fixed(np.array([number for number, _ in ranked], dtype=np.uint16)[least & 255])
