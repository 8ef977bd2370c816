"""The prism of each wing: its slopes, its ends, and how far it reaches over walls and other wings."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

import numpy as np
import numpy.typing as npt

from genhouse.core.axes import Side
from genhouse.core.box import Rect
from genhouse.model.roof import RoofForm, WingName
from genhouse.stages._profiles import Pair
from genhouse.stages._slopes import NONE, Field, across, eaves, half, prism, rising
from genhouse.stages._wings import Wing
from genhouse.stages.site import Site
from genhouse.traditions.loader import Profile, RoofRule

ENDS: tuple[Side, Side] = ("south", "north")
"""The two ends of a side wing."""
GABLET = 1
"""Courses inside the wall after which the small gable of a hip-and-gable stands."""


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


def wing_field(site: Site, wing: Wing, styles: Styles, rule: RoofRule) -> Field:
    """The roof of one wing: int16 [2 X, 2 Y] in half cells."""
    form = styles[wing].form
    if form == "flat":
        return _flat(site, wing, styles, rule)
    if form == "lean-to":
        return _lean_to(site, wing, styles, rule)
    if wing.axis == "y":
        return _side(site, wing, styles, rule)
    return (
        _gabled(site, wing, styles, rule) if form == "gable" else _hipped(site, wing, styles, rule)
    )


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


def _sloped(style: Style, length: int, rule: RoofRule, over: int) -> Field:
    """Heights along a wing from a free end that slopes, from so many courses of eaves on."""
    courses = eaves(over, rule.gentle) + style.courses
    upright = over + 1 + GABLET if style.form == "hip-and-gable" else None
    return rising(length, courses, upright)


def _side(site: Site, wing: Wing, styles: Styles, rule: RoofRule) -> Field:
    """A side wing's roof: it runs on to the ridges of the through wings, or past its free end."""
    r, style = wing.rect, styles[wing]
    low, high = overhangs(site, wing, rule)
    hip = style.form != "gable"
    south, north = _reach(site, wing, styles, rule, rule.outside if hip else rule.verge)
    ends = [
        _sloped(style, north - south, rule, over) if hip and over is not None else None
        for over in (_free(site, wing, end, rule) for end in ENDS)
    ]
    whole = Rect(r.x0 - low, south, r.x1 + high, north)
    heights = _heights(site, wing, style, rule)
    field = prism(site.plot, whole, heights, "y", style.base, (ends[0], ends[1]))
    return _trimmed(site, wing, field, rule)


def _past(site: Site, wing: Wing, end: Side) -> Wing | None:
    """The through wing past an end of a side wing, where there is one."""
    r = wing.rect
    return next(
        (
            w
            for w in site.wings
            if w.axis == "x" and (w.rect.y1 == r.y0 if end == "south" else w.rect.y0 == r.y1)
        ),
        None,
    )


def _free(site: Site, wing: Wing, end: Side, rule: RoofRule) -> int | None:
    """Courses of eaves past an end of a side wing that no wing as high as it joins; None where one does.

    Past a wall on which a lower roof leans there are none, nor beside a terrace of the same height; over a
    terrace a storey lower as many as over a court, for one walks below.
    """
    other = _past(site, wing, end)
    if other is None:
        return rule.outside
    return _eaves_over(wing, other, rule) if wing.over(other) else None


def _eaves_over(wing: Wing, other: Wing, rule: RoofRule) -> int:
    """Courses of eaves past the end of a side wing over one that stands lower."""
    return rule.court if other.terrace and wing.storeys > other.storeys else 0


def free_ends(site: Site, wing: Wing, rule: RoofRule) -> int:
    """How many ends of a side wing no wing as high joins."""
    return sum(_free(site, wing, end, rule) is not None for end in ENDS)


def _trimmed(site: Site, wing: Wing, field: Field, rule: RoofRule) -> Field:
    """A side wing's roof without eaves that would run on along the outer wall of a higher wing, or over
    the roof of a lower one.
    """
    r, house = wing.rect, site.house
    for end, rows in zip(ENDS, (slice(0, 2 * r.y0), slice(2 * r.y1, None)), strict=True):
        other = _past(site, wing, end)
        if other is not None and other.over(wing):
            field[: 2 * house.x0, rows] = field[2 * house.x1 :, rows] = NONE
        elif other is not None and wing.over(other) and not _eaves_over(wing, other, rule):
            field[: 2 * r.x0, rows] = field[2 * r.x1 :, rows] = NONE
    return field


def _through(site: Site, wing: Wing, rule: RoofRule) -> Rect:
    """The ground of a through wing with its overhangs."""
    low, high = overhangs(site, wing, rule)
    out, house = rule.outside, site.house
    return Rect(house.x0 - out, wing.rect.y0 - low, house.x1 + out, wing.rect.y1 + high)


def _hipped(site: Site, wing: Wing, styles: Styles, rule: RoofRule) -> Field:
    """A through wing whose roof falls to all outer sides, with one level eaves line."""
    style, whole = styles[wing], _through(site, wing, rule)
    end = _sloped(style, whole.width, rule, rule.outside)
    heights = _heights(site, wing, style, rule)
    field = prism(site.plot, whole, heights, "x", style.base, (end, end))
    return np.where(_covered(site, wing, rule), field, NONE).astype(np.int16)


def _covered(site: Site, wing: Wing, rule: RoofRule) -> npt.NDArray[np.bool_]:
    """Half cells over a through wing and its overhangs; toward a side wing it has none."""
    r, house, out = wing.rect, site.house, rule.outside
    low, high = overhangs(site, wing, rule)
    cells = np.zeros(site.plot, dtype=bool)
    ends = (house.x0 - out, house.x1 + out)
    cells[
        ends[0] : ends[1], r.y0 - (low if low == out else 0) : r.y1 + (high if high == out else 0)
    ] = True
    for court in site.courts:
        west = court.x0 if _roofed(site, "left") else ends[0]
        east = court.x1 if _roofed(site, "right") else ends[1]
        if court.y1 == r.y0:
            cells[west:east, r.y0 - low : r.y0] = True
        if court.y0 == r.y1:
            cells[west:east, r.y1 : r.y1 + high] = True
    return half(cells)


def _roofed(site: Site, name: WingName) -> Wing | None:
    """A side wing, where there is one with a roof."""
    wing = site.wing(name)
    return None if wing is None or wing.terrace else wing


def _gabled(site: Site, wing: Wing, styles: Styles, rule: RoofRule) -> Field:
    """A through wing that ends in gables."""
    style = styles[wing]
    heights = _heights(site, wing, style, rule)
    field = prism(site.plot, _through(site, wing, rule), heights, "x", style.base)
    shown = half(_upright_ends(site, wing, rule)) & _covered(site, wing, rule)
    return np.where(shown, field, NONE).astype(np.int16)


def _upright_ends(site: Site, wing: Wing, rule: RoofRule) -> npt.NDArray[np.bool_]:
    """A through wing and its verges, which reach out only where no side wing's eaves run on."""
    r, house, out = wing.rect, site.house, rule.outside
    low, high = overhangs(site, wing, rule)
    cells = np.zeros(site.plot, dtype=bool)
    cells[house.x0 : house.x1] = True
    sides: tuple[tuple[int, WingName], ...] = (
        (house.x0 - rule.verge, "left"),
        (house.x1, "right"),
    )
    for x, name in sides:
        side = site.wing(name)
        winged = side is not None and not wing.over(side)
        south = r.y0 - low if low == out or not winged else wing.middle
        north = r.y1 + high if high == out or not winged else wing.middle + 1
        if north - south > 1:
            cells[x : x + rule.verge, south:north] = True
    return cells


def _lean_to(site: Site, wing: Wing, styles: Styles, rule: RoofRule) -> Field:
    """One slope from the outer wall down to the court, level over the verge outside."""
    r, style = wing.rect, styles[wing]
    top = style.courses[-1][1]
    slope = [h for p in (*eaves(rule.court, rule.gentle), *style.courses) for h in p]
    heights = np.array(slope + [top] * (2 * rule.verge), dtype=np.int16)
    low, _ = outer_sides(site, wing)
    before, after = (rule.verge, rule.court) if low else (rule.court, rule.verge)
    if wing.axis == "x":
        ends = [
            rule.verge if _leaning(site, name, styles, free=True) else 0
            for name in ("left", "right")
        ]
        whole = Rect(site.house.x0 - ends[0], r.y0 - before, site.house.x1 + ends[1], r.y1 + after)
    else:
        south, north = _reach(site, wing, styles, rule, rule.verge)
        whole = Rect(r.x0 - before, south, r.x1 + after, north)
    field = prism(site.plot, whole, heights[::-1] if low else heights, wing.axis, style.base)
    if wing.axis == "y":
        return _trimmed(site, wing, field, rule)
    return np.where(_covered(site, wing, rule), field, NONE).astype(np.int16)


def _leaning(site: Site, name: str, styles: Styles, *, free: bool) -> bool:
    """Whether a wing is a lean-to; ``free`` where there is none of that name."""
    wing = site.wing(name)  # type: ignore[arg-type]
    return free if wing is None else styles[wing].form == "lean-to"


def _flat(site: Site, wing: Wing, styles: Styles, rule: RoofRule) -> Field:
    """A level deck, with one course of eaves to each court."""
    r, base = _walled(site, wing), styles[wing].base
    field = np.full((2 * site.plot[0], 2 * site.plot[1]), NONE, dtype=np.int16)
    for court in site.courts:
        reach = court.grown(1).meet(r).area and court.meet(_spread(wing, rule.court))
        if reach:
            field[2 * reach.x0 : 2 * reach.x1, 2 * reach.y0 : 2 * reach.y1] = base - rule.gentle
    field[2 * r.x0 : 2 * r.x1, 2 * r.y0 : 2 * r.y1] = base
    return field


def _walled(site: Site, wing: Wing) -> Rect:
    """The ground of a wing with the walls at its ends that stand over lower through wings."""
    r = wing.rect
    if wing.axis == "x":
        return r
    south, north = (_past(site, wing, end) for end in ENDS)
    low = south is not None and wing.over(south)
    high = north is not None and wing.over(north)
    return Rect(r.x0, r.y0 - low, r.x1, r.y1 + high)


def _spread(wing: Wing, n: int) -> Rect:
    """A wing, wider across."""
    r = wing.rect
    if wing.axis == "x":
        return Rect(r.x0, r.y0 - n, r.x1, r.y1 + n)
    return Rect(r.x0 - n, r.y0, r.x1 + n, r.y1)


def _reach(site: Site, wing: Wing, styles: Styles, rule: RoofRule, beyond: int) -> tuple[int, int]:
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
            past = 1 + _eaves_over(wing, other, rule)
            south = r.y0 - past if o.y1 == r.y0 else south
            north = r.y1 + past if o.y0 == r.y1 else north
            continue
        if o.y1 == r.y0:
            over = beyond if both and o.y0 == house.y0 else 0
            south = {"flat": o.y1 - 1, "lean-to": o.y0 - over}.get(form, other.middle)
        if o.y0 == r.y1:
            over = beyond if both and o.y1 == house.y1 else 0
            north = {"flat": o.y0 + 1, "lean-to": o.y1 + over}.get(form, other.middle + 1)
    return south, north
