"""Standing: everything solid hangs together with the ground, face to face."""

from __future__ import annotations

import cc3d
import numpy as np

from genhouse.inspection.subcells import Subcells
from genhouse.inspection.verdict import Verdict, cells_of, finding

NAME = "standing"


def standing(sub: Subcells) -> Verdict:
    """Label the solid sub-cells by faces; every label must reach the lowest layer."""
    labels = cc3d.connected_components(sub.solid, connectivity=6)
    grounded = np.zeros(int(labels.max()) + 1, dtype=bool)
    grounded[labels[:, :, 0]] = True
    grounded[0] = True
    loose = (
        ()
        if grounded.all()
        else finding(NAME, cells_of(~grounded[labels]), "a piece hangs on nothing")
    )
    water = _unheld(sub)
    return Verdict(
        check=NAME,
        findings=loose + water,
        evidence=f"{len(grounded) - 1} solid bodies, {int(grounded[1:].sum())} on the ground",
    )


def _unheld(sub: Subcells) -> tuple:  # type: ignore[type-arg]
    """Water must be held below and on every side."""
    if not sub.liquid.any():
        return ()
    held = sub.liquid | sub.solid
    spill = np.zeros_like(held)
    spill[:, :, 1:] |= sub.liquid[:, :, 1:] & ~held[:, :, :-1]
    spill[:, :, 0] |= sub.liquid[:, :, 0]
    for axis in (0, 1):
        here, there = [slice(None)] * 3, [slice(None)] * 3
        here[axis], there[axis] = slice(1, None), slice(None, -1)
        spill[tuple(here)] |= sub.liquid[tuple(here)] & ~held[tuple(there)]
        spill[tuple(there)] |= sub.liquid[tuple(there)] & ~held[tuple(here)]
    return finding(NAME, cells_of(spill), "water is not held on every side")
