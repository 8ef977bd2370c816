"""Lamplight for the night picture: light that spreads from lamps through air and paper."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from genhouse.model.voxels import Voxels

Glow = npt.NDArray[np.int32]

SPREAD = 28
"""How many cells light is followed."""

BLOCKS = 16
"""Sub-cells of 64 from which a piece stops light, unless it is clear."""


def lets_through(voxels: Voxels) -> npt.NDArray[np.bool_]:
    """bool [X, Y, Z]: whether light passes a cell."""
    filled = voxels.shapes.sum(axis=(1, 2, 3))[voxels.form]
    passes: npt.NDArray[np.bool_] = (
        (filled < BLOCKS) | voxels.flag("clear")[voxels.material] | (_lumens(voxels) > 0)
    )
    return passes


def _lumens(voxels: Voxels) -> Glow:
    return np.array([m.lumens for m in voxels.about.materials], dtype=np.int32)[voxels.material]


def _six(light: Glow) -> Glow:
    """The sum over the six neighbours of each cell."""
    total = np.zeros_like(light)
    for axis in range(3):
        a, b = np.moveaxis(total, axis, 0), np.moveaxis(light, axis, 0)
        a[1:] += b[:-1]
        a[:-1] += b[1:]
    return total


def lamplight(voxels: Voxels) -> Glow:
    """How bright each cell is, by lamps alone; 0 in cells that stop light."""
    source = _lumens(voxels) * 64
    passes = lets_through(voxels)
    light = source.copy()
    for _ in range(SPREAD):
        light = source + np.where(passes, _six(light) * 5 // 32, 0)
    return light


def at_corners(light: Glow, passes: npt.NDArray[np.bool_], i: Glow, j: Glow, k: Glow) -> Glow:
    """Light at places given in sub-cells, between the middles of cells that let it through."""
    amount, weight = np.zeros(i.shape, dtype=np.int64), np.zeros(i.shape, dtype=np.int64)
    low = [(n - 2) >> 2 for n in (i, j, k)]
    part = [(n - 2) & 3 for n in (i, j, k)]
    for corner in range(8):
        far = [corner >> n & 1 for n in range(3)]
        share = np.ones(i.shape, dtype=np.int64)
        for n in range(3):
            share = share * (part[n] if far[n] else 4 - part[n])
        place = tuple(np.clip(low[n] + far[n], 0, light.shape[n] - 1) for n in range(3))
        share = share * passes[place]
        amount += share * light[place]
        weight += share
    return (amount // np.maximum(weight, 1)).astype(np.int32)
