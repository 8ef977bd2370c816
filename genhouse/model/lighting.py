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
    form = np.where(voxels.flag("clear")[voxels.material], 0, voxels.form).astype(np.uint16)
    return Dark.of(form, Solids.of(voxels.shapes))


def opaque(voxels: Voxels) -> Bool:
    """The sub-cells that stop light: bool [4X, 4Y, 4Z]."""
    return subcells(dark(voxels).grid, voxels.shapes)


def floors(voxels: Voxels, counted: Bool) -> tuple[Ints, Ints, Ints]:
    """The lowest cells of rooms, of those that are counted [X, Y, Z], on which one can stand.

    The cells [P, 3], where one stands in them, in eighths [P, 3], and their rooms [P].
    """
    floor = counted & (voxels.room > 0)
    floor[:, :, 1:] &= voxels.room[:, :, 1:] != voxels.room[:, :, :-1]
    cells = np.argwhere(floor).astype(np.int32)
    points, stands = feet(voxels.form, voxels.shapes, cells)
    cells = cells[stands]
    return cells, points, voxels.room[tuple(cells.T)].astype(np.int32)
