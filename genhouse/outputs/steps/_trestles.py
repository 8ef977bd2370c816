"""Trestles: from where one sets what is out of reach of all that one can stand on.

A trestle stands on what one walks on, in free air, and is climbed: one works from any of its rungs, and
steps off it on to whatever lies beside.  So that there are few, those of the step before stay where they
still help; then come those that open the way to large surfaces, the heads of walls or the slopes of a
roof; then, one after another, whichever has most of what is left about it.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from genhouse.outputs.steps._columns import (
    DISC,
    INNER,
    MARGIN,
    ONE,
    Columns,
    around,
    clear,
    count,
    near,
    reached,
    reached_from,
    room_to_stand,
    shifted,
    talls,
    walked,
)

LEAST = 12
"""Places of a surface to which a way is opened."""
WORTH = 6
"""Pieces that such a way has to bring within reach."""


class Trestle(Struct, frozen=True, gc=False):
    """Where one stands: x, y of the plot.  foot: z of its lowest cell.  top: z in which one's feet are
    on its highest rung."""

    x: int
    y: int
    foot: int
    top: int


class Work:
    """What is out of reach in one step, and where a trestle may stand.

    early, late: what stands before and after it.  before, after: where one gets to then.  missed: what
    is left to be reached.  high: layers of the house.
    """

    def __init__(
        self,
        early: Columns,
        late: Columns,
        before: Columns,
        after: Columns,
        missed: Columns,
        high: int,
    ) -> None:
        self.missed = missed
        self._early = room_to_stand(early) & ~before
        self._late = room_to_stand(late) & ~after
        self._air = clear(late) & ((ONE << np.uint64(high + 1)) - ONE)
        self._base = np.zeros_like(after)
        self._base[INNER] = (after & self._air)[INNER]
        self._high = high

    def trestles(self, old: Sequence[Trestle]) -> Iterator[Trestle]:
        """Those that are set up, until none helps; what they bring within reach is no longer missed."""
        for one in old:
            at = one.x + MARGIN, one.y + MARGIN
            if self.missed.any() and (rungs := self._rungs())[at]:
                yield from self._used(self._tallest(rungs, at), WORTH)
        for surface in self._surfaces():
            if not self.missed.any():
                return
            rungs = self._rungs()
            beside = rungs & near(surface)
            if (surface & (self._early | self._late)).any() and beside.any():
                hits = self._hits(np.where(beside > 0, rungs, np.uint64(0)))
                hits[beside == 0] = -1
                yield from self._used(self._tallest(rungs, _most(hits)), WORTH)
        while self.missed.any():
            rungs = self._rungs()
            hits = self._hits(rungs)
            if not hits.any():
                return
            yield from self._used(self._tallest(rungs, _most(hits)), 1)

    def _rungs(self) -> Columns:
        """Layers in which one's feet may be on a trestle somewhere."""
        rungs, base = np.zeros_like(self._base), self._base
        for _ in range(self._high):
            rungs = (rungs | base) << ONE & self._air
        return np.asarray(rungs & ~base)

    def _tallest(self, rungs: Columns, at: tuple[int, int]) -> Trestle:
        """The one that brings most within reach, of those that a column has room for."""
        x, y = at
        found, left = [], int(rungs[at])
        while left:
            foot = (left & -left).bit_length() - 2
            top = foot + 1
            while left >> top + 1 & 1:
                top += 1
            left &= -1 << top + 1
            found.append(Trestle(x - MARGIN, y - MARGIN, foot, top))
        return max(found, key=lambda one: count(self._gain(one)[0])) if found[1:] else found[0]

    def _used(self, one: Trestle, worth: int) -> Iterator[Trestle]:
        """It, no higher than helps, where it brings enough within reach."""
        whole, *_ = self._gain(one)
        if count(whole) < worth:
            return
        tops = range(one.foot + 1, one.top + 1)
        low = bisect_left(tops, count(whole), key=lambda top: count(self._gain(_cut(one, top))[0]))
        shown = _cut(one, tops[low])
        whole, early, late = self._gain(shown)
        self.missed = self.missed & ~whole
        self._early &= ~early
        self._late &= ~late
        self._base[INNER] |= (late & self._air)[INNER]
        yield shown

    def _gain(self, one: Trestle) -> tuple[Columns, Columns, Columns]:
        """What it brings within reach, and the places before and after the step to which it leads."""
        rungs = np.zeros_like(self.missed)
        rungs[one.x + MARGIN, one.y + MARGIN] = _rungs_of(one)
        at = (one.x + MARGIN) * rungs.shape[1] + one.y + MARGIN
        found = self.missed & reached_from(at, _rungs_of(one), rungs.shape)
        off = near(rungs)
        early, late = off & self._early, off & self._late
        if early.any() or late.any():
            early = walked(self._early, early)
            late = walked(self._late, np.asarray(late | early & self._late))
            found |= self.missed & (reached(early) | reached(late, below=False))
        return found, early, late

    def _hits(self, rungs: Columns) -> npt.NDArray[np.int64]:
        """How much of what is missed lies about the rungs of each column."""
        hits, about = np.zeros(rungs.shape, dtype=np.int64), around(self.missed)
        missed, tall, found = self.missed[about], talls(rungs[about]), hits[about]
        for dx, dy, rise in DISC:
            to, of = shifted(found.shape, dx, dy)
            found[of] += np.bitwise_count(missed[to] & tall[rise][of])
        return hits

    def _surfaces(self) -> Iterator[Columns]:
        """What one could walk on if there were a way to it, the largest first."""
        for columns in (self._early, self._late):
            found = [surface for surface in _parts(columns) if count(surface) >= LEAST]
            yield from sorted(found, key=count, reverse=True)


def _parts(columns: Columns) -> Iterator[Columns]:
    """Places by what can be walked without leaving them."""
    left = columns.copy()
    while len(at := np.flatnonzero(left)):
        first = np.zeros_like(left)
        first.flat[at[0]] = left.flat[at[0]] & (~left.flat[at[0]] + ONE)  # its lowest
        part = walked(left, first)
        left &= ~part
        yield part


def _most(hits: npt.NDArray[np.int64]) -> tuple[int, int]:
    """The first column that has most."""
    x, y = divmod(int(hits.argmax()), hits.shape[1])
    return x, y


def _cut(one: Trestle, top: int) -> Trestle:
    return Trestle(one.x, one.y, one.foot, top)


def _rungs_of(one: Trestle) -> np.uint64:
    return np.uint64((1 << one.top + 1) - (1 << one.foot))
