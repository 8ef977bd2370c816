"""How each wing's roof begins and ends: which of its sides are outside, and what it meets at its ends."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from genhouse.core.axes import Side
from genhouse.core.box import Rect
from genhouse.model.roof import HIPPED, RIDGED, RoofForm, WingName
from genhouse.stages._wings import Wing
from genhouse.stages.roofs.profiles import Pair
from genhouse.stages.site import Site
from genhouse.traditions.loader import Profile, RoofRule

SIDES: tuple[WingName, WingName] = ("left", "right")
"""The side wings at the low and the high end of a through wing."""
ENDS: tuple[Side, Side] = ("south", "north")
"""The two ends of a side wing."""


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
    low, high = outer_sides(site, wing)
    return rule.outside if low else rule.court, rule.outside if high else rule.court


def hipped_ends(site: Site, wing: Wing, styles: Styles) -> tuple[bool, bool]:
    """Whether a wing's ridged roof slopes at its low and its high end.

    A cross wing has no gables where side wings pass it: their slopes run on over its ends.
    """
    form = styles[wing].form
    hipped = form in HIPPED
    if wing.axis == "y":
        south, north = (hipped and not joined(site, wing, end) for end in ENDS)
        return south, north
    if hipped or form not in RIDGED or wing.name != "cross":
        return hipped, hipped
    sides = (beside(site, wing, name, styles) for name in SIDES)
    low, high = (side is not None and side.form in RIDGED for side in sides)
    return low, high


def beside(site: Site, wing: Wing, name: WingName, styles: Styles) -> Style | None:
    """How the side wings of this name are roofed, where there are any as high as a through wing."""
    side = site.wing(name)
    return None if side is None or wing.over(side) else styles[side]


def past(site: Site, wing: Wing, end: Side) -> Wing | None:
    """The through wing past an end of a side wing, where there is one."""
    r = wing.rect
    for other in site.wings:
        o = other.rect
        if other.axis == "x" and (o.y1 == r.y0 if end == "south" else r.y1 == o.y0):
            return other
    return None


def joined(site: Site, wing: Wing, end: Side) -> bool:
    """Whether a through wing as high as a side wing joins this end of it."""
    other = past(site, wing, end)
    return other is not None and not wing.over(other)


def eaves_past(site: Site, wing: Wing, end: Side, rule: RoofRule) -> int:
    """Courses of eaves past an end of a side wing that no wing as high joins.

    Past a wall on which a lower roof leans there are none, nor beside a terrace of the same height; over a
    terrace a storey lower as many as over a court, for one walks below.
    """
    other = past(site, wing, end)
    return rule.outside if other is None else eaves_over(wing, other, rule)


def eaves_over(wing: Wing, other: Wing, rule: RoofRule) -> int:
    """Courses of eaves past the end of a side wing over one that stands lower."""
    return rule.court if other.terrace and wing.storeys > other.storeys else 0


def leaning(site: Site, wing: Wing, name: WingName, styles: Styles) -> bool:
    """Whether the side wings of this name are lean-tos, or there are none as high."""
    style = beside(site, wing, name, styles)
    return style is None or style.form == "lean-to"


def reach(site: Site, wing: Wing, styles: Styles, rule: RoofRule, beyond: int) -> tuple[int, int]:
    """How far a side wing's prism runs, south and north, into the roofs of the through wings.

    To a ridge in the middle; against a flat roof to its wall; under a lean-to to the outer wall, and
    past it where this wing leans too, so that both fall to the court.  beyond: cells past a free end.
    """
    r, house = wing.rect, site.house
    south, north = r.y0 - beyond, r.y1 + beyond
    both = styles[wing].form == "lean-to"
    for other in (w for w in site.wings if w.axis == "x"):
        form, o = styles[other].form, other.rect
        if wing.over(other):
            over = 1 + eaves_over(wing, other, rule)
            south = r.y0 - over if o.y1 == r.y0 else south
            north = r.y1 + over if o.y0 == r.y1 else north
            continue
        if o.y1 == r.y0:
            over = beyond if both and o.y0 == house.y0 else 0
            south = {"flat": o.y1 - 1, "lean-to": o.y0 - over}.get(form, other.middle)
        if o.y0 == r.y1:
            over = beyond if both and o.y1 == house.y1 else 0
            north = {"flat": o.y0 + 1, "lean-to": o.y1 + over}.get(form, other.middle + 1)
    return south, north


def walled(site: Site, wing: Wing) -> Rect:
    """The ground of a wing with the walls at its ends that stand over lower through wings."""
    r = wing.rect
    if wing.axis == "x":
        return r
    south, north = (past(site, wing, end) for end in ENDS)
    low = south is not None and wing.over(south)
    high = north is not None and wing.over(north)
    return Rect(r.x0, r.y0 - low, r.x1, r.y1 + high)
