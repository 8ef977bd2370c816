"""Guards: wherever one walks and could fall deeper than two cells, something stands in the way.

IRC 2018 R312.1 asks for a guard of 36 in (0.9 m) beside a drop of 30 in (from memory); here the drop is
two cells, since verandas and flights begin lower.  A rail, a wall, a pane or a lattice bars the way
when, all across, some of it lies half a cell to a cell above the feet; a leaf that opens bars nothing.
Where a plot is no rectangle, ground of others goes on past its edge, as it does past the arrays.
"""

from __future__ import annotations

import cc3d
import numpy as np
import numpy.typing as npt

from genhouse.core.axes import SIDES, STEP
from genhouse.inspection.access import CLIMB, Walk
from genhouse.inspection.fabric import Fabric
from genhouse.inspection.subcells import SUB, Bool
from genhouse.inspection.verdict import Verdict, finding
from genhouse.model.voxels import Voxels

NAME = "guards"
DEEP = 2 * SUB
"""Quarters that one may fall."""
Ints = npt.NDArray[np.integer]


def guards(voxels: Voxels, fabric: Fabric, way: Walk) -> Verdict:
    """Ask each place where a visitor stands square, to all four sides.  Beside a flight of stairs one may
    fall no deeper than one steps."""
    outlines = fabric.outlines
    form = voxels.form * ~voxels.flag("passable")[voxels.material]
    top = np.where(outlines.much[2] > SUB, outlines.top, np.int16(0))[form]
    support = _support(top)
    x, y, feet = way.places.T
    beside = fabric.told[x, y, feet // SUB]
    beyond = _beyond(voxels)
    faults = np.zeros(voxels.size, dtype=bool)
    edges = 0
    for side in SIDES:
        dx, dy = STEP[side]
        i, j = x + dx, y + dy
        at = np.flatnonzero((i >= 0) & (j >= 0) & (i < voxels.size[0]) & (j < voxels.size[1]))
        at = at[~beyond[i[at], j[at]]]
        drop = _drop(support, top, i[at], j[at], feet[at])
        well = fabric.told[i[at], j[at], feet[at] // SUB] & ~beside[at]
        at = at[(drop > DEEP) | well & (drop > CLIMB)]
        edges += len(at)
        here, there = (x[at], y[at]), (i[at], j[at])
        open_ = at[~_barred(form, outlines.hidden[int(dx == 0)], here, there, feet[at])]
        faults[x[open_], y[open_], feet[open_] // SUB] = True
    return Verdict(
        check=NAME,
        findings=finding(NAME, faults, "one could fall here"),
        evidence=f"{edges} edges beside a drop",
    )


def _beyond(voxels: Voxels) -> Bool:
    """Columns of nothing at all that reach the edge of the arrays: the plot lies short of them."""
    bare = np.asarray(~voxels.material.any(axis=2))
    labels = cc3d.connected_components(bare, connectivity=4)
    rim = np.concatenate((labels[0], labels[-1], labels[:, 0], labels[:, -1]))
    return np.asarray(bare & np.isin(labels, rim))


def _support(top: Ints) -> Ints:
    """How high, in quarters, the highest piece in or under each cell reaches."""
    layer = SUB * np.arange(top.shape[2], dtype=np.int16)
    return np.asarray(np.maximum.accumulate((layer + top) * (top > 0), axis=2))


def _drop(support: Ints, top: Ints, x: Ints, y: Ints, feet: Ints) -> Ints:
    """Quarters from feet down to what would catch them in a neighbouring column."""
    z = feet // SUB
    below = support[x, y, z - 1] * (z > 0)
    near = SUB * z + top[x, y, z]
    caught = np.where((top[x, y, z] > 0) & (near <= feet + CLIMB), near, below)
    return np.asarray(feet - caught)


def _barred(
    form: Ints,
    hidden: npt.NDArray[np.uint16],
    here: tuple[Ints, Ints],
    there: tuple[Ints, Ints],
    feet: Ints,
) -> Bool:
    """Whether pieces on either side of an edge bar it, all across."""
    z, over = feet // SUB, np.minimum(feet // SUB + 1, form.shape[2] - 1)
    low, high = (
        (hidden[form[(*here, at)]] | hidden[form[(*there, at)]]).astype(np.int64)
        for at in (z, over)
    )
    barred = np.ones(len(feet), dtype=bool)
    for column in range(0, SUB * SUB, SUB):
        stack = (low >> column & 15) | (high >> column & 15) << SUB
        barred &= (stack >> feet % SUB + SUB // 2 & 3) > 0
    return barred
