"""Drains: a covered way for the water of each court, under the floor and out to open ground, or to the next
court where none lies beside it."""

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
        ways = [(onward, way, side) for side in WAYS for onward, way in _way_out(site, court, side)]
        own = site.fall(*site.garden(court)[:2])
        _, way, side = min(ways, key=lambda w: (_uphill(site, w[1], own), w[0], w[1].area))
        yield ("x" if side in ENDS["x"] else "y"), way


def _uphill(site: Site, way: Rect, own: int) -> bool:
    """Whether a way rises anywhere over the court that it begins in."""
    return any(site.fall(*cell) < own for cell in way.cells())


def _way_out(site: Site, court: Rect, side: Side) -> Iterator[tuple[bool, Rect]]:
    """Whether a way from a garden's corner to one side ends in another court's garden, and its cells;
    nothing where it would end at a neighbour's."""
    garden = site.garden(court)
    beside = [other for other in site.courts if other != court]
    gardens = [site.garden(other) for other in beside]
    taken = [*(wing.rect for wing in site.wings), *site.walls, court, *beside]
    dx, dy = STEP[side]
    first = x, y = (
        garden.x0 + (dx > 0) * garden.width - (dx < 0),
        garden.y0 + (dy > 0) * garden.depth - (dy < 0),
    )
    onward = False
    while any(rect.has(x, y) for rect in taken) and not onward:
        x, y = x + dx, y + dy
        onward = any(other.has(x, y) for other in gardens)
    if site.ground.has(x, y):
        (x0, y0), (x1, y1) = sorted((first, (x - dx, y - dy)))
        yield onward, Rect(x0, y0, x1 + 1, y1 + 1)
