"""Skin: what the rain meets sheds it, and what stays shut is of no stuff that opens or flows."""

from __future__ import annotations

import numpy as np

from genhouse.inspection.fabric import Fabric, beside, moved
from genhouse.inspection.outlines import SQUARES
from genhouse.inspection.subcells import SUB, Bool
from genhouse.inspection.verdict import Finding, Verdict, finding
from genhouse.model.voxels import Voxels

NAME = "skin"
BUILT = ("frame", "floors", "mats", "stair", "roof")
"""Stages that set nothing to be opened, or to flow."""
FEW = 3
"""Pieces of a material on top of a roof, from which it counts as one that the roof is laid with."""
FIELD = 4
"""Pieces round another from which it counts as one in the field of a slope."""


def skin(voxels: Voxels, fabric: Fabric) -> Verdict:
    """Three rules, below."""
    built = voxels.set_by(*BUILT)
    opens, liquid, clear = (
        voxels.flag(n)[voxels.material] for n in ("passable", "liquid", "clear")
    )
    return Verdict(
        check=NAME,
        findings=finding(NAME, built & (opens | liquid), "a piece of the building opens, or flows")
        + _panes(voxels, fabric, built & clear)
        + _odd(voxels, fabric),
        evidence=f"{int(np.count_nonzero(built))} pieces of frame, floors, stairs and roof",
    )


def _panes(voxels: Voxels, fabric: Fabric, clear: Bool) -> tuple[Finding, ...]:
    """RULE 2: what lets light through, of these stages, is a pane: whole, under a roof, with air beside."""
    if not clear.any():
        return ()
    whole = (fabric.outlines.fill == SUB**3)[voxels.form]
    pane = whole & beside(~fabric.filled) & moved(fabric.filled, 2, -1)
    return finding(NAME, clear & ~pane, "a piece that light goes through is no pane")


def _odd(voxels: Voxels, fabric: Fabric) -> tuple[Finding, ...]:
    """RULE 3: in the field of a slope a piece is of the stuff of some piece that touches it; where it is
    not, its stuff lies on the roof in more places."""
    x, y, z = voxels.size
    outlines = fabric.outlines
    slope = (outlines.much[2] == SQUARES) & (outlines.fill < SUB**3)
    top = z - 1 - fabric.filled[:, :, ::-1].argmax(axis=2)
    column = np.arange(x * y) * z
    at = column + top.reshape(-1)
    roof, form, stuff = (a.reshape(-1) for a in (fabric.roof, voxels.form, voxels.material))
    on_top = roof[at]
    material = stuff[at] * on_top
    sloped = on_top & slope[form[at]]
    like = stuff[np.maximum(at - 1, column)] == material
    padded = np.pad(material.reshape(x, y), 1)
    slopes, high = np.pad(sloped.reshape(x, y), 1), np.pad(top, 1)
    about = np.zeros((x, y), dtype=np.uint8)
    same = like.reshape(x, y)
    for i, j in np.ndindex(3, 3):
        if (i, j) != (1, 1):
            same |= padded[i : i + x, j : j + y] == padded[1:-1, 1:-1]
            level = abs(high[i : i + x, j : j + y] - top) < 2  # of one field with it
            about += slopes[i : i + x, j : j + y] & level
    few = np.bincount(material)[material] < FEW
    odd = sloped & ~same.reshape(-1) & few & (about.reshape(-1) >= FIELD)
    faults = np.zeros(voxels.size, dtype=bool)
    faults.reshape(-1)[at[odd]] = True
    for i, j, k in np.argwhere(faults):  # what is like it may lie under the eaves above
        near = voxels.material[i - (i > 0) : i + 2, j - (j > 0) : j + 2, k - (k > 0) : k + 2]
        faults[i, j, k] = np.count_nonzero(near == voxels.material[i, j, k]) == 1
    return finding(
        NAME, faults, "a piece of the roof is of a stuff that nothing near it is laid with"
    )
