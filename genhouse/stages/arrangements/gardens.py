"""Gardens behind the first court, with walls where a ring has ranges of rooms."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import chain, combinations

from msgspec.structs import replace

from genhouse.core.axes import Side
from genhouse.core.box import Rect
from genhouse.stages._wings import Wing
from genhouse.stages.site import Site, line_along

OPENED: tuple[Side, ...] = ("west", "east", "north")
"""Sides of a garden on which a ring has ranges, and a garden may have none."""

RANGE = 10
"""Cells of a yard and of the narrowest range beyond it."""


def garden(site: Site, lot: Rect, _: Sequence[int]) -> Iterator[Site]:
    """The last of several courts is walled on one side or more, out to the line of the ranges that stood
    there; not on that where the lot has room for a yard and a range beyond it."""
    court, beside = site.courts[-1], site.round(site.courts[-1])
    some = [
        s for s in OPENED if s in beside and line_along(site.house, s, RANGE).meet(lot).area == 0
    ]
    if len(site.courts) == 1 or not {"south", "north"} <= beside.keys():
        return
    for gone in chain.from_iterable(combinations(some, n) for n in range(1, len(some) + 1)):
        house = site.house
        north = (court.y1, house.y1 - 1) if "north" in gone else (court.y1,)
        for y1 in north:
            wide = Rect(
                house.x0 + 1 if "west" in gone else court.x0,
                court.y0,
                house.x1 - 1 if "east" in gone else court.x1,
                y1,
            )
            yield _walled(site, wide, gone, beside)


def _walled(site: Site, court: Rect, gone: Sequence[Side], beside: Mapping[Side, Wing]) -> Site:
    """With a last court in place of what stood on some of its sides; ranges along it reach its end."""
    wings = []
    for wing in site.wings:
        if wing in (beside[side] for side in gone):
            continue
        if "north" in gone and wing in (beside.get("west"), beside.get("east")):
            r = wing.rect
            wing = replace(wing, rect=Rect(r.x0, r.y0, r.x1, court.y1 + 1))
        wings.append(wing)
    walls = {side: line_along(court, side) for side in gone}
    if north := walls.get("north"):
        walls["north"] = Rect(
            north.x0 - ("west" in gone), north.y0, north.x1 + ("east" in gone), north.y1
        )
    return replace(
        site,
        wings=tuple(wings),
        courts=(*site.courts[:-1], court),
        walls=(*site.walls, *walls.values()),
    )
