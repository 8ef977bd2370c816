"""Daylight on a model: sun with soft shadows, and sky by a handful of sweeps.

Solids come as ``[k, i, j]`` in the camera frame.  Whole numbers throughout: 255 is full light.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator
from typing import Any

import numpy as np
import numpy.typing as npt
from msgspec import Struct

Solid = npt.NDArray[np.bool_]
Field = npt.NDArray[np.uint8]
Sums = npt.NDArray[np.uint8] | npt.NDArray[np.uint16]

SUN = (-5, 11, 16)
"""Toward the sun along i, j, k: from the left, a little behind, some 53 degrees up."""

SKY = (
    (0, 0, 8),
    (8, 0, 8),
    (-8, 0, 8),
    (0, 8, 8),
    (0, -8, 8),
    (5, 5, 8),
    (-5, 5, 8),
    (5, -5, 8),
    (-5, -5, 8),
)
"""Toward the parts of the sky that are asked for their light."""

BARE = 250
"""Sun on the table from which its shade is no longer seen."""

FOOT = 24
"""Sub-cells from the model's foot over which the table is a little dim."""

WORLD = 64
"""Sub-cells beyond the plot on which the model still throws its shadow."""


def _shift(way: int, rise: int, step: int) -> int:
    """How far light that came ``step`` layers down moves in this one; Bresenham's line."""
    return (way * (step + 1)) // rise - (way * step) // rise


def _moved(light: Field, di: int, dj: int) -> Field:
    """Light moved by one sub-cell at most each way; full light comes in at the borders."""
    moved = np.full_like(light, 255)
    n, m = light.shape
    moved[max(di, 0) : n + min(di, 0), max(dj, 0) : m + min(dj, 0)] = light[
        max(-di, 0) : n + min(-di, 0), max(-dj, 0) : m + min(-dj, 0)
    ]
    return moved


def _softened(light: Field) -> Field:
    """The mean of each value and its four neighbours' crosswise pairs."""
    wide = np.pad(light, 1, mode="edge").astype(np.uint16)
    rows = wide[:-2] + 2 * wide[1:-1] + wide[2:]
    both = rows[:, :-2] + 2 * rows[:, 1:-1] + rows[:, 2:]
    soft: Field = ((both + 8) >> 4).astype(np.uint8)
    return soft


def sweep(air: Field, toward: tuple[int, int, int], soften: int = 0) -> Field:
    """Light that reaches each sub-cell from one direction, swept down layer by layer.

    air: 255 where light passes, 0 where it stops, ``[k, i, j]``.  soften: after every so many
    layers the light is blurred a little, so that shadows grow softer with their distance.
    """
    reached = np.zeros_like(air)
    for layer, light in zip(reached[::-1], _falling(air, toward, soften), strict=True):
        layer[:] = light
    return reached


def _falling(
    air: Field, toward: tuple[int, int, int], soften: int, beyond: int = 0
) -> Iterator[Field]:
    """The light of a sweep on one layer after another, down to the lowest.

    beyond: sub-cells about the model over which it is followed too; nothing stands there.
    """
    layers, n, m = air.shape
    light = np.full((n + 2 * beyond, m + 2 * beyond), 255, dtype=np.uint8)
    for step in range(layers):
        over = light[beyond : beyond + n, beyond : beyond + m]
        over &= air[layers - 1 - step]
        yield light
        di, dj = (-_shift(way, toward[2], step) for way in toward[:2])
        if di or dj:
            light = _moved(light, di, dj)
        if soften and step % soften == soften - 1:
            light = _softened(light)


def _pairs(a: npt.NDArray[Any], axis: int, reach: int) -> npt.NDArray[Any]:
    """Sums of entries ``reach`` apart along an axis."""
    n = a.shape[axis]
    low = [slice(None)] * 3
    high = [slice(None)] * 3
    low[axis], high[axis] = slice(0, n - reach), slice(reach, n)
    sums: npt.NDArray[Any] = a[tuple(low)] + a[tuple(high)]
    return sums


def around(field: Field, reach: int, below: int, beside: int) -> Sums:
    """At each corner of the sub-cells, the sum over the cube of 2 reach that it is the middle of.

    reach: a power of two.  below, beside: what lies under the lowest layer, and elsewhere outside;
    beside is the greatest value there is, and small enough that the sum fits in sixteen bits.
    """
    wide: npt.NDArray[Any] = np.full([n + 2 * reach for n in field.shape], beside, dtype=np.uint8)
    wide[reach:-reach, reach:-reach, reach:-reach] = field
    wide[:reach] = below
    most = beside
    for axis in range(3):
        step = 1
        while step <= reach:
            most *= 2
            if most > 255:
                wide = wide.astype(np.uint16, copy=False)
            wide = _pairs(wide, axis, step)
            step *= 2
    return wide


class Daylight(Struct, frozen=True, kw_only=True):
    """Sums over the 4 x 4 x 4 sub-cells about each corner, ``[K + 1, I + 1, J + 1]``.

    room: open sub-cells, 32 on a plane, fewer in a nook.  sky, sun (or None): 31 and 63 for each lit one.
    ground: sun 0 to 255 on the table beyond the model, ``[I + 2 WORLD, J + 2 WORLD]``.
    """

    sun: Sums | None
    sky: Sums
    room: Sums
    ground: Field


def _halved(a: Field) -> Field:
    """Sums over pairs along each axis; an odd last layer is left out."""
    for axis in range(3):
        even, odd = [slice(None)] * 3, [slice(None)] * 3
        n = a.shape[axis] // 2 * 2
        even[axis], odd[axis] = slice(0, n, 2), slice(1, n, 2)
        a = a[tuple(even)] + a[tuple(odd)]
    return a


def _sky(solid: Solid) -> Field:
    """Sky light in 0 to 31 for each sub-cell, worked out at half their fineness."""
    air = (_halved(solid.view(np.uint8)) < 5).view(np.uint8)
    total = np.zeros(air.shape, dtype=np.uint8)
    for way in SKY:
        _add_beams(total, air, way)
    level = (np.arange(len(SKY) + 1) * 31 // len(SKY)).astype(np.uint8).take(total)
    return level.repeat(2, axis=0).repeat(2, axis=1).repeat(2, axis=2)


def _add_beams(total: Field, air: Field, toward: tuple[int, int, int]) -> None:
    """Count the sub-cells that light from one direction reaches.  air: 1 where it passes, else 0.

    Each beam keeps its place, and the layers slide by under them.
    """
    layers, n, m = air.shape
    slid = [[way * step // toward[2] for way in toward[:2]] for step in range(layers)]
    first = [min(0, slid[-1][axis]) for axis in (0, 1)]
    beams = np.ones((n + abs(slid[-1][0]), m + abs(slid[-1][1])), dtype=np.uint8)
    for k, (di, dj) in zip(range(layers - 1, -1, -1), slid, strict=True):
        reached = beams[di - first[0] :, dj - first[1] :][:n, :m]
        reached &= air[k]
        total[k] += reached


def daylight(solid: Solid, sunny: bool = True) -> Daylight:
    """The light on a model of sub-cells ``[k, i, j]``; without sun it throws no shadow."""
    air = (~solid).view(np.uint8)
    beams = sweep(air * np.uint8(255), SUN, soften=5) >> np.uint8(2) if sunny else None
    return Daylight(
        sun=None if beams is None else around(beams, 2, 0, 63),
        sky=around(_sky(solid) * air, 2, 0, 31),
        room=around(air, 2, 0, 1),
        ground=_ground(solid, sunny),
    )


def _ground(solid: Solid, sunny: bool) -> Field:
    """The sun on a table under the model."""
    light = np.full([n + 2 * WORLD for n in solid.shape[1:]], 255, dtype=np.uint8)
    if not sunny:
        return light
    (low,) = deque(_falling((~solid).view(np.uint8) * np.uint8(255), SUN, 4, WORLD), maxlen=1)
    return _softened(_softened(low))


def footing(base: npt.NDArray[np.bool_]) -> Field:
    """How near each corner of the table's sub-cells is to the model's foot: FOOT at it, 0 so far off.

    base: what of the table it stands on, ``[I, J]``; all of it, where nothing does.
    ``[I + 2 WORLD + 1, J + 2 WORLD + 1]``.
    """
    if not base.any():
        base = np.ones_like(base)
    stands = np.zeros([n + 2 * WORLD + 1 for n in base.shape], dtype=bool)
    for i, j in ((0, 0), (0, 1), (1, 0), (1, 1)):
        stands[WORLD + i :, WORLD + j :][: base.shape[0], : base.shape[1]] |= base
    far = np.where(stands, np.int16(0), np.int16(FOOT))
    for axis in (0, 1):
        places = np.expand_dims(np.arange(far.shape[axis], dtype=np.int16), 1 - axis)
        after = np.minimum.accumulate(far - places, axis=axis) + places
        before = np.flip(np.minimum.accumulate(np.flip(far + places, axis), axis=axis), axis)
        far = np.minimum(after, before - places)
    return np.asarray(FOOT - np.minimum(far, FOOT), dtype=np.uint8)


def shadow_reach(light: Daylight) -> tuple[int, int, int, int]:
    """The lattice bounds of the shade on the table: rows, then upright lines; see ``camera``."""
    di, dj = (n - 2 * WORLD for n in light.ground.shape)
    shade = light.ground < BARE
    shade[WORLD:-WORLD, WORLD:-WORLD] = True
    p, q = np.nonzero(shade)
    rows, lines = p + q - 2 * WORLD, p - q
    return (
        min(int(rows.min()), -FOOT),
        max(int(rows.max()), di + dj + FOOT) + 2,
        min(int(lines.min()), -dj - FOOT) - 1,
        max(int(lines.max()), di + FOOT) + 1,
    )
