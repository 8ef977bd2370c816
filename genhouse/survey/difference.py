"""Two houses cell by cell: how many cells are not as they were, and what that looks like."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import numpy as np
import numpy.typing as npt

from genhouse.core.kept import fixed
from genhouse.model.voxels import MaterialEntry, Voxels
from genhouse.outputs.pictures import picture

if TYPE_CHECKING:
    from PIL.Image import Image

AIR = MaterialEntry(name="air", colour="#000000")
SAME, CAME, WENT, OTHER = range(1, 5)
LEGEND = (
    MaterialEntry(name="as it was", colour="#e9e2d2"),
    MaterialEntry(name="came", colour="#4f8f4a"),
    MaterialEntry(name="went", colour="#c2452d"),
    MaterialEntry(name="became another", colour="#d9a13b"),
)
"""How cells are shown, by what became of them."""
WHOLE = "whole"
GROUND = 2
"""Layers of ground."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """What became of each cell: uint8 [X, Y, Z], 0 for air, then as LEGEND has it.

    shown: what changed, and the ground as it was, as voxels that are coloured by that.
    """

    fate: npt.NDArray[np.uint8]
    shown: Voxels

    @property
    def cells(self) -> int:
        """How many are not as they were."""
        return int(np.count_nonzero(self.fate > SAME))

    def picture(self, size: tuple[int, int]) -> Image:
        """What changed, standing on the ground as it was."""
        view = picture.SUNNY_SIDE[picture.gate_side(self.shown)]
        return picture.draw(self.shown, view=view, size=size)


def difference(old: Voxels, new: Voxels) -> Difference:
    """Cells by the names of their materials and forms, from the common corner of the plots."""
    size = tuple(max(a, b) for a, b in zip(old.size, new.size, strict=True))
    known = {form.name: n for n, form in enumerate(new.about.forms)}
    plain = known.get(WHOLE, 1)
    forms = np.array([known.get(form.name, plain) for form in old.about.forms], dtype=np.uint16)
    before, after = _padded(forms[old.form] * (old.form > 0), size), _padded(new.form, size)
    unlike = (before != after) | (_named(old, new, size) != _padded(new.material, size))
    fate = np.select(
        [(before == 0) & (after == 0), ~unlike, before == 0, after == 0],
        [0, SAME, CAME, WENT],
        OTHER,
    ).astype(np.uint8)
    there = fate > SAME
    there[:, :, :GROUND] |= fate[:, :, :GROUND] > 0
    form = (np.where(after > 0, after, before) * there).astype(np.uint16)
    nothing = np.zeros(size, dtype=np.uint16)
    shown = replace(
        new,
        material=fixed(fate * there),
        form=fixed(form),
        stage=fixed(there.astype(np.uint8)),
        room=fixed(nothing),
        about=replace(new.about, materials=(AIR, *LEGEND), rooms=()),
    )
    return Difference(fate=fate, shown=shown)


def _named(old: Voxels, new: Voxels, size: tuple[int, ...]) -> npt.NDArray[np.int64]:
    """The old materials by their numbers in the new house; -1 where it has none of that name."""
    known = {material.name: n for n, material in enumerate(new.about.materials)}
    table = np.array([known.get(m.name, -1) for m in old.about.materials], dtype=np.int64)
    return _padded(table[old.material], size)


def _padded(array: npt.NDArray[Any], size: tuple[int, ...]) -> npt.NDArray[np.int64]:
    whole = array.astype(np.int64)
    return np.pad(whole, [(0, most - n) for n, most in zip(array.shape, size, strict=True)])
