"""Back lanes: narrow ways behind houses that stand side by side, from the lane on one side of them to that
on the other.

They leave the ground as it is.  So there is none where it is too steep behind the houses, or too close:
each is walked in steps of half a cell, on open ground that nothing else needs.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from genhouse.core.axes import STEP
from genhouse.village.grids import Mask
from genhouse.village.paths import shortest
from genhouse.village.plots import Plot
from genhouse.village.surface import OPEN, TRAIL, TRODDEN, Surface
from genhouse.village.ways import Place

BESIDE, IN_LINE = 16, 14
"""Cells between two houses side by side, at most, and from the front of one to that of the other."""
BEHIND = (3, 4, 5, 6, 8)
"""Cells from a house to the lane behind it, the best first."""
ROUND = 36
"""Cells about such houses within which their back lane lies."""
OFF = 2
"""Cells that its two ends keep from each other."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BackLane:
    """cells: its middle, from lane to lane.  houses: the numbers of those before it."""

    cells: tuple[Place, ...]
    houses: tuple[int, ...]


def lay_back_lanes(surface: Surface, plots: Sequence[Plot]) -> tuple[BackLane, ...]:
    """As many as there is room for, marked in the surface."""
    found, waiting = [], list(_rows(plots))[::-1]
    while waiting:
        row = waiting.pop()
        cells = _round(surface, row) or _round(surface, row[::-1])
        if not cells and len(row) > 3:
            waiting += [row[len(row) // 2 :], row[: len(row) // 2]]
        if cells:
            found.append(BackLane(cells=cells, houses=tuple(plot.number for plot in row)))
            for x, y in cells:
                strip = surface.use[x : x + 2, y : y + 2]
                strip[strip == OPEN] = TRAIL
    return tuple(found)


def _rows(plots: Sequence[Plot]) -> Iterator[list[Plot]]:
    """Houses side by side that look the same way."""
    for gate in ("south", "north", "west", "east"):
        along = 0 if gate in ("south", "north") else 1
        left = sorted((p for p in plots if p.gate == gate), key=lambda p: (p.rect[along], p.number))
        while left:
            row = [left.pop(0)]
            while after := [p for p in left if _follows(row[-1], p, along)]:
                row.append(after[0])
                left.remove(after[0])
            if len(row) > 1:
                yield row


def _follows(one: Plot, other: Plot, along: int) -> bool:
    gap = other.rect[along] - one.rect[along + 2]
    aside = _back(one, 0)[1 - along] - _back(other, 0)[1 - along]
    return 0 <= gap <= BESIDE and abs(aside) <= IN_LINE


def _back(plot: Plot, behind: int) -> Place:
    """A column behind the middle of a house."""
    x0, y0, x1, y1 = plot.rect
    dx, dy = STEP[plot.gate]
    x, y = (x0 + x1) // 2, (y0 + y1) // 2
    wide, deep = (x1 - x0) // 2 + behind, (y1 - y0) // 2 + behind
    return x - dx * wide, y - dy * deep


def _round(surface: Surface, row: Sequence[Plot]) -> tuple[Place, ...]:
    """The cells behind a row, from where they leave a lane to where they come to one again."""
    backs = [_back(plot, BEHIND[0]) for plot in row]
    (x0, y0), (x1, y1) = np.min(backs, axis=0).tolist(), np.max(backs, axis=0).tolist()
    low = max(1, x0 - ROUND), max(1, y0 - ROUND)
    part = np.s_[low[0] : x1 + ROUND, low[1] : y1 + ROUND]
    ground = _Walked.of(surface, part)
    own = []
    for plot in row:
        places = [_back(plot, far) for far in BEHIND]
        free = [at for x, y in places if ground.free(at := (x - low[0], y - low[1]))]
        if not free:
            return ()
        own.append(free[0])
    way = ground.to_lane(own[0])[::-1]
    for a, b in [*pairwise(own), (own[-1], None)]:
        if not way:
            return ()
        ground.keep_off(way[: -1 - OFF], a)
        leg = ground.to(a, b) if b else ground.to_lane(a)
        way = [*way, *leg[1:]] if leg else []
    return tuple((x + low[0], y + low[1]) for x, y in way)


@dataclass(frozen=True, slots=True, eq=False)
class _Walked:
    """A part of the map.  open: where a back lane may lie; lane: what it leads to."""

    open: Mask
    lane: Mask

    @classmethod
    def of(cls, surface: Surface, part: tuple[slice, slice]) -> _Walked:
        use, high = surface.use[part], surface.top[part].astype(np.int32)
        level = np.ones(use.shape, dtype=bool)
        for axis in (0, 1):
            step = np.abs(np.diff(high, axis=axis)) > 1
            near, far = ((slice(None),) * axis + (cut,) for cut in (np.s_[:-1], np.s_[1:]))
            level[near] &= ~step
            level[far] &= ~step
        dry = surface.level[part] == 0
        free = np.isin(use, (OPEN, TRAIL)) & dry & level
        wide = free.copy()
        wide[:-1] &= free[1:]
        wide[:, :-1] &= free[:, 1:]
        for edge in (np.s_[0], np.s_[-1], np.s_[:, 0], np.s_[:, -1]):
            wide[edge] = False
        return cls(wide, np.isin(use, TRODDEN) & level)

    def free(self, at: Place) -> bool:
        inside = 0 <= at[0] < self.open.shape[0] and 0 <= at[1] < self.open.shape[1]
        return inside and bool(self.open[at])

    def keep_off(self, way: Sequence[Place], but: Place) -> None:
        """Shut what lies about a way, and leave a place open."""
        for x, y in way:
            box = np.s_[max(0, x - OFF) : x + OFF + 1, max(0, y - OFF) : y + OFF + 1]
            self.open[box] = self.lane[box] = False
        self.open[but] = True

    def to_lane(self, start: Place) -> list[Place]:
        """The shortest way from a place to a lane; none where there is none."""
        return _shortest(self.open, self.lane, start)

    def to(self, start: Place, end: Place) -> list[Place]:
        """The shortest way from a place to another."""
        goal = np.zeros(self.open.shape, dtype=bool)
        goal[end] = True
        return _shortest(self.open, goal, start)


def _shortest(free: Mask, goal: Mask, start: Place) -> list[Place]:
    """By side from column to column."""
    may, ends = (free | goal).tolist(), goal.tolist()
    wide, deep = free.shape

    def after(at: Place) -> Iterator[Place]:
        for dx, dy in ((0, 1), (0, -1), (1, 0), (-1, 0)):
            x, y = at[0] + dx, at[1] + dy
            if 0 <= x < wide and 0 <= y < deep and may[x][y]:
                yield x, y

    return shortest(start, lambda at: ends[at[0]][at[1]], after)
