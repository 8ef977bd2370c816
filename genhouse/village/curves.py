"""Winding lines over ground: corners rounded, and for each cell the nearest point of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from genhouse.village.grids import Field

FINE = 16
"""Parts of a cell in which points are given."""
Points = npt.NDArray[np.int64]


def rounded(corners: Sequence[tuple[int, int]], rounds: int = 3) -> Points:
    """Corners (cells) as points, [N, 2] in sixteenths, about half a cell apart.

    Each round cuts a quarter off both sides of each corner, and leaves the ends (G. Chaikin, 1974).
    """
    line = np.array(corners, dtype=np.int64) * FINE + FINE // 2
    for _ in range(rounds):
        a, b = line[:-1], line[1:]
        cut = np.stack(((3 * a + b) >> 2, (a + 3 * b) >> 2), axis=1).reshape(-1, 2)
        line = np.concatenate((line[:1], cut[1:-1], line[-1:]))
    return _evenly(line)


def _evenly(line: Points) -> Points:
    ahead = np.diff(line, axis=0)
    count = np.maximum(np.abs(ahead).max(axis=1) // (FINE // 2), 1)
    steps = np.arange(1, int(count.sum()) + 1) - np.repeat(np.cumsum(count) - count, count)
    n = np.repeat(np.arange(len(ahead)), count)
    return np.concatenate((line[:1], line[n] + ahead[n] * steps[:, None] // count[n][:, None]))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Near:
    """Of each cell [X, Y]: the square of how far the nearest point is, in sixteenths; its number, or -1."""

    square: npt.NDArray[np.int32]
    point: npt.NDArray[np.int32]

    def within(self, reach: Field | int) -> npt.NDArray[np.bool_]:
        """Cells no farther than so many sixteenths."""
        return np.asarray((self.point >= 0) & (self.square <= np.square(reach)))

    def far(self) -> npt.NDArray[np.int32]:
        """How far, in sixteenths; large where there is no point near."""
        found = np.full(self.square.shape, 1 << 20, dtype=np.int32)
        near = self.point >= 0
        # IEEE 754 rounds a square root rightly everywhere: below 2**52 its whole part is exact.
        found[near] = np.sqrt(self.square[near].astype(np.float64))
        return found


def nearest(points: Points, reach: Points | int, shape: tuple[int, int]) -> Near:
    """For all cells within so many cells of some points; of equally near ones the first."""
    reaches = np.broadcast_to(reach, len(points)).tolist()
    square = np.full(shape, np.iinfo(np.int32).max, dtype=np.int32)
    point = np.full(shape, -1, dtype=np.int32)
    middles = [np.arange(size, dtype=np.int32) * FINE + FINE // 2 for size in shape]
    for n, ((x, y), r) in enumerate(zip(points.tolist(), reaches, strict=True)):
        i0, j0 = max(0, x // FINE - r), max(0, y // FINE - r)
        i1, j1 = max(0, x // FINE + r + 1), max(0, y // FINE + r + 1)
        dx, dy = middles[0][i0:i1] - x, middles[1][j0:j1] - y
        found = (dx * dx)[:, None] + (dy * dy)[None, :]
        here = square[i0:i1, j0:j1]
        closer = found < here
        here[closer] = found[closer]
        point[i0:i1, j0:j1][closer] = n
    return Near(square=square, point=point)
