"""What stands in the way of rays: closed boxes in cells.

Places are whole numbers, eighths of a cell: sub-cell i fills [2i, 2i + 2] and its middle is 2i + 1.
A ray that as much as touches the face, edge or corner of a box is stopped by it, so that a mirrored grid
gives the mirrored answer.  Nothing is rounded.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
import numpy.typing as npt

from genhouse.core.kept import fixed

Bool = npt.NDArray[np.bool_]
Ints = npt.NDArray[np.int32]
Forms = npt.NDArray[np.uint16]
Whole = npt.NDArray[np.signedinteger[Any]]

EIGHTHS = 8
SUB = 4
SPANS = fixed(np.array([(i, j) for j in range(1, SUB + 1) for i in range(j)], dtype=np.int32))
"""From which to which sub-cell a run may go along an edge of a cell."""
LEAST = (64, 32)
"""Rows and layers of a grid, at least: nearly all houses share these, and so their paths."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Solids:
    """What each form fills, as boxes.

    first: int [F + 1], where each form's boxes begin among all.  low, high: int [3, N], the corners of
    each, in eighths of a cell.  hull: the corners of the least box round each form, [2, 3, F].
    whole: forms that fill their cell, bool [F].
    """

    first: Ints
    low: Ints
    high: Ints
    hull: Ints
    whole: Bool

    @classmethod
    def of(cls, shapes: Bool) -> Solids:
        """Of a table of sub-cells, bool [F, 4, 4, 4]."""
        return _solids(np.ascontiguousarray(shapes).tobytes())

    def boxes(self, form: npt.NDArray[np.integer[Any]]) -> tuple[Whole, Ints]:
        """The numbers [B] of the boxes of some forms [N]; and how many each of these has, [N]."""
        number = self.first[form + 1] - self.first[form]
        skip = self.first[form] - (number.cumsum() - number)
        return np.arange(int(number.sum())) + skip.repeat(number), number


@lru_cache(maxsize=4)
def _solids(raw: bytes) -> Solids:
    """Sub-cells joined to runs along z, equal runs along y, equal sheets along x."""
    shapes = np.frombuffer(raw, dtype=bool).reshape(-1, SUB, SUB, SUB)
    filled = shapes
    for axis in (3, 2, 1):
        filled = _runs(filled, axis)
    form, *spans = np.nonzero(filled)
    first = np.searchsorted(form, np.arange(len(filled) + 1)).astype(np.int32)
    low, high = (EIGHTHS // SUB * np.stack([SPANS[n, end] for n in spans]) for end in (0, 1))
    hull = np.zeros((2, 3, len(filled)), dtype=np.int32)
    hull[0] = EIGHTHS
    for axis in range(3):
        np.minimum.at(hull[0, axis], form, low[axis])
        np.maximum.at(hull[1, axis], form, high[axis])
    return Solids(
        first=fixed(first),
        low=fixed(low),
        high=fixed(high),
        hull=fixed(hull),
        whole=fixed(np.asarray(shapes.all(axis=(1, 2, 3)))),
    )


def _runs(filled: Bool, axis: int) -> Bool:
    """Which runs there are along an axis of four, no longer one holding them: that axis by SPANS."""
    a = np.moveaxis(filled, axis, -1)
    edge = np.zeros((*a.shape[:-1], 1), dtype=bool)
    a = np.concatenate((edge, a, edge), axis=-1)
    found = [a[..., i + 1 : j + 1].all(axis=-1) & ~a[..., i] & ~a[..., j + 1] for i, j in SPANS]
    return np.moveaxis(np.stack(found, axis=-1), -1, axis)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Dark:
    """What stops light on a grid of cells.

    form: 0 where a piece is clear: a border of one empty cell at the near ends, one or more at the
    far ones.  size: of the grid itself.
    """

    form: Forms
    size: tuple[int, int, int]
    solids: Solids

    @classmethod
    def of(cls, form: Forms, solids: Solids) -> Dark:
        """Of the grid [X, Y, Z] itself."""
        x, y, z = form.shape
        deep, tall = (
            max(least, 1 << (n + 1).bit_length()) for least, n in zip(LEAST, (y, z), strict=True)
        )
        wide = np.zeros((x + 2, deep, tall), dtype=np.uint16)
        wide[1 : x + 1, 1 : y + 1, 1 : z + 1] = form
        return cls(form=wide, size=(x, y, z), solids=solids)

    @property
    def grid(self) -> Forms:
        """The forms of the grid itself, [X, Y, Z]."""
        x, y, z = self.size
        return self.form[1 : x + 1, 1 : y + 1, 1 : z + 1]


def meets(start: Whole, end: Whole, low: Whole, high: Whole) -> Bool:
    """Whether each ray touches its closed box: corners [3, N].

    If it does not, a plane square to an axis, or along an axis and the ray, lies between them
    (S. Gottschalk, M. Lin and D. Manocha, "OBBTree", SIGGRAPH 1996, from memory).
    """
    way, size = end - start, high - low
    apart, reach = start + end - low - high, np.abs(way)
    meets = (np.abs(apart) <= size + reach).all(axis=0)
    for a, b in ((0, 1), (1, 2), (2, 0)):
        turn = np.abs(apart[a] * way[b] - apart[b] * way[a])
        meets &= turn <= size[a] * reach[b] + size[b] * reach[a]
    return np.asarray(meets)
