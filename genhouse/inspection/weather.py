"""Weather: no rain indoors, and no way from the sky into a room or a roof void above the eaves."""

from __future__ import annotations

import cc3d
import numpy as np

from genhouse.inspection.subcells import SUB, Bool, Subcells, fine
from genhouse.inspection.verdict import Verdict, cells_of, finding
from genhouse.model.voxels import Voxels

NAME = "weather"


def weather(voxels: Voxels, sub: Subcells) -> Verdict:
    """Two rules: [1] rain straight from above; [2] the sky's air above the eaves, faces, edges and
    corners counted as ways through."""
    wet = _rained_on(sub)
    leak = _open_to_sky(voxels, sub)
    return Verdict(
        check=NAME,
        findings=finding(NAME, wet, "rain falls on an indoor cell")
        + finding(NAME, leak, "the sky reaches under the roof"),
        evidence=f"{int(sub.indoor.sum())} indoor cells, eaves at layer {voxels.about.eaves}",
    )


def _rained_on(sub: Subcells) -> Bool:
    """RULE 1: each of the sixteen sub-columns of an indoor cell has something solid above it."""
    depth = sub.solid.shape[2]
    highest = np.where(sub.solid.any(axis=2), depth - 1 - sub.solid[:, :, ::-1].argmax(axis=2), -1)
    x, y, z = sub.indoor.shape
    cover = highest.reshape(x, SUB, y, SUB).min(axis=(1, 3))
    above = SUB * (np.arange(z) + 1)
    return np.asarray(sub.indoor & (cover[..., None] < above))


def _open_to_sky(voxels: Voxels, sub: Subcells) -> Bool:
    """RULE 2: indoor cells and covered roof void that share air with the sky above the eaves."""
    low = SUB * voxels.about.eaves
    air = ~sub.solid[:, :, low:]
    labels = cc3d.connected_components(air, connectivity=26)
    open_air = np.zeros(int(labels.max()) + 1, dtype=bool)
    open_air[labels[:, :, -1]] = True
    open_air[0] = False
    sky = open_air[labels]
    faults = np.zeros(sub.indoor.shape, dtype=bool)
    faults[:, :, voxels.about.eaves :] = cells_of(sky & _sheltered(voxels, sub, low))
    return faults


def _sheltered(voxels: Voxels, sub: Subcells, low: int) -> Bool:
    """Indoor air, and the void: covered air of no room, over a room and under the roof's first piece."""
    roof = voxels.stage == voxels.about.stages.index("roof")
    above_room = np.logical_or.accumulate(sub.indoor, axis=2) & ~sub.indoor & (voxels.room == 0)
    past = np.logical_or.accumulate(roof & above_room, axis=2)
    past[:, :, 1:] = past[:, :, :-1]
    void = above_room & ~past
    covered = np.logical_or.accumulate(sub.solid[:, :, : low - 1 : -1], axis=2)[:, :, ::-1]
    return fine(sub.indoor)[:, :, low:] | (fine(void)[:, :, low:] & covered)
