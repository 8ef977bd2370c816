"""Footpaths: from each field to the nearest lane, and into the woods, to clearings where wood is cut.

All of them are the cheapest ways (``ways``) from where lanes are already, so that they run together.  They
change the ground nowhere: what would be wet, or too steep to walk, is no path.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from genhouse.village.curves import FINE, Points, rounded
from genhouse.village.grids import Field, Mask
from genhouse.village.land import HALF, PITCH
from genhouse.village.offers import Rect
from genhouse.village.spans import far_from
from genhouse.village.surface import GUTTER, LANE, OPEN, ROAD, TRAIL, TRODDEN, WOOD, Surface
from genhouse.village.ways import USUAL, Costs, Place, slopes, spread

TAKEN = 4000
"""How dear a place is that something else takes."""
LONGEST = 40
"""Lattice places along a path, at most."""
DEEP, APART = 3, 24
"""Lattice places from a clearing to the rim of its wood, at least, and to the next clearing."""
CLEARING = 4
"""Cells from the middle of a clearing to its rim."""
STEP = 2
"""Half cells from one column of a path to the next, at most."""


def lay_trails(surface: Surface, fields: Sequence[Rect]) -> tuple[tuple[Points, ...], list[Place]]:
    """Their lines, from the lane on, marked in the surface; and the cells of the clearings at the ends of
    those into the woods."""
    lanes = _on_lattice(np.isin(surface.use, (ROAD, LANE, GUTTER)))
    taken = _on_lattice(~np.isin(surface.use, (OPEN, WOOD, TRAIL, *TRODDEN)) | (surface.level > 0))
    heights = surface.ground[::PITCH, ::PITCH].astype(np.int32) * HALF
    dear = np.where(taken & ~lanes, TAKEN, USUAL).astype(np.int32)
    starts = [(i, j) for i, j in np.argwhere(lanes).tolist()]
    costs = spread(slopes(heights), dear, starts)
    lines, clearings = list[Points](), list[Place]()
    for rect in fields:
        lines += _line(surface, costs, min(_sides(rect, costs), key=lambda p: (costs.far[p], p)))
    for place in _clearings(_on_lattice(surface.use != WOOD)):
        if found := _line(surface, costs, place):
            lines += found
            clearings.append((PITCH * place[0], PITCH * place[1]))
    for line in lines:
        for x, y in np.unique(line // FINE, axis=0).tolist():
            _mark(surface, np.s_[x : x + 2, y : y + 2])
    for x, y in clearings:
        _mark(
            surface,
            np.s_[max(0, x - CLEARING) : x + CLEARING + 1, max(0, y - CLEARING) : y + CLEARING + 1],
        )
    return tuple(lines), clearings


def _on_lattice(columns: Mask) -> Mask:
    n, m = (size // PITCH for size in columns.shape)
    return np.asarray(columns.reshape(n, PITCH, m, PITCH).any(axis=(1, 3)))


def _sides(rect: Rect, costs: Costs) -> Iterator[Place]:
    """Places before the middles of a field's sides."""
    x0, y0, x1, y1 = rect
    x, y = (x0 + x1) // 2, (y0 + y1) // 2
    for a, b in ((x, y0 - 2), (x0 - 2, y), (x, y1 + 2), (x1 + 2, y)):
        i, j = a // PITCH, b // PITCH
        if 0 <= i < costs.far.shape[0] and 0 <= j < costs.far.shape[1]:
            yield i, j


def _clearings(bare: Mask) -> Iterator[Place]:
    """The deepest places of the woods, far from each other.  bare: where no wood is."""
    deep = far_from(bare) if bare.any() else np.full(bare.shape, DEEP)
    i, j = np.indices(bare.shape)
    while (at := int(deep.argmax())) >= 0 and deep.flat[at] >= DEEP:
        place = at // bare.shape[1], at % bare.shape[1]
        yield place
        deep[(i - place[0]) ** 2 + (j - place[1]) ** 2 < APART * APART] = 0


def _line(surface: Surface, costs: Costs, end: Place) -> list[Points]:
    """The line of a path to a place; none where there is none that one could walk."""
    if costs.far[end] <= 0:
        return []
    way = costs.back(end)
    if not 2 < len(way) <= LONGEST:
        return []
    line = rounded([(PITCH * i, PITCH * j) for i, j in way])
    x, y = (line // FINE).T
    dry = np.isin(surface.use[x, y], (OPEN, WOOD, TRAIL, *TRODDEN)) & (surface.level[x, y] == 0)
    high: Field = surface.ground[x, y].astype(np.int64)
    return [line] if dry.all() and int(np.abs(np.diff(high)).max()) <= STEP else []


def _mark(surface: Surface, box: tuple[slice, slice]) -> None:
    strip = surface.use[box]
    strip[np.isin(strip, (OPEN, WOOD))] = TRAIL
