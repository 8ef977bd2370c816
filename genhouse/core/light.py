"""Light among cells: what a point sees, and how brightly it is lit.

Places are whole numbers, eighths of a cell: sub-cell i fills [2i, 2i + 2] and its middle is 2i + 1.
What stands in the way is a set of closed boxes; a ray that as much as touches the face, edge or corner
of one is stopped, so that a mirrored grid gives the mirrored answer.  Nothing is rounded but the
amounts themselves.  A cell counts as a metre.  Only light that arrives straight is counted: nothing is
thrown back by walls, which in a pale room gives more again.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
import numpy.typing as npt

Bool = npt.NDArray[np.bool_]
Ints = npt.NDArray[np.int32]
Forms = npt.NDArray[np.uint8]
Whole = npt.NDArray[np.signedinteger[Any]]

EIGHTHS = 8
SUB = 4
LIFT = 1
"""Eighths above a surface at which rays end, so that the surface itself does not stop them."""
FEWEST = 3
"""How often at least a ray is halved."""
CORNERS = [(i, j, k) for i in (0, 1) for j in (0, 1) for k in (0, 1)]
"""Two by two by two cells, each a bit of a byte."""
SPANS = np.array([(i, j) for j in range(1, SUB + 1) for i in range(j)], dtype=np.int32)
"""From which to which sub-cell a run may go along an edge of a cell."""


def subcells(form: Forms, shapes: Bool) -> Bool:
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


def quarters(shapes: Bool) -> Ints:
    """What each form fills of its sixteen columns, a bit a quarter of the height: [F, 16]."""
    return _quarters(np.ascontiguousarray(shapes).tobytes())


@lru_cache(maxsize=4)
def _quarters(raw: bytes) -> Ints:
    filled = np.frombuffer(raw, dtype=bool).reshape(-1, SUB * SUB, SUB)
    bits = filled << np.arange(SUB, dtype=np.int32)
    return np.asarray(bits.sum(axis=2, dtype=np.int32))


def standing(column: Ints, tall: int = 7) -> Ints:
    """How high one stands in each column, in quarters above the floor of its cell; -1 where nobody can.

    column: what is filled of it, a bit a quarter, from the one under that floor up: [N].
    tall: quarters that a body needs.
    """
    return np.asarray(_stances(tall)[column & (1 << SUB + tall) - 1])


@lru_cache(maxsize=4)
def _stances(tall: int) -> Ints:
    """How high one stands, by what is filled from the quarter under the floor up."""
    column = np.arange(1 << SUB + tall)
    high = np.full(len(column), -1, dtype=np.int32)
    for q in range(SUB - 1, -1, -1):
        high[column >> q & (2 << tall) - 1 == 1] = q
    return high


def feet(form: Forms, shapes: Bool, cells: Ints) -> tuple[Ints, Bool]:
    """Where one stands over some cells [N, 3] of a grid, in eighths, [P, 3]; which cells these are, [N]."""
    _, deep, tall = form.shape
    x, y, z = cells.T
    reach = np.arange(-1, 4, dtype=np.int32)
    near = np.minimum(np.maximum(z[:, None] + reach, 0), tall - 1)
    near += ((x * deep + y) * tall)[:, None]
    layers = np.bitwise_or.reduce(quarters(shapes), axis=1)
    filled = layers.take(form.reshape(-1).take(near)) << SUB * (reach + 1)
    high = standing(filled.sum(axis=1, dtype=np.int32) >> SUB - 1)
    points = EIGHTHS * cells + EIGHTHS // 2
    points[:, 2] = EIGHTHS * z + 2 * high
    stands = high >= 0
    return points[stands], stands


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Solids:
    """What each form fills, as boxes.

    first: int [F + 1], where each form's boxes begin among all.  low, high: int [3, N], the corners of
    each, in eighths of a cell.  hull: the corners of the least box round each form, [2, 3, F].
    """

    first: Ints
    low: Ints
    high: Ints
    hull: Ints

    @classmethod
    def of(cls, shapes: Bool) -> Solids:
        """Of a table of sub-cells, bool [F, 4, 4, 4]."""
        return _solids(np.ascontiguousarray(shapes).tobytes())

    def boxes(self, form: npt.NDArray[np.integer[Any]]) -> tuple[Whole, Ints]:
        """The numbers [B] of the boxes of some forms [N]; and how many each of these has, [N]."""
        number = self.first[form + 1] - self.first[form]
        skip = self.first[form] - (number.cumsum() - number)
        return np.arange(int(number.sum())) + skip.repeat(number), number


@lru_cache(maxsize=4)
def _solids(raw: bytes) -> Solids:
    """Sub-cells joined to runs along z, equal runs along y, equal sheets along x."""
    filled = np.frombuffer(raw, dtype=bool).reshape(-1, SUB, SUB, SUB)
    for axis in (3, 2, 1):
        filled = _runs(filled, axis)
    form, *spans = np.nonzero(filled)
    first = np.searchsorted(form, np.arange(len(filled) + 1)).astype(np.int32)
    low, high = (EIGHTHS // SUB * np.stack([SPANS[n, end] for n in spans]) for end in (0, 1))
    hull = np.zeros((2, 3, len(filled)), dtype=np.int32)
    hull[0] = EIGHTHS
    for axis in range(3):
        np.minimum.at(hull[0, axis], form, low[axis])
        np.maximum.at(hull[1, axis], form, high[axis])
    return Solids(first=first, low=low, high=high, hull=hull)


def _runs(filled: Bool, axis: int) -> Bool:
    """Which runs there are along an axis of four, no longer one holding them: that axis by SPANS."""
    a = np.moveaxis(filled, axis, -1)
    edge = np.zeros((*a.shape[:-1], 1), dtype=bool)
    a = np.concatenate((edge, a, edge), axis=-1)
    found = [a[..., i + 1 : j + 1].all(axis=-1) & ~a[..., i] & ~a[..., j + 1] for i, j in SPANS]
    return np.moveaxis(np.stack(found, axis=-1), -1, axis)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Dark:
    """What stops light on a grid of cells, with a border of one empty cell all round.

    form: uint8 [X + 2, Y + 2, Z + 2], 0 where a piece is clear.  near: the same shape, in which of
    CORNERS, a cell and the next along each axis, anything is: a bit each.
    """

    form: Forms
    near: Forms
    solids: Solids

    @classmethod
    def of(cls, form: Forms, solids: Solids) -> Dark:
        """Of the grid [X, Y, Z] itself."""
        x, y, z = form.shape
        wide = np.zeros((x + 2, y + 2, z + 2), dtype=np.uint8)
        wide[1:-1, 1:-1, 1:-1] = form
        near = (wide > 0).view(np.uint8)
        near[:, :, :-1] |= near[:, :, 1:] << 1
        near[:, :-1] |= near[:, 1:] << 2
        near[:-1] |= near[1:] << 4
        return cls(form=wide, near=near, solids=solids)


AT_ONCE = 4096
"""Rays that are followed together: what is known of them stays in the processor's own memory."""


def seen(dark: Dark, starts: Ints, ends: Ints) -> Bool:
    """Whether each ray [R, 3] to [R, 3], within the grid, meets nothing that stops light: bool [R].

    Exact.  First the filled cells that a ray may touch are found, then their boxes are asked.
    """
    free = np.ones(len(starts), dtype=bool)
    for first in range(0, len(starts), AT_ONCE):
        here = slice(first, first + AT_ONCE)
        start, end = (np.ascontiguousarray(rays[here].T + EIGHTHS) for rays in (starts, ends))
        ray, cell = _passed(dark, start, end)
        free[here][_stopped(dark, start, end, ray, cell)] = False
    return free


def _stopped(dark: Dark, start: Ints, end: Ints, ray: Whole, cell: Whole) -> Whole:
    """Which rays are stopped by the cells that they may touch: numbers, some more than once.

    The boxes of a cell are asked one by one only where the ray touches the least box round them all.
    """
    solids = dark.solids
    corner = EIGHTHS * np.array(np.unravel_index(cell, dark.form.shape), dtype=np.int32)
    form = dark.form.reshape(-1)[cell]
    low, high = solids.hull.take(form, axis=2) + corner
    near = np.flatnonzero(_meets(start.take(ray, axis=1), end.take(ray, axis=1), low, high))
    ray = ray[near]
    box, boxes = solids.boxes(form[near])
    ray, corner = ray.repeat(boxes), corner.take(near.repeat(boxes), axis=1)
    low, high = solids.low.take(box, axis=1) + corner, solids.high.take(box, axis=1) + corner
    return ray[_meets(start.take(ray, axis=1), end.take(ray, axis=1), low, high)]


def _passed(dark: Dark, start: Ints, end: Ints) -> tuple[Whole, Whole]:
    """Rays [3, R], by number, and the filled cells that they may touch, as places in the flat grid.

    Rays are so often halved that no piece spans a whole cell along any axis: it touches two at most.
    Pieces are followed in stretches of as many as the shortest rays have.  Which of CORNERS a piece
    touches that goes over to the next cell along some axes is a product: 17 along x, 5 along y, 3 along z.
    """
    x, y, z = dark.near.shape
    way = end - start
    reach = np.abs(way).max(axis=0)
    most = max(0, ((int(reach.max()) - 1) // (EIGHTHS - 1)).bit_length() - FEWEST)
    often = np.zeros(len(reach), dtype=np.intp)
    for n in range(FEWEST, FEWEST + most):
        often += reach > EIGHTHS - 1 << n
    ray = np.arange(len(often)).repeat(1 << often)
    nth = np.arange(len(ray)) - ((1 << often).cumsum() - (1 << often))[ray]
    halvings, scale = FEWEST + most, 1 << most - often
    short: type[Any] = np.int16 if max(x, y, z) * EIGHTHS << halvings < 1 << 15 else np.int32
    flat_as: type[Any] = np.uint16 if dark.form.size < 1 << 16 else np.int32
    step = (way * scale).astype(short).take(ray, axis=1)
    first = (start << halvings).astype(short).take(ray, axis=1)
    first += step * (nth << FEWEST).astype(short) + np.minimum(step, 0) - short(1)
    at = step[:, None] * np.arange(1 << FEWEST, dtype=short)[:, None]
    at += first[:, None]
    low = at >> short(halvings + 3)
    at += (np.abs(step) + short(1))[:, None]
    at >>= short(halvings + 3)
    over = (at - low).astype(np.uint8)
    over *= np.array((16, 4, 2), dtype=np.uint8)[:, None, None]
    over += np.uint8(1)
    i, j, k = low.astype(flat_as)
    flat = ((i * flat_as(y) + j) * flat_as(z) + k).reshape(-1)
    held = dark.near.reshape(-1).take(flat)
    held &= (over[0] * over[1] * over[2]).reshape(-1)
    piece = np.flatnonzero(held != 0)
    each = np.flatnonzero(np.unpackbits(held[piece], bitorder="little").view(bool))
    nth, corner = each >> 3, each & 7
    offsets = np.array([(i * y + j) * z + k for i, j, k in CORNERS])
    bits = dark.form.size.bit_length()
    ray = ray.take(piece % len(ray))
    found = (ray << bits | flat.take(piece)).take(nth) + offsets.take(corner)
    found.sort()
    new = np.ones(len(found), dtype=bool)
    np.not_equal(found[1:], found[:-1], out=new[1:])
    found = found[new]
    return found >> bits, found & (1 << bits) - 1


def _meets(start: Ints, end: Ints, low: Ints, high: Ints) -> Bool:
    """Whether each ray touches its closed box: corners [3, N].

    If it does not, a plane square to an axis, or along an axis and the ray, lies between them
    (S. Gottschalk, M. Lin and D. Manocha, "OBBTree", SIGGRAPH 1996, from memory).
    """
    way, size = end - start, high - low
    apart, reach = start + end - low - high, np.abs(way)
    meets = (np.abs(apart) <= size + reach).all(axis=0)
    for a, b in ((0, 1), (1, 2), (2, 0)):
        turn = np.abs(apart[a] * way[b] - apart[b] * way[a])
        meets &= turn <= size[a] * reach[b] + size[b] * reach[a]
    return np.asarray(meets)


def lux(lumens: npt.ArrayLike, sources: Ints, points: Ints) -> npt.NDArray[np.float64]:
    """Unhindered illuminance of level points by lamps that shine alike to all sides.

    E = I cos(theta) / d^2 with I = lumens / 4 pi (inverse square and cosine laws, CIE S 017).
    sources, points: [..., 3].  0 where the lamp is not above the point.
    """
    x, y, z = np.ascontiguousarray(np.moveaxis(np.subtract(sources, points), -1, 0))
    candela = np.asarray(lumens) / (4 * math.pi)
    apart = np.maximum(x * x + y * y + z * z, 1) / EIGHTHS**2
    return np.asarray(candela * (np.maximum(z, 0) / EIGHTHS) / (apart * np.sqrt(apart)))


def millilux(lumens: npt.ArrayLike, sources: Ints, points: Ints) -> Ints:
    """The same in whole thousandths of a lux: nothing hangs on how a fraction is rounded."""
    return np.rint(1000 * lux(lumens, sources, points)).astype(np.int32)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Lit:
    """What lamps bring to points: ``amount`` millilux of lamp number ``lamp`` at ``point``, each [R]."""

    lamp: Whole
    point: Whole
    amount: Ints

    def sums(self, points: int) -> Ints:
        """Millilux of so many points by all lamps together."""
        return np.bincount(self.point, weights=self.amount, minlength=points).astype(np.int32)


def unhindered(lamps: tuple[Ints, Ints, Whole], points: tuple[Ints, Whole], least: int = 0) -> Lit:
    """What each lamp would bring to the points of its own place if nothing stood in its way.

    lamps: lumens [S], where [S, 3], number of its place [S].  points: where [P, 3], on the level
    surfaces that are lit; number of its place [P].  least: millilux up to which a lamp counts as none.
    The answer runs lamp by lamp.
    """
    lumens, sources, homes = lamps
    at, places = points
    lamp, point = np.nonzero(homes[:, None] == places)
    amount = millilux(lumens[lamp], sources[lamp], at[point])
    amount[amount <= least] = 0
    return Lit(lamp=lamp, point=point, amount=amount)


def lit(
    dark: Dark, lamps: tuple[Ints, Ints, Whole], points: tuple[Ints, Whole], least: int = 0
) -> Lit:
    """The same among what stops light."""
    rays = unhindered(lamps, points, least)
    worth = np.flatnonzero(rays.amount)
    ends = points[0][rays.point[worth]] + (0, 0, LIFT)
    rays.amount[worth] *= seen(dark, lamps[1][rays.lamp[worth]], ends)
    return rays
