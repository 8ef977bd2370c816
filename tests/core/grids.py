"""Grids of sub-cells for the tests of rays and light."""

from __future__ import annotations

import numpy as np

from genhouse.core.solids import SUB, Bool, Dark, Ints, Solids


def ints(*rows: tuple[int, ...]) -> Ints:
    return np.array(rows, dtype=np.int32)


def dark(opaque: Bool) -> Dark:
    """Sub-cells as forms of their cells, filled up with air to whole cells."""
    grid = np.pad(opaque, [(0, -n % SUB) for n in opaque.shape])
    x, y, z = (n // SUB for n in grid.shape)
    cells = grid.reshape(x, SUB, y, SUB, z, SUB).transpose(0, 2, 4, 1, 3, 5).reshape(-1, SUB**3)
    air = np.zeros((1, SUB**3), dtype=bool)
    shapes, form = np.unique(np.concatenate((air, cells)), axis=0, return_inverse=True)
    assert not shapes[0].any()
    return Dark.of(
        form.reshape(-1)[1:].reshape(x, y, z).astype(np.uint16),
        Solids.of(shapes.reshape(-1, SUB, SUB, SUB)),
    )
