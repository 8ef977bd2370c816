"""Plot: where its outline is no rectangle, nothing stands beyond it."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from genhouse.core.region import Corner, bounded
from genhouse.inspection.verdict import Verdict, finding
from genhouse.model.voxels import Voxels

NAME = "plot"


def plot(voxels: Voxels, outline: Sequence[Corner]) -> Verdict:
    """All pieces and rooms lie over it, and so does its ground.  outline: its corners; none of a plot that
    is as large as the arrays: beyond these nothing can stand."""
    if not outline:
        return Verdict(check=NAME, findings=(), evidence="the plot is a rectangle")
    beyond = np.ones(voxels.size[:2], dtype=bool)
    for x0, y0, x1, y1 in bounded(outline).parts:
        beyond[x0:x1, y0:y1] = False
    there = ((voxels.material > 0) | (voxels.room > 0)) & beyond[:, :, None]
    return Verdict(
        check=NAME,
        findings=finding(NAME, there, "what stands here lies beyond the outline of the plot"),
        evidence=f"{len(outline)} corners, {int(beyond.sum())} cells of ground beyond them",
    )
