"""What pieces hide of their cells, seen along each axis: worked out once for a table of forms."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from genhouse.core.axes import SIDES
from genhouse.inspection.subcells import SUB, Bool
from genhouse.model.voxels import Voxels

SQUARES = SUB * SUB


class Outlines(Struct, frozen=True, kw_only=True):
    """hidden: what each form hides of its cell, seen along x, y and z, sixteen bits [3, F]: along x and
    y the lowest quarters of a sub-column are the lowest four.  much: how many squares that are, [3, F].

    top: quarters from the cell's floor to the highest that it fills, [F].  fill: sub-cells filled, [F].
    ends: whether each reaches the sides of its cell, low and high, square to x and y, [2, 2, F].
    rise: toward which of SIDES it is higher all along, counted from 1; 0 for the rest, [F].
    """

    hidden: npt.NDArray[np.uint16]
    much: npt.NDArray[np.uint8]
    top: npt.NDArray[np.int16]
    fill: npt.NDArray[np.int16]
    ends: Bool
    rise: npt.NDArray[np.uint8]

    @classmethod
    def of(cls, voxels: Voxels) -> Outlines:
        return _outlines(np.ascontiguousarray(voxels.shapes).tobytes())


@lru_cache(maxsize=4)
def _outlines(raw: bytes) -> Outlines:
    shapes = np.frombuffer(raw, dtype=bool).reshape(-1, SUB, SUB, SUB)
    bits = 1 << np.arange(SQUARES, dtype=np.uint16)
    seen = np.stack([shapes.any(axis=axis).reshape(len(shapes), -1) for axis in (1, 2, 3)])
    heights = (shapes * np.arange(1, SUB + 1)).max(axis=3)
    ends = [[shapes[:, 0], shapes[:, -1]], [shapes[:, :, 0], shapes[:, :, -1]]]
    arrays = {
        "hidden": (seen * bits).sum(axis=2, dtype=np.uint16),
        "much": seen.sum(axis=2, dtype=np.uint8),
        "top": heights.max(axis=(1, 2)).astype(np.int16),
        "fill": shapes.sum(axis=(1, 2, 3), dtype=np.int16),
        "ends": np.asarray(np.array(ends).any(axis=(3, 4))),
        "rise": _rise(heights),
    }
    for array in arrays.values():
        array.flags.writeable = False
    return Outlines(**arrays)


def _rise(heights: npt.NDArray[np.integer]) -> npt.NDArray[np.uint8]:
    """Of heights in quarters [F, 4, 4]: shut from below, and one half of it above all of the other."""
    rise = np.zeros(len(heights), dtype=np.uint8)
    for n in range(len(SIDES)):
        east = np.rot90(heights, -n, axes=(1, 2))
        low, high = east[:, : SUB // 2], east[:, SUB // 2 :]
        rise[(low.min(axis=(1, 2)) > 0) & (high.min(axis=(1, 2)) > low.max(axis=(1, 2)))] = n + 1
    return rise
