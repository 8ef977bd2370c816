"""Where water runs: pits filled, the way down from each place, and how much comes by.

The fill is Priority-Flood (R. Barnes, C. Lehman and D. Mulla, Computers & Geosciences 62 (2014) 117-127);
water goes to the steepest of eight neighbours (J. O'Callaghan and D. Mark, 1984).
"""

from __future__ import annotations

from dataclasses import dataclass
from heapq import heappop, heappush

import numpy as np
import numpy.typing as npt

from genhouse.village.grids import FAR, STEPS, Field, Mask, moved

Places = npt.NDArray[np.int64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Flow:
    """filled: the ground with its pits filled, so that each place has a way out.

    to: flat number of the place that water goes to next, of an outlet its own, ``[N]``.  order: all places,
    each after the one it drains to.  comes: how many places drain through each, its own included.
    """

    filled: Field
    to: Places
    order: Places
    comes: Field

    def course(self, start: int) -> list[int]:
        """Flat numbers of the places that water from one comes by, to the outlet."""
        way = [start]
        while (after := int(self.to[way[-1]])) != way[-1]:
            way.append(after)
        return way


def flow(ground: Field, outlets: Mask) -> Flow:
    """Drain a ground to its outlets."""
    filled, parent, order = _flooded(ground, outlets)
    to = _steepest(filled, parent)
    return Flow(filled=filled, to=to, order=order, comes=_gathered(filled, to, order))


def _flooded(ground: Field, outlets: Mask) -> tuple[Field, Places, Places]:
    n, m = ground.shape
    width = m + 2
    level = [1 << 60] * ((n + 2) * width)
    for i, row in enumerate(ground.tolist(), 1):
        level[i * width + 1 : i * width + 1 + m] = row
    seen = bytearray([1]) * len(level)
    for i in range(1, n + 1):
        seen[i * width + 1 : i * width + 1 + m] = bytes(m)
    parent = [0] * len(level)
    order: list[int] = []
    heap: list[tuple[int, int]] = []
    for i, j in np.argwhere(outlets).tolist():
        at = (i + 1) * width + j + 1
        seen[at], parent[at] = 1, at
        heappush(heap, (level[at], at))
    steps = [di * width + dj for di, dj in STEPS]
    while heap:
        here, at = heappop(heap)
        order.append(at)
        for step in steps:
            beside = at + step
            if not seen[beside]:
                seen[beside], parent[beside] = 1, at
                if level[beside] < here:
                    level[beside] = here
                heappush(heap, (level[beside], beside))
    inner = np.array(level, dtype=np.int64).reshape(n + 2, width)[1:-1, 1:-1]
    back = np.array(parent, dtype=np.int64).reshape(n + 2, width)[1:-1, 1:-1].reshape(-1)
    return inner, _inner(back, m), _inner(np.array(order, dtype=np.int64), m)


def _inner(places: Places, m: int) -> Places:
    """Numbers without the border of one."""
    return np.asarray((places // (m + 2) - 1) * m + places % (m + 2) - 1)


def _steepest(filled: Field, parent: Places) -> Places:
    """The steepest way down; on a flat the way by which the flood came; of an outlet its own."""
    n, m = filled.shape
    own = np.arange(n * m).reshape(n, m)
    best, to = np.zeros((n, m), dtype=np.int64), parent.reshape(n, m).copy()
    for (di, dj), far in zip(STEPS, FAR, strict=True):
        fall = (filled - moved(filled, di, dj)) * 70 // far
        better = (fall > best) & (to != own)
        best[better] = fall[better]
        to[better] = (own + di * m + dj)[better]
    return to.reshape(-1)


def _gathered(filled: Field, to: Places, order: Places) -> Field:
    """Add up from the highest down: no place drains to one that was flooded after it."""
    comes = [1] * filled.size
    down = to.tolist()
    last_first = order[::-1].tolist()  # of equally high ones, those that were flooded later
    for at in sorted(last_first, key=filled.reshape(-1).tolist().__getitem__, reverse=True):
        if down[at] != at:
            comes[down[at]] += comes[at]
    return np.array(comes, dtype=np.int64).reshape(filled.shape)
