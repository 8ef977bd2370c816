"""Where water runs: pits filled, the way down from each place, and how much comes by.

Water goes to the steepest of eight neighbours (J. O'Callaghan and D. Mark, 1984), and over a flat to where
it soonest runs off that.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from genhouse.village.fills import COARSE, filled
from genhouse.village.grids import FAR, STEPS, Field, Mask, moved

Places = npt.NDArray[np.int64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Flow:
    """filled: the ground with its pits filled, so that each place has a way out.

    to: flat number of the place that water goes to next, of an outlet its own, ``[N]``.  comes: how many
    places drain through each, its own included.
    """

    filled: Field
    to: Places
    comes: Field

    def course(self, start: int) -> list[int]:
        """Flat numbers of the places that water from one comes by, to the outlet."""
        way = [start]
        while (after := int(self.to[way[-1]])) != way[-1]:
            way.append(after)
        return way


def flow(ground: Field, outlets: Mask) -> Flow:
    """Drain a ground to its outlets."""
    full = _full(ground, outlets)
    to = _steepest(full, outlets)
    return Flow(filled=full, to=to, comes=_gathered(to).reshape(full.shape))


def _full(ground: Field, outlets: Mask) -> Field:
    """Filled, with a wall all round, so that water leaves by the outlets alone."""
    wall = [(1, 1 + -(size + 2) % COARSE) for size in ground.shape]
    walled = np.pad(ground, wall, constant_values=int(ground.max()))
    n, m = ground.shape
    return np.ascontiguousarray(filled(walled, np.pad(outlets, wall))[1 : n + 1, 1 : m + 1])


def _steepest(full: Field, outlets: Mask) -> Places:
    """The steepest way down; on a flat that to the nearest place that has one; of an outlet its own."""
    n, m = full.shape
    own = np.arange(n * m).reshape(n, m)
    best, to = np.zeros((n, m), dtype=np.int64), own.copy()
    for (di, dj), far in zip(STEPS, FAR, strict=True):
        fall = (full - moved(full, di, dj)) * 70 // far
        better = (fall > best) & ~outlets
        best[better] = fall[better]
        to[better] = (own + di * m + dj)[better]
    ready = np.pad((best > 0) | outlets, 1).reshape(-1)
    high, wide = np.pad(full, 1, mode="edge").reshape(-1), m + 2
    left = np.flatnonzero(~np.pad((best > 0) | outlets, 1, constant_values=True))
    after = np.zeros_like(ready, dtype=np.int64)
    while len(left):
        for di, dj in STEPS:
            beside = left + di * wide + dj
            by = ready[beside] & (high[beside] == high[left]) & (after[left] == 0)
            after[left[by]] = beside[by]
        done = after[left] > 0
        i, j = np.divmod(left[done], wide)
        x, y = np.divmod(after[left[done]], wide)
        to[i - 1, j - 1] = own[x - 1, y - 1]
        ready[left[done]] = True
        left = left[~done]
    return to.reshape(-1)


def _gathered(to: Places) -> Field:
    """How many come by each place: added up from those that are farthest from their outlet."""
    steps, ahead = (to != np.arange(len(to))).astype(np.int64), to
    while (more := steps[ahead]).any():
        steps, ahead = steps + more, ahead[ahead]
    order = np.argsort(-steps, kind="stable")
    comes = np.ones(len(to), dtype=np.int64)
    starts = np.flatnonzero(np.diff(steps[order])) + 1
    for here in np.split(order, starts)[:-1]:
        np.add.at(comes, to[here], comes[here])
    return comes
