"""The prism of each wing: its slopes, its ends, and how far it reaches over walls and other wings."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from genhouse.core.box import Rect
from genhouse.stages._slopes import NONE, Field, across, prism, rising
from genhouse.stages.site import Site, Wing
from genhouse.traditions.loader import RoofRule


def half(cells: npt.NDArray[np.bool_]) -> npt.NDArray[np.bool_]:
    """A plan in cells as a plan in half cells."""
    return cells.repeat(2, axis=0).repeat(2, axis=1)


def _overhangs(site: Site, wing: Wing, rule: RoofRule) -> tuple[int, int]:
    """Courses beyond the wall lines, across the wing, on the low and the high side."""
    r, house = wing.rect, site.house
    outer = (
        (r.x0 == house.x0, r.x1 == house.x1)
        if wing.axis == "y"
        else (r.y0 == house.y0, r.y1 == house.y1)
    )
    low, high = (rule.outside if is_outer else rule.court for is_outer in outer)
    return low, high


def _side(
    site: Site, wing: Wing, rule: RoofRule, base: int, end: int, *, steep: bool, hip: bool
) -> Field:
    """A side wing's roof: it runs on to the ridges of the through wings, or past its free end."""
    r = wing.rect
    west, east = _overhangs(site, wing, rule)
    south, north = _reach(site, wing, end)
    heights = across(wing.span, rule, west, east, steep=steep)
    free = hip and r.y0 == site.house.y0
    ends = (rising(north - south, wing.span, rule, steep=steep) if free else None, None)
    return prism(site.plot, Rect(r.x0 - west, south, r.x1 + east, north), heights, "y", base, ends)


def hipped(site: Site, wing: Wing, rule: RoofRule, base: int, *, steep: bool) -> list[Field]:
    """A wing whose roof falls to all outer sides, with one level eaves line round the house."""
    if wing.axis == "y":
        return [_side(site, wing, rule, base, rule.outside, steep=steep, hip=True)]
    r, house, out = wing.rect, site.house, rule.outside
    length = house.width + 2 * out
    end = rising(length, wing.span, rule, steep=steep)
    whole = Rect(house.x0 - out, r.y0 - out, house.x1 + out, r.y1 + out)
    heights = across(wing.span, rule, out, out, steep=steep)
    field = prism(site.plot, whole, heights, "x", base, (end, end))
    return [np.where(_covered(site, wing, rule), field, NONE).astype(np.int16)]


def _covered(site: Site, wing: Wing, rule: RoofRule) -> npt.NDArray[np.bool_]:
    """Half cells over a through wing and its overhangs; toward a side wing it has none."""
    r, house, out = wing.rect, site.house, rule.outside
    low, high = _overhangs(site, wing, rule)
    cells = np.zeros(site.plot, dtype=bool)
    ends = (house.x0 - out, house.x1 + out)
    cells[
        ends[0] : ends[1], r.y0 - (low if low == out else 0) : r.y1 + (high if high == out else 0)
    ] = True
    for court in site.courts:
        west = ends[0] if site.wing("left") is None else court.x0
        east = ends[1] if site.wing("right") is None else court.x1
        if court.y1 == r.y0:
            cells[west:east, r.y0 - low : r.y0] = True
        if court.y0 == r.y1:
            cells[west:east, r.y1 : r.y1 + high] = True
    return half(cells)


def gabled(site: Site, wing: Wing, rule: RoofRule, base: int, *, steep: bool) -> list[Field]:
    """A wing that ends in gables.  A verge reaches out only where no side wing's eaves run on."""
    if wing.axis == "y":
        return [_side(site, wing, rule, base, rule.verge, steep=steep, hip=False)]
    r, house, out = wing.rect, site.house, rule.outside
    low, high = _overhangs(site, wing, rule)
    whole = Rect(house.x0 - out, r.y0 - out, house.x1 + out, r.y1 + out)
    heights = across(wing.span, rule, out, out, steep=steep)
    field = prism(site.plot, whole, heights, "x", base)
    cells = np.zeros(site.plot, dtype=bool)
    cells[house.x0 : house.x1] = True
    middle = (r.y0 + r.y1 - 1) // 2
    for x, name in ((house.x0 - rule.verge, "left"), (house.x1, "right")):
        winged = site.wing(name) is not None  # type: ignore[arg-type]
        south = r.y0 - low if low == out or not winged else middle
        north = r.y1 + high if high == out or not winged else middle + 1
        if north - south > 1:
            cells[x : x + rule.verge, south:north] = True
    shown = half(cells) & _covered(site, wing, rule)
    return [np.where(shown, field, NONE).astype(np.int16)]


def _reach(site: Site, wing: Wing, verge: int) -> tuple[int, int]:
    """How far a side wing's prism runs: to the ridges of the through wings, or past its gable."""
    south, north = wing.rect.y0 - verge, wing.rect.y1 + verge
    for other in site.wings:
        if other.axis == "x":
            middle = (other.rect.y0 + other.rect.y1 - 1) // 2
            if other.rect.y1 == wing.rect.y0:
                south = middle
            if other.rect.y0 == wing.rect.y1:
                north = middle + 1
    return south, north
