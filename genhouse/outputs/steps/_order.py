"""In which order the pieces of each step are set, so that each touches the ground or an earlier one."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from heapq import heapify, heappop, heappush

import numpy as np
import numpy.typing as npt
from msgspec import Struct

Flat = npt.NDArray[np.int64]
Mask = npt.NDArray[np.bool_]


class Run(Struct, frozen=True, gc=False):
    """So many pieces of one kind from a place on (flat in the house) along an axis, 0 to 2."""

    place: int
    count: int
    axis: int


class Site:
    """A house under construction.  Flat places; touch: whether a piece touches the next along each axis.

    kind: equal numbers for equal pieces that may lie in one run; 0 where there is none.  propped:
    pieces that hang on a prop.
    """

    def __init__(self, size: tuple[int, int, int], touch: Sequence[Mask], kind: Flat) -> None:
        self.size = size
        _, deep, high = size
        self.stride = (deep * high, high, 1)
        self.touch = tuple(t.tobytes() for t in touch)
        self.kind: list[int] = kind.tolist()
        self.stands = bytearray(len(self.kind))
        self.propped: set[int] = set()

    def beside(self, at: int) -> Iterator[int]:
        """The pieces that a piece touches, standing or not."""
        for touch, stride in zip(self.touch, self.stride, strict=True):
            if touch[at]:
                yield at + stride
            if touch[at - stride]:  # before the first it is the last, which touches none
                yield at - stride

    def held(self, mine: Flat) -> list[int]:
        """Of some pieces, those that touch the ground, a prop or what stands."""
        high, stands, propped = self.size[2], self.stands, self.propped
        return [
            at
            for at in mine.tolist()
            if not at % high or at in propped or any(stands[n] for n in self.beside(at))
        ]

    def set_all(self, mine: Flat, rank: list[int]) -> Iterator[Run]:
        """Runs of pieces as they are set, until none is left that touches what stands."""
        waiting = set(mine.tolist())
        known = set(self.held(mine))
        heap = [(rank[at], at) for at in known]
        heapify(heap)
        while heap:
            _, at = heappop(heap)
            if at not in waiting:
                continue
            run = self._longest(at, waiting)
            yield run
            stride = self.stride[run.axis]
            for place in range(at, at + run.count * stride, stride):
                waiting.discard(place)
                self.stands[place] = 1
                for n in self.beside(place):
                    if n in waiting and n not in known:
                        known.add(n)
                        heappush(heap, (rank[n], n))

    def _longest(self, at: int, waiting: set[int]) -> Run:
        """From a piece on along x or y, whichever goes further; upward where neither goes anywhere."""
        runs = [Run(at, self._count(at, axis, waiting), axis) for axis in range(3)]
        level = max(runs[:2], key=lambda run: run.count)
        return level if level.count > 1 else max(runs[2], level, key=lambda run: run.count)

    def _count(self, at: int, axis: int, waiting: set[int]) -> int:
        touch, stride, kind = self.touch[axis], self.stride[axis], self.kind
        mine, count = kind[at], 1
        while touch[at] and at + stride in waiting and kind[at + stride] == mine:
            at += stride
            count += 1
        return count
