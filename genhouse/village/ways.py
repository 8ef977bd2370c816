"""The cheapest way over a slope, on the lattice of four cells.

Cost grows with the square of the grade, as in E. Galin, A. Peytavie, N. Marechal and E. Guerin, "Procedural
generation of roads", Computer Graphics Forum 29 (2010) 429-438 (from memory); from each place sixteen
ways lead on, so that a road need not zigzag.  Costs are whole numbers, exact in any order of adding.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from genhouse.village.grids import Field
from genhouse.village.land import CELL

Place = tuple[int, int]
AHEAD = ((1, 0), (0, 1), (1, 1), (1, -1), (2, 1), (1, 2), (2, -1), (1, -2))
"""Half of the ways on from a place; the others lead back."""
TENTHS = (40, 40, 57, 57, 89, 89, 89, 89)
"""Their lengths, in tenths of a cell."""
STEEP = 45
"""Cells up in a hundred that nobody goes who can go round."""
USUAL = 8
"""How dear a place is where nothing makes it dearer or cheaper."""
UNREACHED = -1


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Costs:
    """What it costs to come to each place.

    slope: of each way ahead, ``[8, N, M]``, 0 where it leaves the map.  dear: of each place.  far: the
    cost to come there, UNREACHED where there is no way.
    """

    slope: npt.NDArray[np.int32]
    dear: Field
    far: Field

    def back(self, end: Place) -> list[Place]:
        """The way to a place from where it is cheapest to come; of equally dear ones always the same."""
        way = [end]
        while (here := int(self.far[way[-1]])) > 0:
            way.append(next(p for p, w in self._beside(way[-1]) if self.far[p] + w == here))
        return _filled_in(way[::-1])

    def _beside(self, at: Place) -> Iterator[tuple[Place, int]]:
        for n, (di, dj) in enumerate(AHEAD):
            for sign in (1, -1):
                i, j = at[0] + sign * di, at[1] + sign * dj
                first = at if sign > 0 else (i, j)
                inside = 0 <= i < self.far.shape[0] and 0 <= j < self.far.shape[1]
                if inside and self.slope[n][first] and self.far[i, j] >= 0:
                    middle = first[0] + di // 2, first[1] + dj // 2
                    dear = self.dear[at] + self.dear[i, j] + 2 * self.dear[middle]
                    yield (i, j), int(self.slope[n][first] * dear)


def _filled_in(way: list[Place]) -> list[Place]:
    """A way in steps to one of eight neighbours."""
    full = way[:1]
    for a, b in pairwise(way):
        if max(abs(a[0] - b[0]), abs(a[1] - b[1])) > 1:
            full.append(((a[0] + b[0]) // 2, (a[1] + b[1]) // 2))
        full.append(b)
    return full


def slopes(heights: Field) -> npt.NDArray[np.int32]:
    """What the ways ahead of each place cost by their length and grade, ``[8, N, M]``."""
    found = np.zeros((len(AHEAD), *heights.shape), dtype=np.int32)
    for cost, step, tenths in zip(found, AHEAD, TENTHS, strict=True):
        here, there = _ends(step, heights.shape)
        middle = _between(step, heights.shape)
        rise = np.abs(heights[there] - heights[here])
        for end in (here, there) if max(step) > 1 else ():
            rise = np.maximum(rise, 2 * np.abs(heights[middle] - heights[end]))
        grade = rise * 1000 // (CELL * tenths)
        cost[here] = tenths * (100 + grade * grade // 3) // 100 + (grade > STEEP) * 20 * tenths
    return found


def spread(slope: npt.NDArray[np.int32], dear: Field, start: Sequence[Place]) -> Costs:
    """What it costs to come anywhere from some places."""
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import dijkstra

    own = np.arange(dear.size, dtype=np.int32).reshape(dear.shape)
    many = [own[_ends(step, dear.shape)[0]].size for step in AHEAD]
    ends, weight = np.zeros((2, sum(many)), dtype=np.int32), np.zeros(sum(many))
    first = 0
    for cost, step, count in zip(slope, AHEAD, many, strict=True):
        here, there = _ends(step, dear.shape)
        middle, part = _between(step, dear.shape), np.s_[first : first + count]
        ends[0, part], ends[1, part] = own[here].reshape(-1), own[there].reshape(-1)
        # Below 2**53 whole numbers are exact as floats.
        worth = cost[here] * (dear[here] + dear[there] + 2 * dear[middle])
        weight[part] = worth.reshape(-1)
        first += count
    graph = coo_array((weight, tuple(ends)), shape=(dear.size, dear.size)).tocsr()
    del ends, weight
    starts = [int(own[place]) for place in start]
    far = dijkstra(graph, directed=False, indices=starts, min_only=True).reshape(dear.shape)
    reached = np.isfinite(far)
    return Costs(
        slope=slope,
        dear=dear,
        far=np.where(reached, np.where(reached, far, 0).astype(np.int64), UNREACHED),
    )


def _between(step: Place, shape: tuple[int, ...]) -> tuple[slice, slice]:
    """What lies half-way on a step from each place; where nothing lies between, one of its ends."""
    here, _ = _ends(step, shape)
    di, dj = step[0] // 2, step[1] // 2
    return (
        slice(here[0].start + di, here[0].stop + di),
        slice(here[1].start + dj, here[1].stop + dj),
    )


def _ends(step: Place, shape: tuple[int, ...]) -> tuple[tuple[slice, slice], tuple[slice, slice]]:
    """All places from which a step stays on the map, and where it leads."""
    (di, dj), (n, m) = step, shape
    return (
        (slice(0, n - di), slice(max(0, -dj), m - max(0, dj))),
        (slice(di, n), slice(max(0, dj), m + min(0, dj))),
    )
