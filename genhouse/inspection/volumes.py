"""Volumes: each room is one body, from floor to ceiling, and rooms meet only through walls and floors."""

from __future__ import annotations

import cc3d
import numpy as np

from genhouse.inspection.fabric import Fabric, moved
from genhouse.inspection.subcells import Bool
from genhouse.inspection.verdict import Finding, Verdict, finding
from genhouse.model.voxels import Voxels

NAME = "volumes"


def volumes(voxels: Voxels, fabric: Fabric) -> Verdict:
    """Five rules, below; the first and the last are of indoor rooms."""
    room = voxels.room
    return Verdict(
        check=NAME,
        findings=finding(
            NAME, _touching(voxels, fabric), "two rooms share no wall, but cells that touch"
        )
        + finding(NAME, _broken(voxels), "a room's column has a gap")
        + finding(NAME, _apart(voxels), "a part of a room lies apart from the rest")
        + finding(NAME, _raised(voxels), "a room begins higher here than all round")
        + _lost(voxels),
        evidence=f"{int(np.count_nonzero(room))} cells of rooms",
    )


def _touching(voxels: Voxels, fabric: Fabric) -> Bool:
    room, faults = voxels.room, np.zeros(voxels.size, dtype=bool)
    for axis in range(3):
        before = moved(room, axis, 1)
        met = (room != before) & (room > 0) & (before > 0)
        faults |= met & (fabric.indoor | moved(fabric.indoor, axis, 1))
    return faults


def _begins(voxels: Voxels) -> Bool:
    """The lowest cell of each run of a room upward."""
    room = voxels.room
    first = room > 0
    first[:, :, 1:] &= room[:, :, 1:] != room[:, :, :-1]
    return np.asarray(first)


def _broken(voxels: Voxels) -> Bool:
    """RULE 2: over a column a room is not left and entered again."""
    first = _begins(voxels)
    x, y, z = np.nonzero(first)
    number = voxels.room[x, y, z].astype(np.int64)
    column = (number * voxels.size[0] + x) * voxels.size[1] + y
    again = np.bincount(column)[column] > 1
    faults = np.zeros_like(first)
    faults[x[again], y[again], z[again]] = True
    return faults


def _apart(voxels: Voxels) -> Bool:
    """RULE 3: all but one part of a room, of its largest."""
    labels = cc3d.connected_components(voxels.room, connectivity=6)
    sizes = np.bincount(labels.reshape(-1))
    if len(sizes) - 1 <= len(np.unique(voxels.room[voxels.room > 0])):
        return np.zeros(voxels.size, dtype=bool)
    room_of = np.zeros(len(sizes), dtype=voxels.room.dtype)
    room_of[labels] = voxels.room
    order = np.argsort(-sizes.astype(np.int64), kind="stable")
    _, first = np.unique(room_of[order], return_index=True)
    apart = np.ones(len(sizes), dtype=bool)
    apart[order[first]] = False
    return np.asarray(apart[labels] & (voxels.room > 0))


def _raised(voxels: Voxels) -> Bool:
    """RULE 4: a column that begins above those of its room on all sides, where there are three."""
    first = _begins(voxels)
    room = voxels.room
    under = np.zeros_like(room)
    under[:, :, 1:] = room[:, :, :-1]
    beside = np.zeros(room.shape, dtype=np.uint8)
    for axis in (0, 1):
        for by in (1, -1):
            beside += moved(under, axis, by) == room
    return np.asarray(first & (beside > 2))


def _lost(voxels: Voxels) -> tuple[Finding, ...]:
    """RULE 5: what a room is furnished with lies in a room."""
    lost = voxels.set_by("fittings") & (voxels.room == 0)
    return finding(NAME, lost, "a fitting lies in no room")
