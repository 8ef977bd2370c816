"""Light among cells: what a point sees, and how brightly it is lit.

Places are whole numbers, eighths of a cell: sub-cell i fills [2i, 2i + 2] and its middle is 2i + 1.
Nothing is rounded but the amounts themselves.  A cell counts as a metre.  Only light that arrives
straight is counted: nothing is thrown back by walls, which in a pale room gives more again.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import numpy.typing as npt

from genhouse.core.kept import fixed
from genhouse.core.rays import seen
from genhouse.core.solids import EIGHTHS, SUB, Bool, Dark, Forms, Ints, Whole

LIFTED = fixed(np.array((0, 0, 1), dtype=np.int32))
"""Where rays end above a surface, in eighths, so that the surface itself does not stop them."""


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
    return fixed(np.asarray(bits.sum(axis=2, dtype=np.int32)))


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
    return fixed(high)


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


def lux(lumens: npt.ArrayLike, sources: Ints, points: Ints) -> npt.NDArray[np.float64]:
    """Unhindered illuminance of level points by lamps that shine alike to all sides.

    E = I cos(theta) / d^2 with I = lumens / 4 pi (inverse square and cosine laws, CIE S 017).
    sources, points: [..., 3].  0 where the lamp is not above the point.
    """
    rise, fall = geometry(sources, points)
    return shed(lumens, rise, fall)


Floats = npt.NDArray[np.float64]


def geometry(sources: Ints, points: Ints) -> tuple[Floats, Floats]:
    """How far each lamp is above each point, and the cube of how far away, in cells."""
    x, y, z = (sources[..., n] - points[..., n] for n in range(3))
    apart = np.maximum(x * x + y * y + z * z, 1) / EIGHTHS**2
    return np.maximum(z, 0) / EIGHTHS, apart * np.sqrt(apart)


def shed(lumens: npt.ArrayLike, rise: Floats, fall: Floats) -> Floats:
    """The illuminance by lamps of which this is known, as ``lux`` says."""
    return np.asarray(np.asarray(lumens) / (4 * math.pi) * rise / fall)


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
    amount = arriving(dark, lamps[1], points[0], (rays.lamp, rays.point), rays.amount)
    return Lit(lamp=rays.lamp, point=rays.point, amount=amount)


def arriving(
    dark: Dark, lamps: Ints, points: Ints, rays: tuple[Whole, Whole], amount: Ints
) -> Ints:
    """What of some amounts [R] is not kept back on its way from lamps [S, 3] to points [P, 3].

    rays: from which to which, [R] each.
    """
    lamp, point = rays
    worth, found = np.flatnonzero(amount), amount.copy()
    found[worth] *= seen(dark, lamps, points + LIFTED, (lamp[worth], point[worth]))
    return found
