"""What one sees from the street through an open door, read from the cells at quarter cells."""

from __future__ import annotations

from itertools import product

import numpy as np

from genhouse.core.box import Rect
from genhouse.model.voxels import Voxels

STEPS = 64
"""Points looked at to a cell of a line of sight."""
FAR = (1, 2, 4, 7)
"""Cells before a wall from which one looks in."""
ASIDE = range(-6, 7)
ACROSS = (1, 3, 5, 7)
"""Eighths of a cell of the door through which lines go."""
EYE = 13
"""Eighths of a cell from the ground to one's eyes."""


def seen_through(voxels: Voxels, way: Rect, floor: int, outward: tuple[int, int]) -> frozenset[int]:
    """Numbers of the rooms in which some level line of sight through a door arrives.

    way: its cells.  floor: the layer on which one walks in.  outward: the step to the street.
    """
    solid = _opaque(voxels)
    dx, dy = outward
    found: set[int] = set()
    for cell in way.cells():
        for n, far, aside in product(ACROSS, FAR, ASIDE):
            if dx:
                at = np.array([cell[0] + 0.5, cell[1] + n / 8])
                stand = at + np.array([dx * far, aside])
            else:
                at = np.array([cell[0] + n / 8, cell[1] + 0.5])
                stand = at + np.array([aside, dy * far])
            found |= _along(voxels, solid, at, at - stand, floor + EYE / 8)
    return frozenset(found)


def _opaque(voxels: Voxels) -> np.ndarray:
    """bool [X, Y, Z]: cells of which some stuff that hides; leaves stand open."""
    opens = voxels.flag("passable")[voxels.material]
    return (voxels.form > 0) & ~opens


def _along(
    voxels: Voxels, solid: np.ndarray, at: np.ndarray, step: np.ndarray, z: float
) -> set[int]:
    unit, found = step / np.abs(step).max() / STEPS, set()
    layer = int(z)
    size = voxels.size
    while 0 <= at[0] < size[0] and 0 <= at[1] < size[1]:
        x, y = int(at[0]), int(at[1])
        if solid[x, y, layer]:
            part = voxels.shapes[voxels.form[x, y, layer]]
            if part[int(at[0] % 1 * 4), int(at[1] % 1 * 4), int(z % 1 * 4)]:
                break
        found.add(int(voxels.room[x, y, layer]))
        at = at + unit
    return found
