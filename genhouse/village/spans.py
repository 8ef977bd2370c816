"""Over squares of columns: what lies within reach, how high, how far.  The one door to scipy's filters."""

from __future__ import annotations

from typing import Any

import numpy as np
import numpy.typing as npt

from genhouse.village.grids import Field, Mask

Values = npt.NDArray[np.signedinteger[Any]]


def within(places: Mask, reach: int) -> Mask:
    """Columns no more than so many from some places, corners counted."""
    from scipy.ndimage import maximum_filter

    return np.asarray(maximum_filter(places.view(np.uint8), 2 * reach + 1, mode="constant") > 0)


def spread_of(heights: Values, reach: int) -> Field:
    """From the lowest to the highest within reach of each column."""
    from scipy.ndimage import maximum_filter, minimum_filter

    wide = 2 * reach + 1
    return np.asarray(maximum_filter(heights, wide) - minimum_filter(heights, wide))


def lowest(heights: Values, reach: int) -> Field:
    """The lowest within reach of each column."""
    from scipy.ndimage import minimum_filter

    return np.asarray(minimum_filter(heights, 2 * reach + 1))


def mean(heights: Values, reach: int) -> Field:
    """The mean over all within reach of each column."""
    total = heights.astype(np.int64)
    for axis in (0, 1):
        edge = [(reach + 1, reach) if a == axis else (0, 0) for a in (0, 1)]
        sums = np.cumsum(np.pad(total, edge, mode="edge"), axis=axis)
        n, wide = total.shape[axis], 2 * reach + 1
        total = (
            sums.take(range(wide, wide + n), axis=axis) - sums.take(range(n), axis=axis)
        ) // wide
    return np.asarray(total)


def far_from(places: Mask) -> Field:
    """Columns to the nearest of some places, corners counted as one."""
    from scipy.ndimage import distance_transform_cdt

    return np.asarray(distance_transform_cdt(~places, metric="chessboard"))
