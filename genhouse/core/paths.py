"""Paths: the cells that rays touch.

They hang on nothing but where in its cell a ray begins and which way it goes.  Houses are full of lamps of
one kind over floors of one height, so that few rays go a way of their own: the cells are worked out once
for all alike, in any house, and kept.
"""

from __future__ import annotations

from functools import lru_cache
from itertools import product
from threading import Lock
from typing import NamedTuple

import numpy as np

from genhouse.core.kept import fixed
from genhouse.core.solids import EIGHTHS, Bool, Ints, Whole, meets

ROW_BITS = 2
ROW = 1 << ROW_BITS
"""Cells in a row of a path."""
MOST = 1 << 18
"""Ways that are kept."""
FAR = 15
"""Bits for a cell along each axis: none lies more than 16,384 from where its ray begins."""
FIRST = 1 << 12
"""Rows of paths for which there is room at first."""
WIDE = 18
"""Bits for a way along each axis: places lie within 16,384 cells of each other."""


class Ways(NamedTuple):
    """The cells that rays of some ways touch.

    first, number: of each way, its rows [K].  rows: steps in a flat grid from the cell that a ray begins
    in, those left over 0: [N, ROW].
    """

    first: Whole
    number: Whole
    rows: Whole


class Known(NamedTuple):
    """Ways by their keys, which rise [K]."""

    keys: Whole
    ways: Ways


CORNERS = fixed(np.array(list(product((0, 1), repeat=3))))
"""The cells that a piece of a ray may touch, from the lowest: int [8, 3]."""
_NONE = fixed(np.zeros(1, dtype=np.intp))
NOTHING = Known(
    keys=fixed(np.full(1, np.iinfo(np.int64).max)),
    ways=Ways(first=_NONE, number=_NONE, rows=fixed(np.zeros((0, ROW), dtype=np.intp))),
)
"""But for a key above all others."""


class Paths:
    """The cells that rays touch, in grids of so many rows and layers; ways once asked for are kept."""

    def __init__(self, deep: int, tall: int) -> None:
        self.strides = fixed(np.array((deep * tall, tall, 1)))
        self.known = NOTHING
        self._growing = Lock()
        self._rows: Whole = fixed(np.zeros((FIRST, ROW), dtype=np.intp))

    def of(self, key: Whole) -> Ways:
        """Of ways by their keys [R]."""
        known = self.known
        at, new = _found(known, key)
        if new.any():
            with self._growing:
                known = self.known
                if len(known.keys) > MOST:
                    known = NOTHING
                _, new = _found(known, key)
                if new.any():
                    known = self.known = self._more(known, np.unique(key[new]))
            at, _ = _found(known, key)
        first, number, rows = known.ways
        return Ways(first=first.take(at), number=number.take(at), rows=rows)

    def _more(self, known: Known, new: Whole) -> Known:
        """What is known, and the ways of some more keys, which rise."""
        ray, cells = touched(*_unkeyed(new))
        length = np.bincount(ray)
        number = -(-length // ROW)
        first = number.cumsum() - number
        rows = np.zeros((int(number.sum()), ROW), dtype=np.intp)
        nth = np.arange(len(ray)) - (length.cumsum() - length).take(ray)
        rows.reshape(-1)[ROW * first.take(ray) + nth] = self.strides @ cells
        old, at = known.ways, known.keys.searchsorted(new)
        ways = Ways(
            first=fixed(np.insert(old.first, at, first + len(old.rows))),
            number=fixed(np.insert(old.number, at, number)),
            rows=self._with_rows(len(old.rows), rows),
        )
        return Known(keys=fixed(np.insert(known.keys, at, new)), ways=ways)

    def _with_rows(self, old: int, new: Whole) -> Whole:
        """So many rows that are kept, and some after them: none that is read ever changes."""
        size = old + len(new)
        if not old or size > len(self._rows):
            more = np.zeros((max(FIRST, 2 * size), ROW), dtype=np.intp)
            more[:old] = self._rows[:old]
            self._rows = more
        self._rows.setflags(write=True)
        self._rows[old:size] = new
        return fixed(fixed(self._rows)[:size])


def _found(known: Known, key: Whole) -> tuple[Whole, Bool]:
    """Where keys stand among those known, and which are not there."""
    at = known.keys.searchsorted(key)
    return at, known.keys.take(at) != key


def keys(starts: Ints, ends: Ints) -> tuple[Whole, Whole]:
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
def paths(deep: int, tall: int) -> Paths:
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
        corner, piece, ray = np.nonzero((CORNERS[..., None, None] <= over).all(axis=1))
        rays.append(some[ray])
        cells.append(low[:, piece, ray] + CORNERS[corner].T)
    places = np.concatenate(rays).astype(np.int64)
    for axis in (2, 1, 0):
        places <<= FAR
        places += np.concatenate([some[axis] for some in cells]) + (1 << FAR - 1)
    places = np.unique(places)
    cell = (places >> FAR * np.arange(3)[:, None] & (1 << FAR) - 1) - (1 << FAR - 1)
    ray = places >> 3 * FAR
    begin, end = start[:, ray], (start + way)[:, ray]
    touches = meets(begin, end, EIGHTHS * cell, EIGHTHS * (cell + 1))
    return ray[touches], cell[:, touches]
