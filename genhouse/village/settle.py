"""Houses set on the ground: each on a level terrace cut into the slope, with a way from its gate to a lane.

Of the levels that a terrace may have, each takes the one that brings what is cut on the whole map nearest
to what is filled.  Where a terrace ends in a drop, it ends in a wall.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Protocol

import numpy as np

from genhouse.core.axes import Side
from genhouse.core.errors import InfeasibleError
from genhouse.village.grids import Field, Mask
from genhouse.village.offers import Rect
from genhouse.village.paths import Cell, way_out
from genhouse.village.pits import pits
from genhouse.village.spans import far_from, lowest
from genhouse.village.surface import (
    APRON,
    BRIDGE,
    FORD,
    OPEN,
    PATH,
    PLACE,
    PLOT,
    WATER,
    Halves,
    Surface,
)

WALL = 4
"""Half cells that a terrace's wall is high, at most; beyond it the ground slopes."""
SLOPE = 7
"""Cells beyond the wall over which it does."""
ROUNDS, EVEN = 16, 25
"""Times that all is settled, at most, for one plot that is raised may dam the next; what is moved, to how
uneven cut and fill may be (1 in 25: 4 %)."""
SPREADS, ASIDE = 10, (3, 12, 40)
"""Times that half a cell is spread, at most; cells from all that is built, the first that will do."""


class Site(Protocol):
    """What is set down: the rectangle that is levelled, the columns of it that are covered, and the cell
    and side by which one comes.  row: the same number for those that share their level, 0 for one alone."""

    @property
    def rect(self) -> Rect: ...
    @property
    def covers(self) -> Mask: ...
    @property
    def gate(self) -> Side: ...
    @property
    def door(self) -> Cell: ...
    @property
    def row(self) -> int: ...


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Settled:
    """levels: cells up to which each plot's ground is made.  paths: from each gate, the cells to the lane.

    cut, fill: half cells of ground taken away, and put down, on the whole map.
    """

    surface: Surface
    levels: tuple[int, ...]
    paths: tuple[tuple[Cell, ...], ...]
    cut: int
    fill: int

    @property
    def uneven(self) -> bool:
        """Whether cut and fill differ by more than they may."""
        return abs(self.fill - self.cut) > (self.fill + self.cut) // EVEN


def settle(surface: Surface, before: Halves, sites: Sequence[Site]) -> Settled:
    """Set houses and places down.  before: the ground as it was, half cells.

    Done anew, with terraces raised where water would stand on them, and with what the first settling did
    not foresee counted in.  Raises InfeasibleError where a gate has no way to a lane.
    """
    least = [0] * len(sites)
    bias = 0
    for left in range(ROUNDS, 0, -1):
        found, deep = _settled(surface, before, sites, least, bias)
        wet = _standing(found, sites, deep)
        if not wet and (not found.uneven or left < ROUNDS - 1):
            break
        bias += (found.fill - found.cut) // 2 if found.uneven else 0
        for n, high in wet.items():
            least[n] = high
    return _evened(found, before)


def _evened(settled: Settled, before: Halves) -> Settled:
    """With what is left over, or wanting, spread as often as it takes and as there is room for it: far
    enough from all that is built that no water comes to stand there."""
    fixed = np.isin(settled.surface.use, (PLOT, PLACE))
    aside = iter(ASIDE)
    off = next(aside)
    for _ in range(SPREADS):
        if not settled.uneven:
            break
        after, deep = _spread(settled, before, off)
        if (deep[fixed] > 0).any():
            if (off := next(aside, 0)) == 0:
                break
        elif abs(after.fill - after.cut) < abs(settled.fill - settled.cut):
            settled = after
        else:
            break
    return settled


def _spread(settled: Settled, before: Halves, off: int) -> tuple[Settled, Halves]:
    """What is left over is spread on slopes near by, half a cell deep; what is wanting is taken from them.
    And how deep water would stand there.

    off: cells from all that is built.  Nowhere higher than a neighbour above, or lower than one below.
    """
    surface = replace(settled.surface, ground=settled.surface.ground.copy())
    ground, over = surface.ground, settled.fill - settled.cut
    near = far_from(surface.use != OPEN)
    beside = lowest(ground, 1) < ground if over > 0 else -lowest(-ground, 1) > ground
    free = np.flatnonzero(beside & (surface.use == OPEN) & (near > off))
    chosen = free[np.argsort(near.reshape(-1)[free], kind="stable")[: abs(over)]]
    ground.reshape(-1)[chosen] -= np.sign(over).astype(np.int16)
    deep = pits(surface)
    _fill(surface, deep)
    return _counted(replace(settled, surface=surface), before), deep


def _settled(
    surface: Surface, before: Halves, sites: Sequence[Site], least: Sequence[int], bias: int
) -> tuple[Settled, Halves]:
    """And how deep water would stand on each column, before what is open was filled."""
    made = replace(surface, ground=surface.ground.copy(), use=surface.use.copy())
    balance = int((made.ground - before)[made.level == 0].sum(dtype=np.int64)) + bias
    for site in sites:
        _aproned(made, site)
    levels, paths = list[int](), list[tuple[Cell, ...]]()
    for row in _rows(sites):
        ways = [_way(made, sites[n]) for n in row]
        flats = [_flat(made, path) for path in ways]
        fits = _level(made, [sites[n] for n in row], ways, flats, balance)
        level = max(fits, *(least[n] for n in row))
        balance += sum(_terrace(made, sites[n].rect, level) for n in row)
        for path, flat in zip(ways, flats, strict=True):
            _tread(made, path, flat, level)
        levels += [level] * len(row)
        paths += ways
    deep = pits(made)
    _fill(made, deep)
    cut, fill = _moved(made, before)
    settled = Settled(surface=made, levels=tuple(levels), paths=tuple(paths), cut=cut, fill=fill)
    return settled, deep


def _aproned(surface: Surface, site: Site) -> None:
    """Columns of a plot that its house leaves, and a strip about it, which nothing else takes."""
    x0, y0, x1, y1 = site.rect
    strip = surface.use[x0 - 1 : x1 + 1, y0 - 1 : y1 + 1]
    strip[strip == OPEN] = APRON
    surface.use[x0:x1, y0:y1][~site.covers] = APRON


def _rows(sites: Sequence[Site]) -> list[range]:
    """Places in the row of sites that share their level: they come one after the other."""
    starts = [
        n for n, site in enumerate(sites) if not (n and site.row and site.row == sites[n - 1].row)
    ]
    return [range(a, b) for a, b in zip(starts, [*starts[1:], len(sites)], strict=True)]


def _way(surface: Surface, site: Site) -> tuple[Cell, ...]:
    """Raises InfeasibleError where a gate has no way to a lane."""
    if path := way_out(surface, site.door, site.gate):
        return path
    raise InfeasibleError(
        f"village: the gate at {site.door[0]}, {site.door[1]} has no way to a lane", stage="site"
    )


def _fill(surface: Surface, deep: Halves) -> None:
    """Fill what would hold water.  Where one walks, steps only become less; a plot is raised instead."""
    free = ~np.isin(surface.use, (PLOT, PLACE, WATER, BRIDGE, FORD))
    surface.ground[free] += deep[free]


def recounted(settled: Settled, before: Halves) -> Settled:
    """Cut and fill counted again, and evened, after its ground was worked on."""
    return _evened(_counted(settled, before), before)


def _counted(settled: Settled, before: Halves) -> Settled:
    cut, fill = _moved(settled.surface, before)
    return replace(settled, cut=cut, fill=fill)


def _moved(surface: Surface, before: Halves) -> tuple[int, int]:
    """What is cut, and what is filled, half cells."""
    change = (surface.ground - before)[surface.level == 0]
    fill = int(np.maximum(change, 0).sum(dtype=np.int64))
    return fill - int(change.sum(dtype=np.int64)), fill


def _standing(settled: Settled, sites: Sequence[Site], deep: Halves) -> dict[int, int]:
    """Plots on which water would stand, by their place in the row, and the level that would drain them."""
    found = {}
    for n, site in enumerate(sites):
        x0, y0, x1, y1 = site.rect
        if most := int(deep[x0:x1, y0:y1].max()):
            found[n] = settled.levels[n] + (most + 1) // 2
    return found


def _level(
    surface: Surface,
    sites: Sequence[Site],
    paths: Sequence[Sequence[Cell]],
    flats: Sequence[int],
    balance: int,
) -> int:
    """Cells: as near the mean of the ground of some sites as steps to the lane allow."""
    total, many, low, high = 0, 0, -(1 << 20), 1 << 20
    for site, path, flat in zip(sites, paths, flats, strict=True):
        x0, y0, x1, y1 = site.rect
        ground = surface.ground[x0:x1, y0:y1]
        total, many = total + int(ground.sum(dtype=np.int64)), many + ground.size
        lane, steps = surface.top_at(path[-1]), len(path) - flat
        low, high = max(low, -((steps - lane) // 2)), min(high, (lane + steps) // 2)
    mean = total // many
    wanted = {min(max(at, low), high) for at in (mean // 2, mean // 2 + 1)}
    return min(wanted, key=lambda at: (abs(balance + 2 * at * many - total), at))


def _terrace(surface: Surface, rect: Rect, level: int) -> int:
    """Level the plot and the strip about it, and bring the ground beyond to it; what that changes, half
    cells."""
    x0, y0, x1, y1 = rect
    reach = SLOPE + 1
    box = np.s_[x0 - reach : x1 + reach, y0 - reach : y1 + reach]
    ground, use = surface.ground[box], surface.use[box]
    was = ground.astype(np.int64).sum()
    far = _far(ground.shape[0], ground.shape[1], reach)
    high = 2 * level
    slope = (use == OPEN) & (far > 1)
    slack = WALL + 2 * (far - 2)
    ground[slope] = np.clip(ground, high - slack, high + slack)[slope]
    ground[(far <= 1) & ((use == APRON) | (far == 0))] = high
    return int(ground.astype(np.int64).sum() - was)


def _far(wide: int, deep: int, reach: int) -> Field:
    """Cells from a rectangle within a box about it."""
    x, y = (
        np.maximum(np.maximum(reach - np.arange(n), np.arange(n) - (n - reach - 1)), 0)
        for n in (wide, deep)
    )
    return np.asarray(np.maximum(x[:, None], y[None, :]))


def _tread(surface: Surface, path: Sequence[Cell], flat: int, level: int) -> None:
    """Make the way from the gate: three cells wide, a step of half a cell wherever it must rise or fall,
    but level for the first few cells."""
    end = surface.top_at(path[-1])
    high = 2 * level
    for n, (x, y) in enumerate(path[:-1]):
        left = len(path) - 1 - n
        high += (end > high) - (end < high) if n >= flat and abs(end - high) >= left else 0
        free = (OPEN, APRON) if n < flat else (OPEN,)
        for i, j in ((0, 0), (1, 0), (-1, 0), (0, 1), (0, -1)):
            at = (x + i, y + j)
            if surface.use[at] in free or (i, j) == (0, 0):
                surface.ground[at], surface.use[at] = high, PATH


def _flat(surface: Surface, path: Sequence[Cell]) -> int:
    """How many cells of a way from a gate are level: those by its plot, but for the last, for the strip
    about a house may have a step of half a cell."""
    return max(0, [int(surface.use[cell]) for cell in path].count(APRON) - 1)
