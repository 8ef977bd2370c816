"""To which step each piece belongs, and which comes sooner within it."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from genhouse.model.design import Design
from genhouse.model.voxels import Voxels
from genhouse.outputs.storeys import storeys
from genhouse.traditions.work import Work

Ints = npt.NDArray[np.int64]


def assigned(
    design: Design, voxels: Voxels, parts: npt.NDArray[np.int32], works: Sequence[Work]
) -> npt.NDArray[np.uint8]:
    """The number of each piece's step, from 1: uint8 [X, Y, Z]; 0 where there is no piece.

    A piece that is not as its part sets it, changed by hand, comes in its stage's last step.
    """
    second = storeys(design)[1:]
    high = np.arange(voxels.size[2]) >= (second[0].floor - 1 if second else voxels.size[2])
    names = sorted({part.role for part in design.laid.parts})
    number = {name: n for n, name in enumerate(names, 1)}
    role = np.array([0, *(number[part.role] for part in design.laid.parts)])[parts]
    found = np.zeros(voxels.size, dtype=np.uint8)
    for n, work in reversed(list(enumerate(works, 1))):
        mine = voxels.stage == voxels.about.stages.index(work.stage)
        if work.roles:
            mine &= np.isin(role, [number[r] for r in work.roles if r in number])
        if work.storey:
            mine &= high if work.storey == "high" else ~high
        found[mine] = n
    return found


def sooner(
    voxels: Voxels, parts: npt.NDArray[np.int32], step: npt.NDArray[np.uint8], works: Sequence[Work]
) -> Ints:
    """A rank for each piece of a house made flat: by layer, row and column from the south-west corner;
    where a step goes room by room, by room and by what its parts are.  Equal for none."""
    x, y, z = np.indices(voxels.size, dtype=np.int64)
    width, deep, _ = voxels.size
    rank = (z * deep + y) * width + x
    by_room = np.array([False, *(work.by == "room" for work in works)])[step]
    own = (voxels.room.astype(np.int64) << 20 | parts) * rank.size
    return np.asarray(np.where(by_room, rank + own, rank).reshape(-1))
