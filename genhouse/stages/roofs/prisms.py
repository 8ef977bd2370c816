"""The prism of each wing: its slopes, its ends, and how far it reaches over walls and other wings."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from genhouse.core.box import Rect
from genhouse.model.roof import RIDGED
from genhouse.stages._wings import Wing
from genhouse.stages.roofs.ends import (
    ENDS,
    SIDES,
    Style,
    Styles,
    beside,
    eaves_over,
    eaves_past,
    hipped_ends,
    leaning,
    outer_sides,
    overhangs,
    past,
    reach,
    walled,
)
from genhouse.stages.roofs.profiles import continued
from genhouse.stages.roofs.slopes import NONE, Field, across, eaves, prism, rising
from genhouse.stages.site import Site
from genhouse.traditions.loader import RoofRule

GABLET = (1, 3)
"""Courses inside the wall after which the small gable of a hip-and-gable stands, and those that it
should have behind it, to its ridge: on a narrow wing it stands nearer to the wall."""


def gablet(style: Style) -> int:
    """Courses inside the wall after which a small gable stands."""
    inside, behind = GABLET
    return max(0, min(inside, len(style.courses) - 1 - behind))


def wing_field(site: Site, wing: Wing, styles: Styles, rule: RoofRule) -> Field:
    """The roof of one wing: int16 [2 X, 2 Y] in half cells."""
    form = styles[wing].form
    if form == "flat":
        return _flat(site, wing, styles, rule)
    shape = _lean_to if form == "lean-to" else _through if wing.axis == "x" else _side
    field = shape(site, wing, styles, rule)
    for x0, y0, x1, y1 in _without_eaves(site, wing, styles, rule):
        field[2 * x0 : 2 * x1, 2 * y0 : 2 * y1] = NONE
    return field


def _without_eaves(site: Site, wing: Wing, styles: Styles, rule: RoofRule) -> Iterator[Rect]:
    """The ground beside a sloping roof over which it has no eaves."""
    ridged = styles[wing].form in RIDGED
    if wing.axis == "x":
        yield from _over_lower(site, wing)
        if ridged:
            yield from _along_lean_tos(site, wing, styles, rule)
    else:
        yield from _past_ends(site, wing, rule)
        if ridged:
            yield from _under_gables(site, wing, styles)


def _past_ends(site: Site, wing: Wing, rule: RoofRule) -> Iterator[Rect]:
    """A side wing's roof would run on along the outer wall of a higher wing, or over the roof of a lower
    one."""
    r, house, (wide, deep) = wing.rect, site.house, site.plot
    for end, y0, y1 in zip(ENDS, (0, r.y1), (r.y0, deep), strict=True):
        other = past(site, wing, end)
        if other is not None and other.over(wing):
            yield Rect(0, y0, house.x0, y1)
            yield Rect(house.x1, y0, wide, y1)
        elif other is not None and wing.over(other) and not eaves_over(wing, other, rule):
            yield Rect(0, y0, r.x0, y1)
            yield Rect(r.x1, y0, wide, y1)


def _under_gables(site: Site, wing: Wing, styles: Styles) -> Iterator[Rect]:
    """A side wing's outer eaves end where a through wing's gable stands over the same wall."""
    r, (wide, deep) = wing.rect, site.plot
    east = r.x0 > site.house.x0
    x0, x1 = (r.x1, wide) if east else (0, r.x0)
    for other in (w for w in site.wings if w.axis == "x" and styles[w].form == "gable"):
        if not hipped_ends(site, other, styles)[east]:
            if other.rect.y1 == r.y0:
                yield Rect(x0, 0, x1, r.y0)
            if other.rect.y0 == r.y1:
                yield Rect(x0, r.y1, x1, deep)


def _along_lean_tos(site: Site, wing: Wing, styles: Styles, rule: RoofRule) -> Iterator[Rect]:
    """A through wing has none along an outer wall that rises on to a lean-to's high side."""
    house = site.house
    leaning = (w for w in site.wings if w.axis == "y" and styles[w].form == "lean-to")
    for side in (w for w in leaning if not wing.over(w)):
        x0, x1 = (0, house.x0) if side.rect.x0 == house.x0 else (house.x1, site.plot[0])
        south, north = reach(site, side, styles, rule, rule.verge)
        yield Rect(x0, south, x1, north)


def _over_lower(site: Site, wing: Wing) -> Iterator[Rect]:
    """A through wing has none over the roof of a lower side wing, which leans on its wall."""
    r = wing.rect
    for side in (w for w in site.wings if w.axis == "y" and wing.over(w) and not w.terrace):
        if side.rect.y1 == r.y0:
            yield Rect(side.rect.x0, 0, side.rect.x1, r.y0)
        if side.rect.y0 == r.y1:
            yield Rect(side.rect.x0, r.y1, side.rect.x1, site.plot[1])


def _heights(site: Site, wing: Wing, style: Style, rule: RoofRule) -> Field:
    low, high = overhangs(site, wing, rule)
    return across(eaves(low, rule.gentle), style.courses, eaves(high, rule.gentle))


def _sloped(
    style: Style,
    length: int,
    rule: RoofRule,
    over: int,
    beside: Style | None = None,
    *,
    gabled: bool = True,
) -> Field:
    """Heights along a wing from an end that slopes, from so many courses of eaves on.

    beside: the side wing that stands there; its outer slope and this end are one plane.  gabled:
    whether a small gable may stand on it.
    """
    slope = style.courses
    one = beside is not None and beside.form in RIDGED and beside.base == style.base
    if beside is not None and one and beside.exact != style.exact:
        slope = continued(beside.exact, style.exact[-1])
    stands = gabled and style.form == "hip-and-gable"
    upright = over + 1 + gablet(style) if stands else None
    return rising(length, eaves(over, rule.gentle) + slope, upright)


def _side(site: Site, wing: Wing, styles: Styles, rule: RoofRule) -> Field:
    """A side wing's roof: it runs on to the ridges of the through wings, or past its free end."""
    r, style = wing.rect, styles[wing]
    low, high = overhangs(site, wing, rule)
    over = rule.verge if style.form == "gable" else rule.outside
    south, north = reach(site, wing, styles, rule, over)
    ends = [
        _sloped(style, north - south, rule, eaves_past(site, wing, end, rule)) if hip else None
        for hip, end in zip(hipped_ends(site, wing, styles), ENDS, strict=True)
    ]
    whole = Rect(r.x0 - low, south, r.x1 + high, north)
    heights = _heights(site, wing, style, rule)
    return prism(site.plot, whole, heights, "y", style.base, (ends[0], ends[1]))


def _through(site: Site, wing: Wing, styles: Styles, rule: RoofRule) -> Field:
    """A through wing's roof from end to end of the house: hips fall to one level eaves line all round,
    gables have their verges."""
    house, style = site.house, styles[wing]
    low, high = overhangs(site, wing, rule)
    hips = hipped_ends(site, wing, styles)
    west, east = (rule.outside if hip else rule.verge for hip in hips)
    whole = Rect(house.x0 - west, wing.rect.y0 - low, house.x1 + east, wing.rect.y1 + high)
    sides = [beside(site, wing, name, styles) for name in SIDES]
    ends = [
        _sloped(
            style,
            whole.width,
            rule,
            rule.outside,
            side,
            gabled=wing.name != "cross" or side is None,
        )
        if hip
        else None
        for hip, side in zip(hips, sides, strict=True)
    ]
    heights = _heights(site, wing, style, rule)
    return prism(site.plot, whole, heights, "x", style.base, (ends[0], ends[1]))


def _lean_to(site: Site, wing: Wing, styles: Styles, rule: RoofRule) -> Field:
    """One slope from the outer wall down to the court, level over the verge outside."""
    r, style = wing.rect, styles[wing]
    top = style.courses[-1][1]
    slope = [h for p in (*eaves(rule.court, rule.gentle), *style.courses) for h in p]
    heights = np.array(slope + [top] * (2 * rule.verge), dtype=np.int16)
    low, _ = outer_sides(site, wing)
    before, after = (rule.verge, rule.court) if low else (rule.court, rule.verge)
    if wing.axis == "x":
        ends = [rule.verge if leaning(site, wing, name, styles) else 0 for name in SIDES]
        whole = Rect(site.house.x0 - ends[0], r.y0 - before, site.house.x1 + ends[1], r.y1 + after)
    else:
        south, north = reach(site, wing, styles, rule, rule.verge)
        whole = Rect(r.x0 - before, south, r.x1 + after, north)
    return prism(site.plot, whole, heights[::-1] if low else heights, wing.axis, style.base)


def _flat(site: Site, wing: Wing, styles: Styles, rule: RoofRule) -> Field:
    """A level deck, with one course of eaves to each court."""
    r, base = walled(site, wing), styles[wing].base
    field = np.full((2 * site.plot[0], 2 * site.plot[1]), NONE, dtype=np.int16)
    for court in site.courts:
        edge = court.grown(1).meet(r).area and court.meet(_spread(wing, rule.court))
        if edge:
            field[2 * edge.x0 : 2 * edge.x1, 2 * edge.y0 : 2 * edge.y1] = base - rule.gentle
    field[2 * r.x0 : 2 * r.x1, 2 * r.y0 : 2 * r.y1] = base
    return field


def _spread(wing: Wing, n: int) -> Rect:
    """A wing, wider across."""
    r = wing.rect
    if wing.axis == "x":
        return Rect(r.x0, r.y0 - n, r.x1, r.y1 + n)
    return Rect(r.x0 - n, r.y0, r.x1 + n, r.y1)
