"""The fabric of a house: what shuts it, cell by cell, looked up once for every check that asks."""

from __future__ import annotations

from typing import TypeVar

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from genhouse.inspection.outlines import SQUARES, Outlines
from genhouse.inspection.subcells import Bool, Subcells
from genhouse.model.voxels import Voxels

Scalar = TypeVar("Scalar", bound=np.generic)


class Fabric(Struct, frozen=True, kw_only=True):
    """Each bool [X, Y, Z], but for the outlines.

    filled: cells with a piece.  shut: along x, y and z, what lets no draught through; panes and lattices
    count.  leaf: pieces that a person opens.  roof: pieces of the roof.  indoor: cells of indoor rooms.
    floor: of these, the lowest of each column.  stair: pieces of stairs.  told: cells under which the
    first thing to stand on is one.
    """

    outlines: Outlines
    filled: Bool
    shut: tuple[Bool, Bool, Bool]
    leaf: Bool
    roof: Bool
    indoor: Bool
    floor: Bool
    stair: Bool
    told: Bool


def fabric(voxels: Voxels, sub: Subcells) -> Fabric:
    """Look each cell's form and material up."""
    outlines = Outlines.of(voxels)
    whole, half = outlines.much == SQUARES, 2 * outlines.much >= SQUARES
    clear, opens = (voxels.flag(name)[voxels.material] for name in ("clear", "passable"))
    wet = voxels.flag("liquid")[voxels.material]
    x, y, z = (
        (w[voxels.form] | h[voxels.form] & clear) & ~wet for w, h in zip(whole, half, strict=True)
    )
    stair = voxels.set_by("stair")
    last = np.maximum.accumulate(np.where(z, np.arange(z.shape[2], dtype=np.int16), 0), axis=2)
    return Fabric(
        outlines=outlines,
        filled=voxels.form > 0,
        shut=(x, y, z),
        leaf=opens & ~wet,
        roof=voxels.set_by("roof"),
        indoor=sub.indoor,
        floor=sub.floor,
        stair=stair,
        told=np.take_along_axis(stair, last, axis=2),
    )


def beside(cells: Bool) -> Bool:
    """What has one of some cells at one of its four sides."""
    sides = (moved(cells, axis, by) for axis in (0, 1) for by in (1, -1))
    return np.asarray(np.logical_or.reduce(list(sides)))


def moved(cells: npt.NDArray[Scalar], axis: int, by: int) -> npt.NDArray[Scalar]:
    """What each cell's neighbour has, the one before it (by = 1) or behind it (-1) along an axis; 0 at the
    end."""
    found = np.zeros_like(cells)
    to, of = [slice(None)] * cells.ndim, [slice(None)] * cells.ndim
    to[axis], of[axis] = (slice(1, None), slice(-1)) if by > 0 else (slice(-1), slice(1, None))
    found[tuple(to)] = cells[tuple(of)]
    return found
