"""Floors: under every cell of a floor there is something to stand on."""

from __future__ import annotations

import numpy as np

from genhouse.inspection.fabric import Fabric
from genhouse.inspection.outlines import SQUARES
from genhouse.inspection.verdict import Verdict, finding
from genhouse.model.voxels import Voxels

NAME = "floors"


def floors(voxels: Voxels, fabric: Fabric) -> Verdict:
    """Indoors and out, wherever a room says that it is walked; the well of a stair is told by the flight
    in it, and water is for the walk to judge."""
    room = voxels.room
    lowest = voxels.room_flag("walkable")[room]
    lowest[:, :, 1:] &= room[:, :, 1:] != room[:, :, :-1]
    gap = lowest & ~(fabric.floor & fabric.told)
    gap[:, :, 1:] &= (fabric.outlines.much[2] < SQUARES)[voxels.form[:, :, :-1]]
    gap[:, :, 0] = False
    return Verdict(
        check=NAME,
        findings=finding(NAME, gap, "there is nothing to stand on under a floor"),
        evidence=f"{int(np.count_nonzero(lowest))} cells of floor",
    )
