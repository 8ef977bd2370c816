"""Which pieces touch which: face to face, at sub-cells."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from genhouse.core.forms import SUB
from genhouse.model.voxels import Voxels

Mask = npt.NDArray[np.bool_]


def faces(shapes: Mask) -> npt.NDArray[np.uint16]:
    """What each form fills of its six sides, a bit each: ``[3 axes, low or high, F]``."""
    bits = np.uint16(1) << np.arange(SUB * SUB, dtype=np.uint16)
    found = []
    for axis in range(3):
        ends = (shapes.take(end, axis=axis + 1).reshape(len(shapes), -1) for end in (0, SUB - 1))
        found.append([np.where(end, bits, 0).sum(axis=1, dtype=np.uint16) for end in ends])
    return np.array(found, dtype=np.uint16)


def contacts(voxels: Voxels) -> tuple[Mask, Mask, Mask]:
    """Whether a piece touches the next along x, y and z: three times bool [X, Y, Z], False at the far
    end.
    """
    side = faces(voxels.shapes)
    found = []
    for axis in range(3):
        low, high = side[axis, 0][voxels.form], side[axis, 1][voxels.form]
        here, there = [slice(None)] * 3, [slice(None)] * 3
        here[axis], there[axis] = slice(None, -1), slice(1, None)
        touch = np.zeros(voxels.size, dtype=bool)
        touch[tuple(here)] = (high[tuple(here)] & low[tuple(there)]) > 0
        found.append(touch)
    return found[0], found[1], found[2]
