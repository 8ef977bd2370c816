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
    """RULE 2: indoor cells and covered roof void that share air with the sky above the eaves.

    Where the roof of a lower wing begins below these, its void is looked at from its own foot up.
    """
    eaves = voxels.about.eaves
    void = _void(voxels, sub)
    faults = _shared(sub, eaves, sub.indoor | void)
    low = void & ~_with_walls(np.asarray(sub.indoor[:, :, eaves - 1 :].any(axis=2)))[..., None]
    if low.any():
        faults |= _shared(sub, int(low.any(axis=(0, 1)).argmax()), low)
    return faults


def _with_walls(rooms: Bool) -> Bool:
    """Columns and the eight round each."""
    wide = np.pad(rooms, 1)
    rows = wide[:-2] | wide[1:-1] | wide[2:]
    return np.asarray(rows[:, :-2] | rows[:, 1:-1] | rows[:, 2:])


def _shared(sub: Subcells, foot: int, kept: Bool) -> Bool:
    """Those of some cells under cover that share air with the sky from a layer up."""
    low = SUB * foot
    air = ~sub.solid[:, :, low:]
    labels = cc3d.connected_components(air, connectivity=26)
    open_air = np.zeros(int(labels.max()) + 1, dtype=bool)
    open_air[labels[:, :, -1]] = True
    open_air[0] = False
    sky = open_air[labels]
    covered = np.logical_or.accumulate(sub.solid[:, :, : low - 1 : -1], axis=2)[:, :, ::-1]
    sheltered = fine(kept & sub.indoor)[:, :, low:] | (fine(kept)[:, :, low:] & covered)
    faults = np.zeros(kept.shape, dtype=bool)
    faults[:, :, foot:] = cells_of(sky & sheltered)
    return faults


def _void(voxels: Voxels, sub: Subcells) -> Bool:
    """Cells of no room, over an indoor room, no other between, and under the roof's first piece, or
    with it."""
    roof = voxels.stage == voxels.about.stages.index("roof")
    empty = voxels.room == 0
    last = np.maximum.accumulate(np.where(empty, 0, np.arange(empty.shape[2])), axis=2)
    above_room = np.take_along_axis(sub.indoor, last, axis=2) & empty
    past = np.logical_or.accumulate(roof & above_room, axis=2)
    past[:, :, 1:] = past[:, :, :-1]
    return np.asarray(above_room & ~past)
