"""Standing: everything solid hangs together with the ground, face to face.

A house that stands is told by its cells, each a place of a grid twice as fine, with a place between two
that touch.  Where that leaves any doubt the sub-cells themselves are labelled.
"""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

import cc3d
import numpy as np
import numpy.typing as npt

from genhouse.core.kept import fixed
from genhouse.inspection.subcells import SUB, Bool, Subcells, cut, raised
from genhouse.inspection.verdict import Finding, Verdict, cells_of, finding
from genhouse.model.voxels import Voxels

NAME = "standing"


def standing(voxels: Voxels, sub: Subcells) -> Verdict:
    """Label the solid by faces; every label must reach the lowest layer."""
    bodies = _bodies(voxels)
    loose: tuple[Finding, ...] = ()
    if bodies is None:
        labels = cc3d.connected_components(cut(sub.solid), connectivity=6)
        grounded = _grounded(labels)
        bodies, held = len(grounded) - 1, int(grounded[1:].sum())
        if held < bodies:
            loose = finding(NAME, cells_of(~grounded[labels]), "a piece hangs on nothing")
    else:
        held = bodies
    return Verdict(
        check=NAME,
        findings=loose + _unheld(sub),
        evidence=f"{bodies} solid bodies, {held} on the ground",
    )


def _grounded(labels: npt.NDArray[np.unsignedinteger]) -> Bool:
    """Which labels reach the lowest layer; nothing, label 0, is counted among them."""
    grounded = np.zeros(int(labels.max()) + 1, dtype=bool)
    grounded[labels[:, :, 0]] = True
    grounded[0] = True
    return grounded


def _bodies(voxels: Voxels) -> int | None:
    """How many bodies stand on the ground; None where some may not.

    Of forms in several pieces only those are understood that stand on what is below.
    """
    forms = _forms(np.ascontiguousarray(voxels.shapes).tobytes())
    form = voxels.form * ~voxels.flag("liquid")[voxels.material]
    split = forms.split[form]
    below, over = forms.faces[:, 2].take(form[:, :, :-1], axis=1)[1], form[:, :, 1:]
    feet = np.where(split[:, :, 1:], forms.faces[0, 2].take(over), 0)
    if (feet & ~below).any() or (split & ~forms.footed[form]).any() or split[:, :, 0].any():
        return None
    form *= ~split
    x, y, z = form.shape
    grid = np.zeros((2 * x - 1, 2 * y - 1, 2 * z - 1), dtype=bool)
    grid[::2, ::2, ::2] = form > 0
    for axis in range(3):
        near, far = forms.faces[:, axis].take(np.moveaxis(form, axis, 0), axis=1)
        touching = np.moveaxis(grid, axis, 0)[1::2, ::2, ::2]
        touching[...] = (far[:-1] & near[1:]) > 0
    grounded = _grounded(cc3d.connected_components(grid, connectivity=6))
    return len(grounded) - 1 if grounded.all() else None


class _Forms(NamedTuple):
    """faces: what each fills of its sides, low and high, square to x, y and z, bits [2, 3, F].

    split: whether it is in several pieces [F].  footed: whether all of these reach its lowest quarter.
    """

    faces: npt.NDArray[np.uint16]
    split: Bool
    footed: Bool


@lru_cache(maxsize=4)
def _forms(raw: bytes) -> _Forms:
    """Of a table of sub-cells, bool [F, 4, 4, 4]."""
    shapes = np.frombuffer(raw, dtype=bool).reshape(-1, SUB, SUB, SUB)
    bits = 1 << np.arange(SUB * SUB, dtype=np.uint16)
    faces = [
        [(side.reshape(len(shapes), -1) * bits).sum(axis=1, dtype=np.uint16) for side in sides]
        for sides in (
            (shapes[:, end], shapes[:, :, end], shapes[:, :, :, end]) for end in (0, SUB - 1)
        )
    ]
    apart = np.zeros((len(shapes), SUB + 1, SUB, SUB), dtype=bool)
    apart[:, :SUB] = shapes
    labels = cc3d.connected_components(apart.reshape(-1, SUB, SUB), connectivity=6)
    labels = labels.reshape(len(shapes), -1)
    split = labels.max(axis=1) > np.where(labels, labels, labels.max()).min(axis=1)
    footed = ~split
    for n in np.flatnonzero(split):
        its = labels[n].reshape(-1, SUB)
        footed[n] = np.isin(its, its[:, 0]).all()
    return _Forms(faces=fixed(np.array(faces)), split=fixed(split), footed=fixed(footed))


def _unheld(sub: Subcells) -> tuple[Finding, ...]:
    """Water must be held below and on every side."""
    if not sub.liquid.any():
        return ()
    x, y = (slice(max(0, n.min() - 1), n.max() + 2) for n in np.nonzero(sub.liquid.any(axis=2)))
    water = sub.liquid[x, y]
    held = water | sub.solid[x, y, : water.shape[2]]
    spill, open_to = water & ~raised(held, 1), ~held
    spill[1:] |= water[1:] & open_to[:-1]
    spill[:-1] |= water[:-1] & open_to[1:]
    spill[:, 1:] |= water[:, 1:] & open_to[:, :-1]
    spill[:, :-1] |= water[:, :-1] & open_to[:, 1:]
    if not spill.any():
        return ()
    everywhere = np.zeros_like(sub.liquid)
    everywhere[x, y] = spill
    return finding(NAME, cells_of(cut(everywhere)), "water is not held on every side")
