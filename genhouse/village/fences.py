"""What stands between a plot and its lane, and between two plots side by side: a low wall by the green,
elsewhere a hedge; open at the gate's way."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from genhouse.core.axes import STEP
from genhouse.core.draw import Draw
from genhouse.village.kit import LET_IN
from genhouse.village.plots import Plot
from genhouse.village.spans import within
from genhouse.village.surface import APRON, OPEN, TRODDEN, Surface
from genhouse.village.ways import Place

OFTEN = (4, 5)
"""How often a plot has one."""
NEAREST, DEEPEST = 3, 15
"""Cells from a plot to the lane between which its forecourt is bounded."""


CLOSE, SHARED = (3, 8), 6
"""Cells between two plots that have a wall or a hedge between them; along which they lie side by side, at
least."""


def fences(surface: Surface, plots: Sequence[Plot], draw: Draw) -> Iterator[tuple[str, Place]]:
    """What stands on which column."""
    verge = within(np.isin(surface.use, TRODDEN), 1)
    free = (surface.use == OPEN) & ~verge
    for plot, at in _between(plots):
        if free[at]:
            yield _of(plot, surface, at), at
    for plot in plots:
        if draw.at(plot.number).chance(*OFTEN, "bounded"):
            rows = [list(_out(surface, plot, n)) for n in range(plot.measures[0])]
            ends = {len(row) for row in (rows[0], rows[-1])}
            for n, row in enumerate(rows):
                if NEAREST <= len(row) <= DEEPEST:
                    side = n in (0, len(rows) - 1) and max(ends) <= DEEPEST
                    for at in row[1:-1] if side else row[-2:-1]:
                        if free[at]:
                            yield _of(plot, surface, at), at


def _of(plot: Plot, surface: Surface, at: Place) -> str:
    name = "garden wall" if plot.quarter == "green" else "hedge"
    return name + LET_IN * (int(surface.ground[at]) % 2)


def _between(plots: Sequence[Plot]) -> Iterator[tuple[Plot, Place]]:
    """Columns half-way between plots that lie side by side, but for the ends of what they share."""
    rects = np.array([plot.rect for plot in plots], dtype=np.int64).reshape(-1, 4)
    for plot in plots:
        for axis in (0, 1):
            gap = rects[:, axis] - plot.rect[axis + 2]
            low = np.maximum(rects[:, 1 - axis], plot.rect[1 - axis])
            high = np.minimum(rects[:, 3 - axis], plot.rect[3 - axis])
            near = (gap >= CLOSE[0]) & (gap <= CLOSE[1]) & (high - low >= SHARED)
            for n in np.flatnonzero(near).tolist():
                middle = plot.rect[axis + 2] + int(gap[n]) // 2
                for along in range(int(low[n]), int(high[n])):
                    yield plot, (middle, along) if axis == 0 else (along, middle)


def _out(surface: Surface, plot: Plot, n: int) -> Iterator[Place]:
    """Columns from one of a plot's front to the verge of what is trodden before it."""
    x0, y0, x1, y1 = plot.rect
    dx, dy = STEP[plot.gate]
    x, y = {
        "south": (x0 + n, y0), "north": (x0 + n, y1 - 1),
        "west": (x0, y0 + n), "east": (x1 - 1, y0 + n),
    }[plot.gate]  # fmt: skip
    for far in range(1, DEEPEST + 3):
        at, beyond = (x + far * dx, y + far * dy), (x + (far + 1) * dx, y + (far + 1) * dy)
        inside = min(beyond) >= 0 and beyond[0] < surface.shape[0] and beyond[1] < surface.shape[1]
        if not inside or surface.use[beyond] not in (OPEN, APRON):
            return
        yield at
