"""The house cut into sub-cells once, for every check that asks.

A sub-column stands on one of the sixteen sub-squares of a cell.  What of it is taken in one cell is four
bits of a byte, a quarter of the height each, the lowest first: such an array of *quarters* is a
fourth of the sub-cells themselves.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from genhouse.model.voxels import Voxels

Bool = npt.NDArray[np.bool_]
Quarters = npt.NDArray[np.uint8]
SUB = 4
WHOLE = np.uint8(15)
"""All four quarters."""
A_BYTE_EACH = np.uint32(1 | 1 << 7 | 1 << 14 | 1 << 21)
"""Times this, the lowest bits of four bytes are the four bits."""


class Subcells(Struct, frozen=True, kw_only=True):
    """solid: what stays, doors and screens included.  blocked: solid, but for what a person opens.

    liquid: water, from the lowest layer up to the last that has some.  All quarters [4X, 4Y, Z].
    indoor: bool [X, Y, Z], cells of indoor rooms.  floor: of these, the lowest of each column.
    """

    solid: Quarters
    blocked: Quarters
    liquid: Quarters
    indoor: Bool
    floor: Bool


def subcells(voxels: Voxels) -> Subcells:
    """Gather every cell's form."""
    wet, opens = (voxels.flag(name)[voxels.material] for name in ("liquid", "passable"))
    taken = spread(voxels.form, voxels.shapes)
    liquid = _only(taken, wet)
    solid = taken ^ liquid
    layers = np.flatnonzero(wet.any(axis=(0, 1)))
    indoor = voxels.room_flag("indoor")[voxels.room]
    floor = indoor.copy()
    floor[:, :, 1:] &= voxels.room[:, :, 1:] != voxels.room[:, :, :-1]
    return Subcells(
        solid=solid,
        blocked=solid ^ _only(solid, opens & ~wet),
        liquid=liquid[:, :, : 1 + layers.max(initial=0)],
        indoor=indoor,
        floor=floor,
    )


def _only(quarters: Quarters, cells: Bool) -> Quarters:
    """What some cells [X, Y, Z], a few, take."""
    x, y, z = cells.shape
    found = np.zeros((x, SUB, y, SUB, z), dtype=np.uint8)
    i, j, k = np.nonzero(cells)
    found[i, :, j, :, k] = quarters.reshape(found.shape)[i, :, j, :, k]
    return found.reshape(quarters.shape)


def spread(form: npt.NDArray[np.uint16], shapes: Bool) -> Quarters:
    """Quarters [4X, 4Y, Z] of an array of forms."""
    x, y, z = form.shape
    columns = np.packbits(shapes, axis=3, bitorder="little")[..., 0]
    quarters = np.zeros((x, SUB, y, SUB, z), dtype=np.uint8)
    quarters[...] = columns[form].transpose(0, 3, 1, 4, 2)
    return quarters.reshape(SUB * x, SUB * y, z)


def cut(quarters: Quarters) -> Bool:
    """The sub-cells of quarters: bool [..., Z] to [..., 4Z]."""
    each = quarters * A_BYTE_EACH & np.uint32(0x01010101)
    return each.astype("<u4", copy=False).view(np.bool_)


def raised(quarters: Quarters, by: int) -> Quarters:
    """The same higher up by one to three quarters; nothing comes from below the lowest."""
    moved = quarters * np.uint8(1 << by) & WHOLE
    lowest = moved[..., 0].copy()
    moved.reshape(-1)[1:] |= quarters.reshape(-1)[:-1] >> np.uint8(SUB - by)
    moved[..., 0] = lowest
    return moved


def lowered(quarters: Quarters, by: int) -> Quarters:
    """The same lower down by one to three quarters; nothing comes from above the highest."""
    moved = quarters >> np.uint8(by)
    highest = moved[..., -1].copy()
    moved.reshape(-1)[:-1] |= quarters.reshape(-1)[1:] * np.uint8(1 << SUB - by) & WHOLE
    moved[..., -1] = highest
    return moved
