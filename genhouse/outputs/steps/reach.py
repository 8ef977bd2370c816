"""Where a builder stands, and what is within reach from there, step by step.

One stands on a piece or on the ground with two free cells above it, and gets there on foot, a cell up
or down at a time; what one has just laid may be stood on to lay what lies higher.  A piece is within
reach where the middle of its cell lies within an arm's length of one's eyes, in the middle of the upper
of those two cells. Columns are packed into bits, the lowest layer first.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product
from math import isqrt

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from genhouse.model.voxels import Voxels
from genhouse.outputs.steps.steps import Steps

ARM = 5
"""An arm's length in cells (common practice)."""
EYES = 1
"""Layers from the feet to the eyes."""
MARGIN = ARM
"""Cells of ground round the plot on which one may stand."""

Columns = npt.NDArray[np.uint64]
ONE = np.uint64(1)
INNER = np.s_[MARGIN:-MARGIN, MARGIN:-MARGIN]


class Reach(Struct, frozen=True):
    """Of one step: its pieces, and how many of them are out of reach, for which one needs a trestle.

    lowest: z of the lowest layer that is.
    """

    step: int
    pieces: int
    beyond: int
    lowest: int | None


def reaches(voxels: Voxels, steps: Steps) -> tuple[Reach, ...]:
    """What can be reached in each step."""
    return tuple(_reaches(voxels, steps))


def _reaches(voxels: Voxels, steps: Steps) -> Iterator[Reach]:
    passable = voxels.flag("passable")[voxels.material]
    stands = _ground(voxels)
    before = np.full_like(stands, ONE)  # the site is dug out, and one may be anywhere in it
    for step in steps.steps:
        mine = steps.of == step.number
        new = _packed(mine)[INNER]
        stands = stands | _packed(mine & ~passable)
        after = _places(stands, before)
        within = _round(before, below=True) | _round(after, below=False)
        missed = new & ~within
        rows = int(np.bitwise_or.reduce(missed, axis=None))
        lowest = (rows & -rows).bit_length() - 1 if rows else None
        beyond = int(np.bitwise_count(missed).sum())
        yield Reach(step.number, step.pieces, beyond, lowest)
        before = after


def _packed(cells: npt.NDArray[np.bool_]) -> Columns:
    """bool [X, Y, Z] as uint64 [X + 2 m, Y + 2 m], a layer a bit, in a margin."""
    weights = ONE << np.arange(cells.shape[2], dtype=np.uint64)
    packed = np.where(cells, weights, np.uint64(0)).sum(axis=2, dtype=np.uint64)
    return np.asarray(np.pad(packed, MARGIN), dtype=np.uint64)


def _ground(voxels: Voxels) -> Columns:
    """What there is before anything is set: the lane about the plot, as high as where a visitor
    stands.
    """
    width, deep, _ = voxels.size
    high = (ONE << np.uint64(voxels.about.gate[2] // 4)) - ONE
    lane = np.full((width + 2 * MARGIN, deep + 2 * MARGIN), high)
    lane[INNER][(voxels.material > 0).any(axis=2)] = 0  # beyond its outline a plot is bare
    return lane


def _places(stands: Columns, before: Columns) -> Columns:
    """Where one can stand and get to, from the lane or from where one was: the layers of one's feet."""
    free = ~stands & ~(stands >> ONE)
    on = stands << ONE
    on |= ONE  # the bare ground below all
    room = free & on
    found: Columns = room & before
    for edge in (np.s_[0], np.s_[-1], np.s_[:, 0], np.s_[:, -1]):
        found[edge] = room[edge]
    while True:
        wide = _beside(found)
        more: Columns = found | (room & (wide | wide << ONE | wide >> ONE))
        if np.array_equal(more, found):
            return found
        found = more


def _beside(columns: Columns) -> Columns:
    wide = columns.copy()
    wide[1:] |= columns[:-1]
    wide[:-1] |= columns[1:]
    wide[:, 1:] |= columns[:, :-1]
    wide[:, :-1] |= columns[:, 1:]
    return wide


def _round(places: Columns, *, below: bool) -> Columns:
    """The cells within an arm's length of the eyes of somebody at some places; below: of the feet too."""
    eyes = places << np.uint64(EYES)
    width, deep = places.shape
    tall = [_tall(eyes, rise, below) for rise in range(ARM + 1)]
    found = np.zeros_like(places)
    for dx, dy in product(range(-ARM, ARM + 1), repeat=2):
        if (left := ARM * ARM - dx * dx - dy * dy) >= 0:
            to = np.s_[max(0, dx) : width + min(0, dx), max(0, dy) : deep + min(0, dy)]
            of = np.s_[max(0, -dx) : width + min(0, -dx), max(0, -dy) : deep + min(0, -dy)]
            found[to] |= tall[isqrt(left)][of]
    return np.asarray(found[INNER])


def _tall(eyes: Columns, rise: int, below: bool) -> Columns:
    """Each mark, and so many layers up and down from it; down no further than the feet unless below."""
    down = rise if below else min(rise, EYES)
    found = eyes.copy()
    for n in range(1, rise + 1):
        found |= eyes << np.uint64(n)
        if n <= down:
            found |= eyes >> np.uint64(n)
    return found
