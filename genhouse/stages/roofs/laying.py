"""Like pieces that lie side by side, together in boxes."""

from __future__ import annotations

import numpy as np

from genhouse.core.box import Box
from genhouse.stages.roofs.slopes import Whole


def laid_in_boxes(kinds: Whole, cells: tuple[Whole, Whole, Whole]) -> list[tuple[int, Box]]:
    """Cover what is laid by boxes of one kind: runs along x, then equal runs stacked along y.

    kinds: of each piece.  cells: its x, y and z, no cell twice.  Returns each kind in order and its
    boxes, lowest first, as ``core.box.runs`` would give them for the cells of that kind.
    """
    if not len(kinds):
        return []
    # one more than there are of each, so that a run ends at the edge
    wide, deep, high, most = (int(n.max()) + 2 for n in (*cells, kinds))
    x, y, z = cells
    kind, z, y, x, length = _runs((kinds, z, y, x), (most, high, deep, wide))
    kind, z, x, length, y, depth = _runs((kind, z, x, length, y), (most, high, wide, wide, deep))
    order = np.ravel_multi_index((kind, z, y, x), (most, high, deep, wide)).argsort()
    boxes = np.array((x, y, z, x + length, y + depth, z + 1))[:, order].tolist()
    return list(zip(kind[order].tolist(), map(Box, *boxes), strict=True))


def _runs(columns: tuple[Whole, ...], sizes: tuple[int, ...]) -> tuple[Whole, ...]:
    """Rows that go on from one another in the last column, alike in all others, counted as one.

    sizes: past the largest of each column.  Returns the first row of each run, in order, and how long
    it is.
    """
    keys = np.sort(np.ravel_multi_index(columns, sizes))
    first = np.ones(len(keys) + 1, dtype=bool)
    np.not_equal(keys[1:], keys[:-1] + 1, out=first[1:-1])
    starts = first.nonzero()[0]
    return (*np.unravel_index(keys[starts[:-1]], sizes), starts[1:] - starts[:-1])
