"""The house cut into sub-cells once, for every check that asks."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from genhouse.model.voxels import Voxels

Bool = npt.NDArray[np.bool_]
SUB = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Subcells:
    """solid: what stays, doors and screens included.  blocked: solid, but for what a person opens.

    liquid: water.  All bool [4X, 4Y, 4Z].  indoor: bool [X, Y, Z], cells of indoor rooms.
    """

    solid: Bool
    blocked: Bool
    liquid: Bool
    indoor: Bool


def subcells(voxels: Voxels) -> Subcells:
    """Gather every cell's form."""
    filled = spread(voxels.form, voxels.shapes)
    liquid = voxels.flag("liquid")[voxels.material]
    passable = voxels.flag("passable")[voxels.material]
    wet = filled & fine(liquid)
    solid = filled & ~wet
    rooms = np.zeros(int(voxels.room.max()) + 1, dtype=bool)
    for entry in voxels.about.rooms:
        if entry.id < len(rooms):
            rooms[entry.id] = entry.indoor
    return Subcells(
        solid=solid, blocked=solid & ~fine(passable), liquid=wet, indoor=rooms[voxels.room]
    )


def spread(form: npt.NDArray[np.uint8], shapes: Bool) -> Bool:
    """Sub-cells of an array of forms."""
    x, y, z = form.shape
    cut = shapes[form].transpose(0, 3, 1, 4, 2, 5)
    return np.ascontiguousarray(cut).reshape(SUB * x, SUB * y, SUB * z)


def fine(cells: Bool) -> Bool:
    """Each cell's value for all its sub-cells."""
    return cells.repeat(SUB, axis=0).repeat(SUB, axis=1).repeat(SUB, axis=2)
