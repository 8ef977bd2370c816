"""Digests of the cells of a house."""

from __future__ import annotations

import hashlib

import numpy as np

from genhouse.model.voxels import Voxels


def digests(voxels: Voxels) -> tuple[dict[str, str], str]:
    """SHA-256 of the cells of each stage by its name, and of all; as 64 hexadecimal digits."""
    by_stage = {
        name: _cells(voxels, voxels.stage == number, with_stage=False)
        for number, name in enumerate(voxels.about.stages)
        if number
    }
    return by_stage, _cells(voxels, voxels.form > 0, with_stage=True)


def _cells(voxels: Voxels, where: np.ndarray, *, with_stage: bool) -> str:
    """In order of x, y and z: positions, materials, forms (and stages) of the cells chosen."""
    hashed = hashlib.sha256(np.argwhere(where).astype("<u2").tobytes())
    hashed.update(voxels.material[where].tobytes())
    hashed.update(voxels.form[where].astype("<u2").tobytes())
    if with_stage:
        hashed.update(voxels.stage[where].tobytes())
    return hashed.hexdigest()
