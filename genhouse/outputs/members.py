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

from genhouse.core.axes import ALONG
from genhouse.model.design import Design
from genhouse.model.roof import RIDGED, Cover
from genhouse.outputs.setting_out import house_rect

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
    roles = design.palette.having("members")
    for part in design.parts:
        if part.role in roles:
            x0, y0, z0, x1, y1, z1 = part.box
            counts[roles.index(part.role), max(x1 - x0, y1 - y0, z1 - z0)] += 1
    for (kind, length), count in sorted(counts.items()):
        yield Member(roles[kind].replace("-", " "), float(length), count)


def rises(cover: Cover, courses: int) -> tuple[Fraction, ...]:
    """Rise of each course of a slope in cells, eaves to ridge.  courses: beyond the wall."""
    steps = zip(cover.courses[1:], cover.courses, strict=False)
    return (Fraction(cover.gentle, 2),) * courses + tuple((high - low) / 2 for high, low in steps)


def _rafters(design: Design) -> Iterator[Member]:
    """A pair of rafters at each cell along a ridge, a hip at each outer corner of a sloping end, a valley
    where two slopes meet at an inner one; shorter jack rafters are counted as the common ones they are
    cut from.
    """
    counts: Counter[tuple[int, str, float]] = Counter()
    corners = list(_corners(design))
    for cover in design.covers:
        if cover.form == "flat":
            continue
        low, high = cover.eaves
        sides = (low, high) if cover.form in RIDGED else (min(cover.eaves),)
        for over in sides:
            length = round(rafter(rises(cover, over), corner=False), DECIMALS)
            counts[0, "common rafter", length] += cover.length
        hip = round(rafter(rises(cover, max(cover.eaves)), corner=True), DECIMALS)
        ends = Counter(end for it, end in corners if it == [cover])
        sloping = sorted((ends[0], ends[1]))[2 - cover.hips :]
        counts[1, "hip rafter", hip] += sum(sloping)
    for meeting, _ in corners:
        if len({cover.axis for cover in meeting}) == 2:
            lower = min(meeting, key=lambda c: (c.courses[-1], c.wing))
            over = min(meeting[0].eaves)
            valley = round(rafter(rises(lower, over), corner=True), DECIMALS)
            counts[2, "valley rafter", valley] += 1
    for (_, name, length), count in sorted(counts.items()):
        if count:
            yield Member(name, length, count)


def _corners(design: Design) -> Iterator[tuple[list[Cover], int]]:
    """The corners of all that lies under one roof, of wings of equal storeys: of an outer one the cover
    that has it, and at which of its ends, low or high; of an inner one the covers that meet there."""
    pitched = [c for c in design.covers if c.form != "flat"]
    for storeys in sorted({c.storeys for c in pitched}):
        covers = [c for c in pitched if c.storeys == storeys]
        xs, ys = ({n for c in covers for n in c.rect[k::2]} for k in (0, 1))
        for x, y in sorted((x, y) for x in xs for y in ys):
            round_it = [(i, j) for i in (x - 1, x) for j in (y - 1, y)]
            here = [[c for c in covers if c.rect.has(*cell)] for cell in round_it]
            roofed = [found[0] for found in here if found]
            if len(roofed) == 1:
                along = (x, y)[ALONG[roofed[0].axis]]
                yield roofed, int(along != roofed[0].rect.lie(roofed[0].axis).x0)
            elif len(roofed) == 3:
                yield roofed, 0


def _slopes(design: Design) -> Iterator[Member]:
    """Area of the slopes over the wings, wall to wall, by form and pitch; the overhangs' on their own."""
    areas: dict[str, float] = {}
    for cover in design.covers:
        name = f"roof over the {cover.called}"
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
    cover = design.palette.having("covers")
    cells = {c for p in design.parts if p.role in cover for c in p.box.rect.cells()}
    house = house_rect(design)
    inside = {c for r in design.wings for c in r.cells()}
    return len([c for c in cells - inside if house.grown(2).has(*c)])
