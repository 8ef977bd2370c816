"""Lamps and floors of a house as cells: what its light is worked out from."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genhouse.core.light import centres, feet, subcells
from genhouse.core.solids import EIGHTHS, Bool, Dark, Ints, Solids
from genhouse.model.voxels import Voxels


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Lamps:
    """cells: int [S, 3].  at: the middle of each one's light, in eighths of a cell.  lumens: [S]."""

    cells: Ints
    at: Ints
    lumens: Ints


def lamps_of(voxels: Voxels) -> Lamps:
    """Every piece that gives light, in array order."""
    gives = np.array([m.lumens for m in voxels.about.materials], dtype=np.int32)
    cells = np.argwhere(gives[voxels.material] > 0).astype(np.int32)
    x, y, z = cells.T
    at = EIGHTHS * cells + centres(voxels.shapes[voxels.form[x, y, z]])
    return Lamps(cells=cells, at=at, lumens=gives[voxels.material[x, y, z]])


def dark(voxels: Voxels) -> Dark:
    """The forms that stop light: all but what is clear."""
    form = np.where(voxels.flag("clear")[voxels.material], 0, voxels.form).astype(np.uint8)
    return Dark.of(form, Solids.of(voxels.shapes))


def opaque(voxels: Voxels) -> Bool:
    """The sub-cells that stop light: bool [4X, 4Y, 4Z]."""
    return subcells(dark(voxels).grid, voxels.shapes)


def floor_points(voxels: Voxels, cells: Ints) -> tuple[Ints, Bool]:
    """Where one stands over cells [N, 3], in eighths, [P, 3]; and which cells these are, [N]."""
    return feet(voxels.form, voxels.shapes, cells)
