"""Standing: everything solid hangs together with the ground, face to face."""

from __future__ import annotations

import cc3d
import numpy as np

from genhouse.inspection.subcells import Subcells, cut, raised
from genhouse.inspection.verdict import Finding, Verdict, cells_of, finding

NAME = "standing"


def standing(sub: Subcells) -> Verdict:
    """Label the solid sub-cells by faces; every label must reach the lowest layer."""
    labels = cc3d.connected_components(cut(sub.solid), connectivity=6)
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


def _unheld(sub: Subcells) -> tuple[Finding, ...]:
    """Water must be held below and on every side."""
    held = sub.liquid | sub.solid
    spill, open_to = sub.liquid & ~raised(held, 1), ~held
    spill[1:] |= sub.liquid[1:] & open_to[:-1]
    spill[:-1] |= sub.liquid[:-1] & open_to[1:]
    spill[:, 1:] |= sub.liquid[:, 1:] & open_to[:, :-1]
    spill[:, :-1] |= sub.liquid[:, :-1] & open_to[:, 1:]
    if not spill.any():
        return ()
    return finding(NAME, cells_of(cut(spill)), "water is not held on every side")
