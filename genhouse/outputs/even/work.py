"""The pieces of one step as numbers: equal where the pieces are."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from genhouse.core.kept import fixed
from genhouse.model.voxels import Voxels
from genhouse.outputs.guide._counts import Called
from genhouse.outputs.steps.steps import Step, Steps

FORM = 16
"""A kind of piece is the number of its material, so many bits up, and that of its form."""
Kinds = npt.NDArray[np.int64]


class Done(Struct, frozen=True, kw_only=True, eq=False):
    """What a step sets.  kinds: [X, Y, Z], 0 where it sets nothing.  ground: z of the first layer.
    called: what a builder calls a material, by its name and a form's."""

    step: Step
    voxels: Voxels
    kinds: Kinds
    ground: int
    called: Called

    def layer(self, z: int) -> int:
        """Counted up from the ground, from 1."""
        return z - self.ground + 1

    def piece(self, kind: int, after: int = 0) -> str:
        """A piece with its material and, where it faces a side, that.

        after: a piece that was told just before; its material is not said again.
        """
        about = self.voxels.about
        form = about.forms[kind & (1 << FORM) - 1].name
        material = self.called(about.materials[kind >> FORM].name, form)
        form = form.removesuffix(" x").removesuffix(" y")
        if form == "whole":
            return material
        return form if after and kind >> FORM == after >> FORM else _joined(material, form)


def _joined(material: str, form: str) -> str:
    """
    >>> _joined("screen leaf", "leaf near"), _joined("window paper", "sheet x")
    ('screen leaf near', 'window paper sheet x')
    """
    last = material.rpartition(" ")[2]
    return f"{material}{form.removeprefix(last)}" if form.startswith(last) else f"{material} {form}"


def done_in(voxels: Voxels, steps: Steps, step: Step, ground: int, called: Called) -> Done:
    kinds = voxels.material.astype(np.int64) << FORM | voxels.form
    kinds[steps.of != step.number] = 0
    return Done(step=step, voxels=voxels, kinds=fixed(kinds), ground=ground, called=called)
