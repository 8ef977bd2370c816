"""The prism of each wing: its slopes, its ends, and how far it reaches over walls and other wings."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from genhouse.core.box import Rect
from genhouse.model.roof import HIPPED, RIDGED, RoofForm, WingName
from genhouse.stages._profiles import Pair, continued
from genhouse.stages._slopes import NONE, Field, across, eaves, prism, rising
from genhouse.stages.site import Site, Wing
from genhouse.traditions.loader import Profile, RoofRule

ENDS: tuple[WingName, WingName] = ("left", "right")
"""The side wings at the low and the high end of a through wing."""
GABLET = (1, 3)
"""Courses inside the wall after which the small gable of a hip-and-gable stands, and those that it
should have behind it, to its ridge: on a narrow wing it stands nearer to the wall."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Style:
    """How one wing is roofed.

    exact: heights of the courses, half cells over that above the wall.  courses: the same as laid.
    base: top of the course over the wall, in half cells from the ground of the array.
    """

    form: RoofForm
    profile: Profile
    exact: tuple[Fraction, ...]
    courses: tuple[Pair, ...]
    base: int


Styles = Mapping[Wing, Style]


def gablet(style: Style) -> int:
    """Courses inside the wall after which a small gable stands."""
    inside, behind = GABLET
    return max(0, min(inside, len(style.courses) - 1 - behind))


def wing_field(site: Site, wing: Wing, styles: Styles, rule: RoofRule) -> Field:
    """The roof of one wing: int16 [2 X, 2 Y] in half cells."""
    form = styles[wing].form
    if form == "flat":
        return _flat(site, wing, styles, rule)
    if form == "lean-to":
        return _lean_to(site, wing, styles, rule)
    if wing.axis == "x":
        field = _through(site, wing, styles, rule)
        _stop_at_lean_tos(field, site, styles, rule)
    else:
        field = _side(site, wing, styles, rule)
        _stop_at_gables(field, site, wing, styles)
    return field


def hipped_ends(site: Site, wing: Wing, styles: Styles) -> tuple[bool, bool]:
    """Whether a wing's ridged roof slopes at its low and its high end.

    A cross wing has no gables where side wings pass it: their slopes run on over its ends.
    """
    form = styles[wing].form
    if form not in RIDGED:
        return False, False
    if wing.axis == "y":
        return form in HIPPED and wing.rect.y0 == site.house.y0, False
    sides = (_beside(site, name, styles) for name in ENDS)
    low, high = (
        form in HIPPED or (wing.name == "cross" and side is not None and side.form in RIDGED)
        for side in sides
    )
    return low, high


def _beside(site: Site, name: WingName, styles: Styles) -> Style | None:
    """How the side wings of this name are roofed, where there are any."""
    wing = site.wing(name)
    return None if wing is None else styles[wing]


def outer_sides(site: Site, wing: Wing) -> tuple[bool, bool]:
    """Whether the low and the high side of a wing, across, is an outer wall."""
    r, house = wing.rect, site.house
    return (
        (r.x0 == house.x0, r.x1 == house.x1)
        if wing.axis == "y"
        else (r.y0 == house.y0, r.y1 == house.y1)
    )


def overhangs(site: Site, wing: Wing, rule: RoofRule) -> tuple[int, int]:
    """Courses beyond the wall lines, across the wing, on the low and the high side."""
    low, high = (rule.outside if outer else rule.court for outer in outer_sides(site, wing))
    return low, high


def _heights(site: Site, wing: Wing, style: Style, rule: RoofRule) -> Field:
    low, high = overhangs(site, wing, rule)
    return across(eaves(low, rule.gentle), style.courses, eaves(high, rule.gentle))


def _sloped(
    style: Style,
    length: int,
    rule: RoofRule,
    beside: Style | None = None,
    *,
    gabled: bool = True,
) -> Field:
    """Heights along a wing from an end that slopes.

    beside: the side wing that stands there; its outer slope and this end are one plane.  gabled:
    whether a small gable may stand on it.
    """
    slope = style.courses
    if beside is not None and beside.form in RIDGED and beside.base == style.base:
        slope = continued(beside.exact, style.exact[-1])
    stands = gabled and style.form == "hip-and-gable"
    upright = rule.outside + 1 + gablet(style) if stands else None
    return rising(length, eaves(rule.outside, rule.gentle) + slope, upright)


def _side(site: Site, wing: Wing, styles: Styles, rule: RoofRule) -> Field:
    """A side wing's roof: it runs on to the ridges of the through wings, or past its free end."""
    r, style = wing.rect, styles[wing]
    low, high = overhangs(site, wing, rule)
    south, north = _reach(site, wing, styles, rule.verge if style.form == "gable" else rule.outside)
    free, _ = hipped_ends(site, wing, styles)
    ends = (_sloped(style, north - south, rule) if free else None, None)
    whole = Rect(r.x0 - low, south, r.x1 + high, north)
    heights = _heights(site, wing, style, rule)
    return prism(site.plot, whole, heights, "y", style.base, ends)


def _stop_at_gables(field: Field, site: Site, wing: Wing, styles: Styles) -> None:
    """A side wing's outer eaves end where a through wing's gable stands over the same wall."""
    r, east = wing.rect, wing.rect.x0 > site.house.x0
    outer = field[2 * r.x1 :] if east else field[: 2 * r.x0]
    for other in (w for w in site.wings if w.axis == "x" and styles[w].form == "gable"):
        if not hipped_ends(site, other, styles)[east]:
            if other.rect.y1 == r.y0:
                outer[:, : 2 * other.rect.y1] = NONE
            if other.rect.y0 == r.y1:
                outer[:, 2 * other.rect.y0 :] = NONE


def _stop_at_lean_tos(field: Field, site: Site, styles: Styles, rule: RoofRule) -> None:
    """A through wing has no eaves along an outer wall that rises on to a lean-to's high side."""
    for side in (w for w in site.wings if w.axis == "y" and styles[w].form == "lean-to"):
        r, house = side.rect, site.house
        outer = field[: 2 * house.x0] if r.x0 == house.x0 else field[2 * house.x1 :]
        south, north = _reach(site, side, styles, rule.verge)
        outer[:, 2 * south : 2 * north] = NONE


def _through(site: Site, wing: Wing, styles: Styles, rule: RoofRule) -> Field:
    """A through wing's roof from end to end of the house: hips fall to one level eaves line all round,
    gables have their verges."""
    house, style = site.house, styles[wing]
    low, high = overhangs(site, wing, rule)
    hips = hipped_ends(site, wing, styles)
    west, east = (rule.outside if hip else rule.verge for hip in hips)
    whole = Rect(house.x0 - west, wing.rect.y0 - low, house.x1 + east, wing.rect.y1 + high)
    beside = [_beside(site, name, styles) for name in ENDS]
    ends = [
        _sloped(style, whole.width, rule, side, gabled=wing.name != "cross" or side is None)
        if hip
        else None
        for hip, side in zip(hips, beside, strict=True)
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
        ends = [rule.verge if _leaning(site, name, styles, free=True) else 0 for name in ENDS]
        whole = Rect(site.house.x0 - ends[0], r.y0 - before, site.house.x1 + ends[1], r.y1 + after)
    else:
        south, north = _reach(site, wing, styles, rule.verge)
        whole = Rect(r.x0 - before, south, r.x1 + after, north)
    return prism(site.plot, whole, heights[::-1] if low else heights, wing.axis, style.base)


def _leaning(site: Site, name: WingName, styles: Styles, *, free: bool) -> bool:
    """Whether a wing is a lean-to; ``free`` where there is none of that name."""
    style = _beside(site, name, styles)
    return free if style is None else style.form == "lean-to"


def _flat(site: Site, wing: Wing, styles: Styles, rule: RoofRule) -> Field:
    """A level deck, with one course of eaves to each court."""
    r, base = wing.rect, styles[wing].base
    field = np.full((2 * site.plot[0], 2 * site.plot[1]), NONE, dtype=np.int16)
    for court in site.courts:
        reach = court.grown(1).meet(r).area and court.meet(_spread(wing, rule.court))
        if reach:
            field[2 * reach.x0 : 2 * reach.x1, 2 * reach.y0 : 2 * reach.y1] = base - rule.gentle
    field[2 * r.x0 : 2 * r.x1, 2 * r.y0 : 2 * r.y1] = base
    return field


def _spread(wing: Wing, n: int) -> Rect:
    """A wing, wider across."""
    r = wing.rect
    if wing.axis == "x":
        return Rect(r.x0, r.y0 - n, r.x1, r.y1 + n)
    return Rect(r.x0 - n, r.y0, r.x1 + n, r.y1)


def _reach(site: Site, wing: Wing, styles: Styles, beyond: int) -> tuple[int, int]:
    """How far a side wing's prism runs, south and north, into the roofs of the through wings.

    To a ridge in the middle; against a flat roof to its wall; under a lean-to to the outer wall, and
    past it where this wing leans too, so that both fall to the court.  beyond: cells past a free end.
    """
    r, house = wing.rect, site.house
    south, north = r.y0 - beyond, r.y1 + beyond
    both = styles[wing].form == "lean-to"
    for other in (w for w in site.wings if w.axis == "x"):
        form, o = styles[other].form, other.rect
        if o.y1 == r.y0:
            over = beyond if both and o.y0 == house.y0 else 0
            south = {"flat": o.y1 - 1, "lean-to": o.y0 - over}.get(form, other.middle)
        if o.y0 == r.y1:
            over = beyond if both and o.y1 == house.y1 else 0
            north = {"flat": o.y0 + 1, "lean-to": o.y1 + over}.get(form, other.middle + 1)
    return south, north
