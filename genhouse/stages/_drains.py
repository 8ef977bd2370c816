"""Drains: a covered way for the water of each court, under the floor and out to open ground."""

from __future__ import annotations

from collections.abc import Iterator

from genhouse.core.axes import ENDS, STEP, Axis, Side
from genhouse.core.box import Rect
from genhouse.stages.site import Site

WAYS: tuple[Side, ...] = (*ENDS["x"], *ENDS["y"])
"""The sides to which water may leave, those first that are taken where ways are as short."""


def drains(site: Site) -> Iterator[tuple[Axis, Rect]]:
    """For each court the axis and cells of its culvert, from its garden out by the shortest way."""
    for court in site.courts:
        garden = site.garden(court)
        ways = [(side, _way_out(site, court, garden, side)) for side in WAYS]
        side, way = min(
            ((side, way) for side, way in ways if way is not None), key=lambda pair: pair[1].area
        )
        yield ("x" if side in ENDS["x"] else "y"), way


def _way_out(site: Site, court: Rect, garden: Rect, side: Side) -> Rect | None:
    """The cells from a garden's corner out to one side; None where they would cross another court."""
    built = [*(wing.rect for wing in site.wings), *site.walls, court]
    others = [other for other in site.courts if other != court]
    dx, dy = STEP[side]
    first = x, y = (
        garden.x0 + (dx > 0) * garden.width - (dx < 0),
        garden.y0 + (dy > 0) * garden.depth - (dy < 0),
    )
    while any(rect.has(x, y) for rect in built):
        x, y = x + dx, y + dy
        if any(other.has(x, y) for other in others):
            return None
    (x0, y0), (x1, y1) = sorted((first, (x - dx, y - dy)))
    return Rect(x0, y0, x1 + 1, y1 + 1)
