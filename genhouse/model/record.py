"""What is known of a house from when it was saved, to hold its cells to."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from genhouse.model.voxels import Voxels


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    """told: the cells that its design's parts set.  stages, whole: digests of the cells that were saved.

    edited: what of these was already changed by hand then, as ``raster.edited`` names it.
    """

    told: Voxels
    stages: Mapping[str, str]
    whole: str
    edited: tuple[str, ...] = ()


def differing(
    told: Voxels, voxels: Voxels
) -> tuple[npt.NDArray[np.bool_], npt.NDArray[np.uint8], npt.NDArray[np.int32]]:
    """Where two houses of one size differ in material, form or stage; the stages of both by the numbers
    of the first."""
    stage = _renumbered(voxels.stage, voxels.about.stages, told.about.stages)
    differ = told.stage != stage
    for name in ("material", "form"):
        theirs, ours = (
            [entry.name for entry in getattr(v.about, f"{name}s")] for v in (voxels, told)
        )
        differ |= getattr(told, name) != _renumbered(getattr(voxels, name), theirs, ours)
    return differ, told.stage, stage


def _renumbered(
    numbers: np.ndarray, theirs: Sequence[str], ours: Sequence[str]
) -> npt.NDArray[np.int32]:
    """Numbers of one table as those of another; -1 for what it does not have."""
    place = {name: n for n, name in enumerate(ours)}
    number = np.array([place.get(name, -1) for name in theirs], dtype=np.int32)
    return np.asarray(number[numbers])
