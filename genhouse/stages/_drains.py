"""Drains: a covered way for the water of each court, under the floor and out to the strip of gravel."""

from __future__ import annotations

from collections.abc import Iterator

from genhouse.core.axes import Axis, Side
from genhouse.core.box import Rect
from genhouse.stages.site import Site


def drains(site: Site) -> Iterator[tuple[Axis, Rect]]:
    """For each court the axis and cells of its culvert, from its garden out by the shortest way."""
    for court in site.courts:
        garden, house = site.garden(court), site.house
        lengths: dict[Side, int] = {
            "west": garden.x0 - house.x0,
            "east": house.x1 - garden.x1,
            "south": garden.y0 - house.y0,
            "north": house.y1 - garden.y1,
        }
        if len(site.courts) > 1:  # another court may lie before or behind this one
            del lengths["south"], lengths["north"]
        x, y = garden.x0, garden.y0
        ways: dict[Side, tuple[Axis, Rect]] = {
            "west": ("x", Rect(house.x0, y, garden.x0, y + 1)),
            "east": ("x", Rect(garden.x1, y, house.x1, y + 1)),
            "south": ("y", Rect(x, house.y0, x + 1, garden.y0)),
            "north": ("y", Rect(x, garden.y1, x + 1, house.y1)),
        }
        yield ways[min(lengths, key=lambda side: lengths[side])]
