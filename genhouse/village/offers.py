"""Rectangles that might be plots, all at once: of each place by a lane, each size, each distance."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import accumulate
from typing import Any

import numpy as np
import numpy.typing as npt

from genhouse.core.axes import Side
from genhouse.core.draw import Draw
from genhouse.model.bounds import LARGEST_PLOT
from genhouse.village.grids import Mask, scattered_at

Rect = tuple[int, int, int, int]
Cells = npt.NDArray[np.int16]
Numbers = npt.NDArray[np.signedinteger[Any]]

SETBACK = 2
"""Cells from a lane to a plot, at least."""
Span = tuple[int, int]
Sizes = Mapping[str, tuple[Span, Span]]
"""Least and most of the frontage and of the depth, in cells, by name, the largest first."""
SIZES: Sizes = {
    "large": ((26, 32), (30, 38)),
    "middling": ((22, 26), (24, 30)),
    "small": ((19, 23), (19, 27)),
}
ASIDE = (30, 70)
"""Where along the frontage the place by the lane lies, in hundredths."""
GATES: tuple[Side, ...] = ("south", "north", "west", "east")


def sizes_for(ways: Sequence[tuple[Sizes, int]]) -> Sizes:
    """Plots on which houses of several ways, with their weights, find room: the small are large enough for
    a third of all houses, the middling for two thirds, the large for all.
    """
    order = sorted((list(sizes.values())[::-1], weight) for sizes, weight in ways)
    ends = list(accumulate(weight for _, weight in order))
    chosen = [order[bisect_left(ends, -(-ends[-1] * third // 3))][0] for third in (1, 2, 3)]
    return dict(zip(SIZES, (chosen[2][2], chosen[1][1], chosen[0][0]), strict=True))


def sizes_of(width: Span, wider: int, depth: Span, within: Span) -> Sizes:
    """Plots for houses that are so wide, so deep in hundredths of that, and no less or more deep than that
    in cells (see ``[plan]``)."""
    least, most = width
    middle = (least + most) // 2
    small, large = (least + 2, least + 2 + SPARE), (middle, most + wider)
    fronts = large, (least + SPARE, max(middle, least + 2 * SPARE)), small
    found = {}
    for name, (low, high) in zip(SIZES, fronts, strict=True):
        deep = _deep(low, depth, within)
        # Where houses are never wider than deep, none is drawn on a plot that is.
        most = max(low + SPARE, deep[0] - 2) if depth[0] >= 100 else high
        found[name] = (low, min(high, most)), deep
    return found


def ground_of(sizes: Sizes) -> int:
    """Cells that a middling plot takes, with what lies about it and its share of a lane."""
    front, _ = sizes["middling"]
    return (sum(front) // 2 + ASIDE_OF) * depth_of(sizes)


def depth_of(sizes: Sizes) -> int:
    """Cells from the middle of a lane to what lies behind a middling plot."""
    return sum(sizes["middling"][1]) // 2 + BEFORE


ASIDE_OF, BEFORE = 6, 12
"""Cells beside a plot and before it that are nobody else's, about."""
SPARE = 4
"""Cells that small plots differ in width, and the least that the depths of any do."""


def _deep(front: int, depth: Span, within: Span) -> Span:
    """A third of what may be, from the least on; whichever way a plot lies, it is no deeper than any may be
    wide."""
    least, most = (-(-front * part // 100) for part in depth)
    least, most = max(least, within[0]), min(most, within[1], *LARGEST_PLOT)
    return least, min(max(least + SPARE, least + (most - least) // 3), min(LARGEST_PLOT))


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """A place by a lane.  x, y: cells, on its middle.  gate: the side of a plot there that has the lane.

    off: cells from there to a plot, at least.
    """

    x: int
    y: int
    gate: Side
    lane: int
    far: int
    high: int
    off: int


def before(rect: Rect, gate: Side, deep: int) -> tuple[slice, slice]:
    """The columns so far before a rectangle's gate side."""
    x0, y0, x1, y1 = rect
    match gate:
        case "south":
            y0, y1 = max(0, y0 - deep), y0
        case "north":
            y0, y1 = y1, y1 + deep
        case "west":
            x0, x1 = max(0, x0 - deep), x0
        case "east":
            x0, x1 = x1, x1 + deep
    return np.s_[x0:x1], np.s_[y0:y1]


@dataclass(frozen=True, slots=True, eq=False)
class Offers:
    """edges: x0, y0, x1, y1 of rectangles, [4, M, sizes, distances]; the nearest first.  tiles: places by
    the square of the map in which the first of their rectangles has its corner."""

    edges: Cells
    tiles: Mapping[tuple[int, int], Numbers]

    @classmethod
    def of(cls, spots: Sequence[Spot], most: int, sizes: Sizes, draw: Draw) -> Offers:
        """Up to so many cells from the lane."""
        parts = [
            _edges(spots[n : n + AT_ONCE], most, sizes, draw) for n in range(0, len(spots), AT_ONCE)
        ]
        edges = np.concatenate(parts, axis=1) if parts else _edges((), most, sizes, draw)
        return cls(edges, _tiled(edges[0, :, 0, 0] // TILE, edges[1, :, 0, 0] // TILE))

    def rect(self, spot: int, size: int, near: int) -> Rect:
        x0, y0, x1, y1 = self.edges[:, spot, size, near].tolist()
        return x0, y0, x1, y1

    def free(self, taken: Mask) -> Mask:
        """Those on the map that lie on nothing taken."""
        sums = np.zeros((taken.shape[0] + 1, taken.shape[1] + 1), dtype=np.int32)
        np.cumsum(np.cumsum(taken, axis=0, dtype=np.int32), axis=1, out=sums[1:, 1:])
        parts = range(0, self.edges.shape[1], AT_ONCE)
        return np.concatenate(
            [_clear(self.edges[:, n : n + AT_ONCE], sums, taken.shape) for n in parts]
        )

    def shut(self, alive: Mask, rect: Rect, aside: int) -> None:
        """Take off what comes nearer to a rectangle than so many cells."""
        a0, b0, a1, b1 = rect
        reach = aside + FARTHEST
        beside = [
            self.tiles[i, j]
            for i in range((a0 - reach - FARTHEST) // TILE, (a1 + reach) // TILE + 1)
            for j in range((b0 - reach - FARTHEST) // TILE, (b1 + reach) // TILE + 1)
            if (i, j) in self.tiles
        ]
        if not beside:
            return
        near = np.concatenate(beside)
        x0, y0, x1, y1 = self.edges[:, near, :, : alive.shape[2]]
        clear = (x0 >= a1 + aside) | (x1 <= a0 - aside) | (y0 >= b1 + aside) | (y1 <= b0 - aside)
        alive[near] &= clear


AT_ONCE = 4096
"""Places whose rectangles are worked out at once."""
FARTHEST = 70
"""Cells that the rectangles of one place lie from the first of them, at most; no side is longer."""
TILE = 64
"""Cells along the sides of the squares by which places are looked up."""


def _tiled(i: Numbers, j: Numbers) -> dict[tuple[int, int], Numbers]:
    """The numbers of places by their square."""
    if not len(i):
        return {}
    order = np.lexsort((j, i))
    new = (np.diff(i[order]) != 0) | (np.diff(j[order]) != 0)
    parts = np.split(order, np.flatnonzero(new) + 1)
    return {(int(i[part[0]]), int(j[part[0]])): part for part in parts}


def _edges(spots: Sequence[Spot], most: int, sizes: Sizes, draw: Draw) -> Cells:
    x, y, off = (
        np.array([getattr(spot, name) for spot in spots], dtype=np.int64)[:, None, None]
        for name in ("x", "y", "off")
    )
    gate = np.array([GATES.index(spot.gate) for spot in spots])[:, None, None]
    front, deep = (
        np.concatenate(
            [
                low + scattered_at(x, 4 * y + gate, high - low + 1, draw.at(axis, name))
                for name, spans in sizes.items()
                for low, high in (spans[n],)
            ],
            axis=1,
        )
        for n, axis in enumerate(("front", "deep"))
    )
    part = ASIDE[0] + scattered_at(x, 4 * y + gate, ASIDE[1] - ASIDE[0] + 1, draw.at("aside"))
    aside = front * part // 100
    near = off + np.arange(SETBACK, most)
    ahead = np.where(gate % 2 == 0, 1, -1)  # north, or east, of the lane; else south, or west
    along, across = np.where(gate < 2, x, y) - aside, np.where(gate < 2, y, x)
    low = np.where(ahead > 0, across + near, across - near - deep + 1)
    sides = np.broadcast_arrays(along, low, along + front, low + deep)
    turned = [np.where(gate < 2, sides[n], sides[n ^ 1]) for n in range(4)]
    return np.stack(turned).astype(np.int16)


def _clear(edges: Cells, sums: npt.NDArray[np.int32], shape: tuple[int, ...]) -> Mask:
    """sums: of what is taken, over all columns west and south of each."""
    x0, y0, x1, y1 = edges
    inside = (x0 >= 0) & (y0 >= 0) & (x1 <= shape[0]) & (y1 <= shape[1])
    x0, y0, x1, y1 = (np.where(inside, edge, 0) for edge in (x0, y0, x1, y1))
    shut = sums[x1, y1] - sums[x0, y1]
    shut += sums[x0, y0] - sums[x1, y0]
    return np.asarray(inside & (shut == 0))
