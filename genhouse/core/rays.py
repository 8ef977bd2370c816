"""Rays among cells: whether one gets past all that stands in its way.

Places are whole numbers, eighths of a cell.  What stands in the way is a set of closed boxes; a ray that
as much as touches the face, edge or corner of one is stopped, so that a mirrored grid gives the mirrored
answer.  Nothing is rounded.

Which cells a ray touches hangs on nothing but where in its cell it begins and which way it goes.  Houses
are full of lamps of one kind over floors of one height, so that few rays go a way of their own: the cells
are worked out once for all alike, and kept.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import product
from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

Bool = npt.NDArray[np.bool_]
Ints = npt.NDArray[np.int32]
Forms = npt.NDArray[np.uint8]
Whole = npt.NDArray[np.signedinteger[Any]]

EIGHTHS = 8
SUB = 4
SPANS = np.array([(i, j) for j in range(1, SUB + 1) for i in range(j)], dtype=np.int32)
"""From which to which sub-cell a run may go along an edge of a cell."""
LEAST = (64, 32)
"""Rows and layers of a grid, at least: nearly all houses share these, and so their rays."""
AT_ONCE = 8192
"""Rays that are followed together."""
ROW_BITS = 2
ROW = 1 << ROW_BITS
"""Cells in a row of a path."""
MOST = 1 << 18
"""Ways that are kept."""
WIDE = 18
"""Bits for a way along each axis."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Solids:
    """What each form fills, as boxes.

    first: int [F + 1], where each form's boxes begin among all.  low, high: int [3, N], the corners of
    each, in eighths of a cell.  hull: the corners of the least box round each form, [2, 3, F].
    whole: forms that fill their cell, bool [F].
    """

    first: Ints
    low: Ints
    high: Ints
    hull: Ints
    whole: Bool

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
    shapes = np.frombuffer(raw, dtype=bool).reshape(-1, SUB, SUB, SUB)
    filled = shapes
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
    return Solids(
        first=first, low=low, high=high, hull=hull, whole=np.asarray(shapes.all(axis=(1, 2, 3)))
    )


def _runs(filled: Bool, axis: int) -> Bool:
    """Which runs there are along an axis of four, no longer one holding them: that axis by SPANS."""
    a = np.moveaxis(filled, axis, -1)
    edge = np.zeros((*a.shape[:-1], 1), dtype=bool)
    a = np.concatenate((edge, a, edge), axis=-1)
    found = [a[..., i + 1 : j + 1].all(axis=-1) & ~a[..., i] & ~a[..., j + 1] for i, j in SPANS]
    return np.moveaxis(np.stack(found, axis=-1), -1, axis)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Dark:
    """What stops light on a grid of cells.

    form: uint8, 0 where a piece is clear: a border of one empty cell at the near ends, one or more at the
    far ones.  size: of the grid itself.
    """

    form: Forms
    size: tuple[int, int, int]
    solids: Solids

    @classmethod
    def of(cls, form: Forms, solids: Solids) -> Dark:
        """Of the grid [X, Y, Z] itself."""
        x, y, z = form.shape
        deep, tall = (
            max(least, 1 << (n + 1).bit_length()) for least, n in zip(LEAST, (y, z), strict=True)
        )
        wide = np.zeros((x + 2, deep, tall), dtype=np.uint8)
        wide[1 : x + 1, 1 : y + 1, 1 : z + 1] = form
        return cls(form=wide, size=(x, y, z), solids=solids)

    @property
    def grid(self) -> Forms:
        """The forms of the grid itself, [X, Y, Z]."""
        x, y, z = self.size
        return self.form[1 : x + 1, 1 : y + 1, 1 : z + 1]


class Known(NamedTuple):
    """Ways and the cells that they touch.

    keys: one for each way, rising [K].  first, number: its rows [K].  rows: steps in a flat grid from the
    cell that it begins in, those left over 0: [N, ROW].
    """

    keys: Whole
    first: Whole
    number: Whole
    rows: Whole


NOTHING = Known(
    keys=np.full(1, np.iinfo(np.int64).max),
    first=np.zeros(1, dtype=np.intp),
    number=np.zeros(1, dtype=np.intp),
    rows=np.zeros((0, ROW), dtype=np.intp),
)
"""But for a key above all others."""


class Paths:
    """The cells that rays touch, in grids of so many rows and layers; ways once asked for are kept."""

    def __init__(self, deep: int, tall: int) -> None:
        self.strides = np.array((deep * tall, tall, 1))
        self.known = NOTHING

    def of(self, key: Whole) -> Known:
        """Of ways by their keys [R]."""
        known = self.known
        at = known.keys.searchsorted(key)
        new = known.keys.take(at) != key
        if new.any():
            if len(known.keys) > MOST:
                known, new = NOTHING, np.ones_like(new)
            known = self.known = self._more(known, np.unique(key[new]))
            at = known.keys.searchsorted(key)
        return Known(key, known.first.take(at), known.number.take(at), known.rows)

    def _more(self, known: Known, keys: Whole) -> Known:
        """What is known, and some more ways."""
        ray, cells = touched(*_unkeyed(keys))
        length = np.bincount(ray)
        number = -(-length // ROW)
        first = number.cumsum() - number
        rows = np.zeros((int(number.sum()), ROW), dtype=np.intp)
        nth = np.arange(len(ray)) - (length.cumsum() - length).take(ray)
        rows.reshape(-1)[ROW * first.take(ray) + nth] = self.strides @ cells
        keys = np.concatenate((known.keys, keys))
        order = np.argsort(keys)
        return Known(
            keys=keys.take(order),
            first=np.concatenate((known.first, first + len(known.rows))).take(order),
            number=np.concatenate((known.number, number)).take(order),
            rows=np.concatenate((known.rows, rows)),
        )


def _keys(starts: Ints, ends: Ints) -> tuple[Whole, Whole]:
    """Numbers for starts and ends: that of an end less that of a start is the key of the way between.

    It rises from cell to cell along x.
    """
    places = 1 << WIDE * np.arange(3, dtype=np.int64)
    within = (starts & EIGHTHS - 1) @ (EIGHTHS ** np.arange(3, dtype=np.int64))
    return starts @ places - (within << 3 * WIDE), ends @ places


def _unkeyed(key: Whole) -> tuple[Ints, Ints]:
    """Where in their cells ways begin, and where they lead from there, [3, K]."""
    way = np.zeros((3, len(key)), dtype=np.int32)
    for axis in range(3):
        way[axis] = (key + (1 << WIDE - 1) & (1 << WIDE) - 1) - (1 << WIDE - 1)
        key = key - way[axis] >> WIDE
    start = key // EIGHTHS ** np.arange(3)[:, None] % EIGHTHS
    return start.astype(np.int32), way


@lru_cache(maxsize=8)
def _paths(deep: int, tall: int) -> Paths:
    return Paths(deep, tall)


def touched(start: Ints, way: Ints) -> tuple[Whole, Whole]:
    """All cells that rays touch: the number of its ray [N], rising, and where it is [3, N].

    start, way: in eighths, from the corner of cell (0, 0, 0), [3, R].
    A ray is so often halved that no piece spans a whole cell along any axis: it touches two at most.
    """
    often = np.array(
        [((int(n) - 1) // (EIGHTHS - 1)).bit_length() for n in np.abs(way).max(axis=0)]
    )
    rays, cells = [], []
    for halvings in np.unique(often).tolist():
        some = np.flatnonzero(often == halvings)
        step = way[:, None, some].astype(np.int64)
        at = (start[:, None, some] << halvings) + step * np.arange(1 << halvings)[:, None]
        low = np.minimum(at, at + step) - 1 >> halvings + 3
        over = (np.maximum(at, at + step) >> halvings + 3) - low
        for corner in product((0, 1), repeat=3):
            near = np.array(corner)[:, None, None]
            piece, ray = np.nonzero((near <= over).all(axis=0))
            rays.append(some[ray])
            cells.append(low[:, piece, ray] + near[:, 0])
    ray, cell = np.concatenate(rays), np.concatenate(cells, axis=1)
    order = np.lexsort((*cell, ray))
    ray, cell = ray[order], cell[:, order]
    new = np.ones(len(ray), dtype=bool)
    new[1:] = (ray[1:] != ray[:-1]) | (cell[:, 1:] != cell[:, :-1]).any(axis=0)
    ray, cell = ray[new], cell[:, new]
    begin, end = start[:, ray], (start + way)[:, ray]
    touches = _meets(begin, end, EIGHTHS * cell, EIGHTHS * (cell + 1))
    return ray[touches], cell[:, touches]


def seen(dark: Dark, starts: Ints, ends: Ints, rays: tuple[Whole, Whole]) -> Bool:
    """Whether each of some rays meets nothing that stops light: bool [R].

    starts [S, 3], ends [P, 3]: in eighths, within the grid.  rays: from which to which, [R] each.
    Exact.  What fills a whole cell stops all that touch it; of the rest the boxes are asked.
    """
    start, end = rays
    paths, form = _paths(*dark.form.shape[1:]), dark.form.reshape(-1)
    before, after = _keys(starts, ends)
    cells = ((starts >> 3) + 1) @ paths.strides
    free = np.ones(len(start), dtype=bool)
    if not len(start):
        return free
    doubts: list[tuple[Whole, Whole]] = []
    for n in range(0, len(start), AT_ONCE):
        some = start[n : n + AT_ONCE]
        way = paths.of(after.take(end[n : n + AT_ONCE]) - before.take(some))
        ray: Whole = np.arange(len(some)).repeat(way.number)
        row: Whole = (way.first - way.number.cumsum() + way.number).take(ray)
        row += np.arange(len(ray))
        cell = way.rows.take(row, axis=0)
        cell += cells.take(some.take(ray))[:, None]
        cell = cell.reshape(-1)
        hit = np.flatnonzero(form.take(cell) != 0)
        ray, cell = ray.take(hit >> ROW_BITS), cell.take(hit)
        whole = dark.solids.whole.take(form.take(cell))
        open_yet = free[n : n + AT_ONCE]
        open_yet[ray[whole]] = False
        doubt = np.flatnonzero(open_yet.take(ray) & ~whole)
        doubts.append((ray.take(doubt) + n, cell.take(doubt)))
    ray, cell = (np.concatenate(some) for some in zip(*doubts, strict=True))
    here = np.ascontiguousarray(starts.take(start.take(ray), axis=0).T)
    there = np.ascontiguousarray(ends.take(end.take(ray), axis=0).T)
    free[ray[_stopped(dark, here, there, cell)]] = False
    return free


def _stopped(dark: Dark, start: Ints, end: Ints, cell: Whole) -> Whole:
    """Which rays [3, R] are stopped by a cell each [R]: numbers, some more than once.

    The boxes of a cell are asked one by one only where the ray touches the least box round them all.
    """
    solids, form = dark.solids, dark.form.reshape(-1).take(cell)
    corner = np.array(np.unravel_index(cell, dark.form.shape), dtype=np.int32)
    corner -= 1
    corner *= EIGHTHS
    low, high = solids.hull.take(form, axis=2) + corner
    near = np.flatnonzero(_meets(start, end, low, high))
    box, boxes = solids.boxes(form[near].astype(np.intp))
    ray = near.repeat(boxes)
    start, end, corner = (a.take(ray, axis=1) for a in (start, end, corner))
    low, high = solids.low.take(box, axis=1) + corner, solids.high.take(box, axis=1) + corner
    return ray[_meets(start, end, low, high)]


def _meets(start: Whole, end: Whole, low: Whole, high: Whole) -> Bool:
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
