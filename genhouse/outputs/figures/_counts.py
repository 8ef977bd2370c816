"""Counts of cells by material, stage and piece."""

from __future__ import annotations

import numpy as np

from genhouse.model.voxels import Voxels
from genhouse.outputs.figures._tables import StageFigures


def named(numbers: np.ndarray, names: list[str]) -> dict[str, int]:
    """How many cells have each number, by name; number 0 and names that do not occur left out."""
    counts = np.bincount(numbers.reshape(-1), minlength=len(names)).tolist()
    found: dict[str, int] = {}
    for name, count in zip(names[1:], counts[1:], strict=True):
        if count:
            found[name] = found.get(name, 0) + count
    return found


def stages(voxels: Voxels) -> dict[str, StageFigures]:
    """What each stage sets, by its name."""
    pieces = [f.piece for f in voxels.about.forms]
    found: dict[str, StageFigures] = {}
    for number, name in enumerate(voxels.about.stages):
        if number:
            forms = voxels.form[voxels.stage == number]
            found[name] = StageFigures(cells=int(forms.size), pieces=named(forms, pieces))
    return found
