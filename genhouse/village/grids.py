"""Whole-number fields over ground: finer, smoother, shifted.  Nothing here rounds by float."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np
import numpy.typing as npt

from genhouse.core.draw import Draw
from genhouse.core.noise import UNIT, gradients

Field = npt.NDArray[np.signedinteger[Any]]
"""Whole numbers; of a map of many columns in as few bytes as will do."""
Mask = npt.NDArray[np.bool_]

STEPS = ((1, 0), (0, 1), (-1, 0), (0, -1), (1, 1), (-1, 1), (-1, -1), (1, -1))
"""To the eight neighbours: the four across sides, then the four across corners."""
FAR = (10, 10, 10, 10, 14, 14, 14, 14)
"""How far each of them is, in tenths."""


ROWS = 256
"""Rows of a map that are worked out at a time, where that takes much memory."""


def moved(field: Field, di: int, dj: int) -> Field:
    """What each place's neighbour at (di, dj) has; beyond the border, what the border has."""
    wide = np.pad(field, 1, mode="edge")
    n, m = field.shape
    return wide[1 + di : 1 + di + n, 1 + dj : 1 + dj + m]


def finer(field: Field, times: int) -> Field:
    """A field on a lattice so many times as fine, a power of two: means along both axes, then smoothed."""
    while times > 1:
        for axis in (0, 1):
            f = np.moveaxis(field, axis, 0)
            between = np.concatenate(((f[:-1] + f[1:]) >> 1, f[-1:]))
            field = np.moveaxis(np.stack((f, between), axis=1).reshape(-1, f.shape[1]), 0, axis)
        field, times = smooth(field), times // 2
    return field


def smooth(field: Field) -> Field:
    """Each place's mean with its neighbours, 1 2 1 along both axes."""
    for axis in (0, 1):
        f = np.moveaxis(field, axis, 0)
        wide = np.concatenate((f[:1], f, f[-1:]))
        field = np.moveaxis((wide[:-2] + 2 * wide[1:-1] + wide[2:] + 2) >> 2, 0, axis)
    return field


def rough(
    shape: tuple[int, int], longest: int, octaves: int, high: int, draw: Draw, gain: int = 2
) -> Field:
    """Gradient noise, about -high to high: octaves from a wavelength of ``longest`` places down, each of
    half the length, down to 4, and one part in ``gain`` as high."""
    total = np.zeros(shape, dtype=np.int64)
    for n in range(octaves):
        length, height = longest >> n, high // gain**n
        if length < 4 or not height:
            break
        step = length // 4
        wide, deep = (size // step + 2 for size in shape)
        x, y = (draw.at(n).below(1024, axis) for axis in "xy")
        places = [(x + i, y + j) for i in range(wide) for j in range(deep)]
        found = gradients(places, layer=draw.at(n).below(256, "layer"))
        coarse = np.array([found[p] for p in places], dtype=np.int64).reshape(wide, deep)
        total += finer(coarse * height * 3 // (2 * UNIT), step)[: shape[0], : shape[1]]
    return total


def scattered(shape: tuple[int, int], below: int, draw: Draw) -> Field:
    """A number below so many at each place, as if drawn: SplitMix64 (see ``core/draw``) of its place."""
    found = np.zeros(shape, dtype=np.int16 if below <= 1 << 15 else np.int32)
    for x in range(0, shape[0], ROWS):
        rows = np.arange(x, min(x + ROWS, shape[0]))[:, None]
        found[x : x + ROWS] = scattered_at(rows, np.arange(shape[1])[None, :], below, draw)
    return found


def scattered_at(x: Field, y: Field, below: int, draw: Draw) -> Field:
    """The same at some places alone."""
    z = (x.astype(np.uint64) << np.uint64(32)) + y.astype(np.uint64)
    z += np.uint64(draw.word("scattered") >> 1)
    z *= np.uint64(0x9E3779B97F4A7C15)
    z = (z ^ z >> np.uint64(30)) * np.uint64(0xBF58476D1CE4E5B9)
    z = (z ^ z >> np.uint64(27)) * np.uint64(0x94D049BB133111EB)
    return np.asarray((z >> np.uint64(40)).astype(np.int64) * below >> 24)


def mottled(shape: tuple[int, int], step: int, high: int, draw: Draw) -> Field:
    """Soft unevenness, about -high to high, of spots some steps (a power of two) wide."""
    wide, deep = (size // step + 2 for size in shape)
    spots = scattered((wide, deep), 4 * high + 1, draw) - 2 * high
    return finer(spots, step)[: shape[0], : shape[1]]


def eased(part: Field, whole: Field | int) -> Field:
    """0 to 1024 as a part goes from 0 to its whole, slow at both ends."""
    t = np.clip(part * 1024 // np.maximum(whole, 1), 0, 1024)
    return np.asarray(t * t * (3 * 1024 - 2 * t) >> 20)


def neighbours(i: int, j: int, shape: tuple[int, int]) -> Iterator[tuple[int, int, int]]:
    """The eight about a place: i, j, and how far in tenths."""
    for (di, dj), far in zip(STEPS, FAR, strict=True):
        a, b = i + di, j + dj
        if 0 <= a < shape[0] and 0 <= b < shape[1]:
            yield a, b, far
