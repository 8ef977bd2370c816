"""Cells of a plot as a table: what touches, grows and shrinks, asked of all of them at once."""

from __future__ import annotations

from collections.abc import Collection, Iterable

import numpy as np
import numpy.typing as npt

from genhouse.core.box import Rect

Patch = npt.NDArray[np.bool_]
"""Cells [X, Y], from the origin."""


def painted(size: tuple[int, int], rects: Iterable[Rect]) -> Patch:
    """What some rectangles cover of a plot."""
    patch = np.zeros(size, dtype=bool)
    for x0, y0, x1, y1 in rects:
        patch[max(x0, 0) : max(x1, 0), max(y0, 0) : max(y1, 0)] = True
    return patch


def patch_of(size: tuple[int, int], cells: Collection[tuple[int, int]]) -> Patch:
    """Some cells, all of them on the plot."""
    patch = np.zeros(size, dtype=bool)
    if cells:
        patch[tuple(zip(*cells, strict=True))] = True
    return patch


def cells_of(patch: Patch) -> frozenset[tuple[int, int]]:
    """The cells themselves.

    >>> sorted(cells_of(near(patch_of((3, 3), {(0, 0)}), 1)))
    [(0, 0), (0, 1), (1, 0), (1, 1)]
    """
    x, y = np.nonzero(patch)
    return frozenset(zip(x.tolist(), y.tolist(), strict=True))


def near(patch: Patch, moves: int) -> Patch:
    """These and all within so many king's moves of them."""
    for _ in range(2):
        wide = patch.copy()
        for n in range(1, moves + 1):
            wide[n:] |= patch[:-n]
            wide[:-n] |= patch[n:]
        patch = wide.T
    return patch


def inner(patch: Patch) -> Patch:
    """Those that touch, by a side or a corner, nothing but others of them."""
    within = np.zeros_like(patch)
    rows = patch[:-2] & patch[1:-1] & patch[2:]
    within[1:-1, 1:-1] = rows[:, :-2] & rows[:, 1:-1] & rows[:, 2:]
    return within
