"""Members: the timbers of a house by kind and length, and the rafters and surfaces of its roof.

Timbers are counted from the parts.  Rafters follow from the covers: a common rafter's length is its
run times sqrt(1 + p2), a hip's or valley's sqrt(2 + p2), where p is the pitch of each course it crosses;
a slope's area is its plan times sqrt(1 + p2), which is plan area over cos(pitch).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from fractions import Fraction
from math import sqrt

from msgspec import Struct

from genhouse.model.design import Design
from genhouse.model.part import ROOF_COVER
from genhouse.model.roof import RIDGED, Cover
from genhouse.outputs.setting_out import house_rect

TIMBERS = (
    "sill", "post", "tie", "plate", "roof-post", "collar", "purlin", "ridge-beam", "brace",
)  # fmt: skip
DECIMALS = 2


class Member(Struct, frozen=True):
    """So many members of one kind and length in cells; of a surface, its area in square cells."""

    member: str
    length: float
    count: int


def members(design: Design) -> tuple[Member, ...]:
    """Every timber, rafter and slope, in the order in which they are raised."""
    return (*_timbers(design), *_rafters(design), *_slopes(design))


def rafter(rises: tuple[Fraction, ...], corner: bool) -> float:
    """Length over courses of one cell each, from their rises in cells; corner: of a hip or valley."""
    return sum(sqrt((2 if corner else 1) + float(rise) ** 2) for rise in rises)


def _timbers(design: Design) -> Iterator[Member]:
    counts: Counter[tuple[int, int]] = Counter()
    for part in design.parts:
        if part.role in TIMBERS:
            x0, y0, z0, x1, y1, z1 = part.box
            counts[TIMBERS.index(part.role), max(x1 - x0, y1 - y0, z1 - z0)] += 1
    for (kind, length), count in sorted(counts.items()):
        yield Member(TIMBERS[kind].replace("-", " "), float(length), count)


def rises(cover: Cover, courses: int) -> tuple[Fraction, ...]:
    """Rise of each course of a slope in cells, eaves to ridge.  courses: beyond the wall."""
    steps = zip(cover.courses[1:], cover.courses, strict=False)
    return (Fraction(cover.gentle, 2),) * courses + tuple((high - low) / 2 for high, low in steps)


def _rafters(design: Design) -> Iterator[Member]:
    """A pair of rafters at each cell along a ridge, a hip at each sloping corner, a valley at each corner
    of a court where two slopes meet; shorter jack rafters are counted as the common ones they are cut from.
    """
    counts: Counter[tuple[int, str, float]] = Counter()
    for cover in design.covers:
        if cover.form == "flat":
            continue
        low, high = cover.eaves
        sides = (low, high) if cover.form in RIDGED else (min(cover.eaves),)
        for over in sides:
            length = round(rafter(rises(cover, over), corner=False), DECIMALS)
            counts[0, "common rafter", length] += cover.length
        if cover.hips:
            hip = round(rafter(rises(cover, max(cover.eaves)), corner=True), DECIMALS)
            counts[1, "hip rafter", hip] += _hips(cover, design)
    for cover, over in _valleys(design):
        valley = round(rafter(rises(cover, over), corner=True), DECIMALS)
        counts[2, "valley rafter", valley] += 1
    for (_, name, length), count in sorted(counts.items()):
        yield Member(name, length, count)


def _hips(cover: Cover, design: Design) -> int:
    """Two at a sloping end, but one where a wing joins that end at a corner of the house."""
    joined = sum(
        other.axis != cover.axis
        and other.rect.grown(1).meet(cover.rect).area > 0
        and other.storeys == cover.storeys
        for other in design.covers
    )
    return max(cover.hips, 2 * cover.hips - joined) if cover.hips == 2 else 2 * cover.hips


def _valleys(design: Design) -> Iterator[tuple[Cover, int]]:
    """At each corner of a court, the lower of the two roofs that meet, and its overhang there."""
    pitched = [c for c in design.covers if c.form != "flat"]
    for court in design.courts:
        corners = [(x, y) for x in (court.x0 - 1, court.x1) for y in (court.y0 - 1, court.y1)]
        for x, y in corners:
            meeting = [c for c in pitched if c.rect.grown(1).has(x, y)]
            if {c.axis for c in meeting} == {"x", "y"} and len({c.storeys for c in meeting}) == 1:
                yield min(meeting, key=lambda c: (c.courses[-1], c.wing)), min(meeting[0].eaves)


def _slopes(design: Design) -> Iterator[Member]:
    """Area of the slopes over the wings, wall to wall, by form and pitch; the overhangs' on their own."""
    areas: dict[str, float] = {}
    for cover in design.covers:
        name = f"roof over the {cover.wing} wing"
        if cover.form == "flat":
            factor = 1.0
        else:
            run = rises(cover, 0)
            factor = rafter(run, corner=False) / len(run)
        areas[name] = areas.get(name, 0.0) + cover.rect.area * factor
    for name, area in areas.items():
        yield Member(name, round(area, DECIMALS), 1)
    fall = (Fraction(design.covers[0].gentle, 2),)
    eaves = _overhang(design) * rafter(fall, corner=False)
    yield Member("overhanging eaves", round(eaves, DECIMALS), 1)


def _overhang(design: Design) -> int:
    """Cells of plan that the roof covers beyond the walls."""
    cells = {c for p in design.parts if p.role in ROOF_COVER for c in p.box.rect.cells()}
    house = house_rect(design)
    inside = {c for r in design.wings for c in r.cells()}
    return len([c for c in cells - inside if house.grown(2).has(*c)])
