"""Light on grids of sub-cells: what a point sees, and how brightly it is lit.

Places are whole numbers, eighths of a cell, so half a sub-cell: sub-cell i fills [2i, 2i + 2] and its
middle is 2i + 1.  A ray is followed exactly, from one plane between sub-cells to the next; one that
as much as touches the face, edge or corner of an opaque sub-cell is stopped, so that a mirrored grid
gives the mirrored answer.  A cell counts as a metre.  Only light that arrives straight is counted:
nothing is thrown back by walls, which in a pale room gives more again.
"""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt

Bool = npt.NDArray[np.bool_]
Ints = npt.NDArray[np.int32]

EIGHTHS = 8
SUB = 4
LIFT = 1
"""Eighths above a surface at which rays end, so that the surface itself does not stop them."""
CHUNK = 2048
"""Rays followed together."""


def subcells(form: npt.NDArray[np.uint8], shapes: Bool) -> Bool:
    """What an array of forms [X, Y, Z] fills: bool [4X, 4Y, 4Z]."""
    x, y, z = form.shape
    columns = np.ascontiguousarray(shapes).view(np.uint32)[..., 0]
    cut = np.zeros((x, SUB, y, SUB, z), dtype=np.uint32)
    cut[...] = columns[form].transpose(0, 3, 1, 4, 2)
    return cut.view(bool).reshape(SUB * x, SUB * y, SUB * z)


def centres(shapes: Bool) -> Ints:
    """The middle of what each form fills, in eighths of its cell: int [F, 3]; air's is its cell's."""
    filled = shapes | ~shapes.any(axis=(1, 2, 3), keepdims=True)
    number = filled.sum(axis=(1, 2, 3))
    middle = 2 * np.arange(SUB) + 1
    sums = [filled.sum(axis=others) @ middle for others in ((2, 3), (1, 3), (1, 2))]
    return np.stack([(2 * s + number) // (2 * number) for s in sums], axis=1).astype(np.int32)


def standing(layers: Bool, floor: Ints, tall: int = 7) -> Ints:
    """How high one stands in each column, in quarters above the floor of its cell; -1 where nobody can.

    layers: bool [N, Q], whether anything is in a column's quarter.  floor: first quarter of the cell
    over each column's floor.  tall: quarters that a body needs.
    """
    reach = np.arange(-1, SUB + tall - 1)
    at = np.clip(floor[:, None] + reach, 0, layers.shape[1] - 1)
    near = np.take_along_axis(layers, at, axis=1)
    high = np.full(len(layers), -1, dtype=np.int32)
    for q in range(SUB - 1, -1, -1):
        free = near[:, q] & ~near[:, q + 1 : q + 1 + tall].any(axis=1)
        high[free] = q
    return high


def nodes(opaque: Bool) -> Bool:
    """Opaque at whole eighths: bool [2A + 1, 2B + 1, 2C + 1].

    Odd places are middles of sub-cells, even ones lie between two, and are opaque where either is.
    """
    grid = opaque
    for axis in (2, 1, 0):
        grid = _between(grid, axis)
    return grid


def _between(a: Bool, axis: int) -> Bool:
    shape = list(a.shape)
    shape[axis] = 2 * shape[axis] + 1
    out = np.zeros(shape, dtype=bool)

    def part(start: int, stop: int | None, step: int = 1) -> tuple[slice, ...]:
        return (*(slice(None),) * axis, slice(start, stop, step))

    out[part(1, None, 2)] = a
    out[part(2, -1, 2)] = a[part(1, None)] | a[part(0, -1)]
    out[part(0, 1)], out[part(-1, None)] = a[part(0, 1)], a[part(-1, None)]
    return out


def seen(grid: Bool, starts: Ints, ends: Ints) -> Bool:
    """Whether each ray [R, 3] to [R, 3] meets nothing opaque: bool [R].

    grid: of ``nodes``.  Exact.
    """
    if not len(starts):
        return np.zeros(0, dtype=bool)
    strides = np.array(grid.strides, dtype=np.int32)
    ways, which = _kinds(ends - starts, starts & 1)
    track, counts = _tracks(ways[:, :3], ways[:, 3:], strides)
    first, flat = (starts @ strides).astype(np.int32), grid.reshape(-1)
    free = np.zeros(len(starts), dtype=bool)
    order = np.argsort(counts[which], kind="stable")
    for n in range(0, len(order), CHUNK):
        rays = order[n : n + CHUNK]
        kinds = which[rays]
        steps = track[kinds, : max(1, int(counts[kinds[-1]]))]
        steps += first[rays, None]
        free[rays] = ~flat.take(steps).any(axis=1)
    return free


def _kinds(d: Ints, odd: Ints) -> tuple[Ints, npt.NDArray[np.intp]]:
    """Rays that run alike, [U, 6]: their run and whether they start between sub-cells; and the kind
    of each ray."""
    most = int(np.abs(d).max()) + 1
    key = np.zeros(len(d), dtype=np.int64)
    for n in range(3):
        key = key * (2 * most) + (d[:, n] + most)
    key = key * 8 + odd @ np.array((4, 2, 1))
    _, one, which = np.unique(key, return_index=True, return_inverse=True)
    return np.hstack((d[one], odd[one])).astype(np.int32), which.reshape(-1)


def _tracks(d: Ints, odd: Ints, strides: Ints) -> tuple[Ints, Ints]:
    """The nodes at which each kind of ray crosses from one sub-cell to another.

    Their distances from the start in the flat grid [U, K], filled up with 0; their number [U].
    """
    first = 2 - odd
    number = np.maximum(0, (np.abs(d) + 1 - first) // 2)
    counts = number.sum(axis=1)
    before = number.cumsum(axis=1) - number
    track = np.zeros((len(d), max(1, int(counts.max()))), dtype=np.int32)
    for axis in range(3):
        j = np.arange(int(number[:, axis].max()), dtype=np.int32)
        kind, nth = np.nonzero(j < number[:, axis, None])
        gone = (first[kind, axis] + 2 * nth).astype(np.int32)
        way = d[kind]
        step = np.sign(way[:, axis]) * gone * strides[axis]
        for other in {0, 1, 2} - {axis}:
            step += (
                _node(way[:, other], odd[kind, other], gone, np.abs(way[:, axis])) * strides[other]
            )
        track[kind, before[kind, axis] + nth] = step
    return track, counts


def _node(d: Ints, odd: Ints, gone: Ints, run: Ints) -> Ints:
    """How many nodes from its start a ray lies on an axis, after ``gone`` of ``run`` on another."""
    way = odd * run + d * gone
    at = way // (2 * run)
    return np.asarray(2 * at + (way > 2 * run * at) - odd, dtype=np.int32)


def lux(lumens: npt.ArrayLike, sources: Ints, points: Ints) -> npt.NDArray[np.float64]:
    """Unhindered illuminance of level points by lamps that shine alike to all sides.

    E = I cos(theta) / d^2 with I = lumens / 4 pi (inverse square and cosine laws, CIE S 017).
    sources, points: [..., 3].  0 where the lamp is not above the point.
    """
    way = (np.asarray(sources, dtype=np.int64) - points) / EIGHTHS
    square = (way * way).sum(axis=-1)
    candela = np.asarray(lumens) / (4 * math.pi)
    apart = np.maximum(square, 1 / EIGHTHS**2)
    return np.asarray(candela * np.maximum(way[..., 2], 0) / (apart * np.sqrt(apart)))


def millilux(lumens: npt.ArrayLike, sources: Ints, points: Ints) -> Ints:
    """The same in whole thousandths of a lux: nothing hangs on how a fraction is rounded."""
    return np.rint(1000 * lux(lumens, sources, points)).astype(np.int32)


def lit(opaque: Bool, lumens: Ints, sources: Ints, points: Ints, least: Ints | int = 0) -> Ints:
    """Millilux of each ray's point by its lamp, 0 where it is not seen; rays [R, 3] to [R, 3].

    opaque: bool [A, B, C], sub-cells.  points: on the level surfaces that are lit.
    least: amounts up to which are left out, unfollowed.
    """
    amount = millilux(lumens, sources, points)
    amount[amount <= least] = 0
    worth = np.flatnonzero(amount)
    if worth.size:
        lifted = points[worth] + np.array((0, 0, LIFT), dtype=np.int32)
        amount[worth] *= _seen_within(opaque, sources[worth], lifted)
    return amount


def _seen_within(opaque: Bool, starts: Ints, ends: Ints) -> Bool:
    """The same as ``seen``, with nodes made only for the box that the rays lie in."""
    low = np.maximum(np.minimum(starts.min(axis=0), ends.min(axis=0)) // 2 - 1, 0)
    high = np.maximum(starts.max(axis=0), ends.max(axis=0)) // 2 + 2
    box = tuple(slice(int(a), int(b)) for a, b in zip(low, high, strict=True))
    shift = (2 * low).astype(np.int32)
    return seen(nodes(opaque[box]), starts - shift, ends - shift)


def illuminance(opaque: Bool, lumens: Ints, sources: Ints, points: Ints) -> Ints:
    """Millilux of each point by all lamps together: int [P].

    lumens: [S].  sources: [S, 3].  points: [P, 3].
    """
    s, p = len(sources), len(points)
    ends = np.tile(points, (s, 1)).reshape(-1, 3)
    rays = lit(opaque, lumens.repeat(p), sources.repeat(p, axis=0), ends)
    return np.asarray(rays.reshape(s, p).sum(axis=0, dtype=np.int32))
