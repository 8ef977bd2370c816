"""Verandas deep enough for columns along their outer row."""

from __future__ import annotations

from collections.abc import Iterator

from genhouse.core.axes import ENDS, FLANKS, Axis, cell_at
from genhouse.stages.site import Site

DEEP = 2
"""Cells of a veranda from which columns leave a way behind them."""


def outer_rows(site: Site) -> Iterator[tuple[Axis, int, int, int]]:
    """The outer row of each deep veranda: the way it runs, its line, its first and its last cell, corners
    that it shares with another and walls that it ends at among them."""
    for court in site.courts:
        depths, garden = site.depths(court), site.garden(court)
        for axis, sides in FLANKS.items():
            lying = garden.lie(axis)
            for side, across in zip(sides, (lying.y0 - 1, lying.y1), strict=True):
                if depths.get(side, 0) >= DEEP:
                    low, high = (depths.get(end, 0) >= DEEP for end in ENDS[axis])
                    yield axis, across, lying.x0 - low, lying.x1 - 1 + high


def outer_cells(site: Site) -> frozenset[tuple[int, int]]:
    """All cells of these rows."""
    rows = outer_rows(site)
    return frozenset(
        cell_at(axis, n, y) for axis, y, low, high in rows for n in range(low, high + 1)
    )
