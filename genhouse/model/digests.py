"""Digests of the cells of a house."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence

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


def named_digests(voxels: Voxels) -> dict[str, str]:
    """SHA-256 of the cells of each building stage that sets any, and of ``rooms``.

    By names, not by numbers: a new material or form elsewhere in the tables moves nothing here.
    """
    materials = [material.name for material in voxels.about.materials]
    forms = [form.name for form in voxels.about.forms]
    found = {}
    for number, name in enumerate(voxels.about.stages):
        here = voxels.stage == number
        if number and here.any():
            hashed = hashlib.sha256(np.argwhere(here).astype("<u2").tobytes())
            for array, names in ((voxels.material, materials), (voxels.form, forms)):
                hashed.update(_by_name(array[here], names))
            found[name] = hashed.hexdigest()
    found["rooms"] = hashlib.sha256(voxels.room.astype("<u2").tobytes()).hexdigest()
    return found


def _by_name(numbers: np.ndarray, names: Sequence[str]) -> bytes:
    """The names used, sorted, and for each cell its place among them."""
    used = sorted({names[n] for n in np.unique(numbers).tolist()})
    place = np.array([used.index(name) if name in used else 0 for name in names], dtype="<u2")
    return "\n".join((*used, "")).encode() + bytes(place[numbers].tobytes())
