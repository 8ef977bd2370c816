"""The prism of each wing: its slopes, its ends, and how far it reaches over walls and other wings."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from genhouse.core.box import Rect
from genhouse.model.roof import RIDGED
from genhouse.stages._wings import Wing
from genhouse.stages.roofs.ends import (
    ENDS,
    Joints,
    Style,
    Styles,
    eaves_past,
    hipped_ends,
    overhangs,
    reach,
    walled,
)
from genhouse.stages.roofs.profiles import continued
from genhouse.stages.roofs.slopes import NONE, Field, across, eaves, prism, rising
from genhouse.traditions.tradition import RoofRule

GABLET = (1, 3)
"""Courses inside the wall after which the small gable of a hip-and-gable stands, and those that it
should have behind it, to its ridge: on a narrow wing it stands nearer to the wall."""


def gablet(style: Style) -> int:
    """Courses inside the wall after which a small gable stands."""
    inside, behind = GABLET
    return max(0, min(inside, len(style.courses) - 1 - behind))


def wing_field(joints: Joints, wing: Wing, styles: Styles, rule: RoofRule) -> Field:
    """The roof of one wing: int16 [2 X, 2 Y] in half cells."""
    form = styles[wing].form
    if form == "flat":
        return _flat(joints, wing, styles, rule)
    field = (_lean_to if form == "lean-to" else _ridged)(joints, wing, styles, rule)
    kept = walled(joints, wing)
    own = field[2 * kept.x0 : 2 * kept.x1, 2 * kept.y0 : 2 * kept.y1].copy()
    for x0, y0, x1, y1 in _without_eaves(joints, wing, styles, rule):
        field[2 * x0 : 2 * x1, 2 * y0 : 2 * y1] = NONE
    field[2 * kept.x0 : 2 * kept.x1, 2 * kept.y0 : 2 * kept.y1] = own
    return field


def _without_eaves(joints: Joints, wing: Wing, styles: Styles, rule: RoofRule) -> Iterator[Rect]:
    """The ground beside a sloping roof over which it has no eaves, and perhaps some of its own."""
    yield from (w.rect for w in joints.site.wings if wing.over(w) and not w.terrace)
    for end in ENDS:
        yield from (rect.lie(wing.axis) for rect in _past(joints, wing, end, styles, rule))


def _past(joints: Joints, wing: Wing, end: int, styles: Styles, rule: RoofRule) -> Iterator[Rect]:
    """The same beyond an end, as the wing lies.

    Its eaves do not run on along the wall of a higher wing, over the roof of a lower one, or under the
    gable of one that it is flush with; nor are there any along a wall that rises on to a lean-to's high
    side.
    """
    r, host, plot = wing.lie, joints.hosts[wing][end], Rect(0, 0, *joints.site.plot).lie(wing.axis)
    x0, x1 = (0, r.x0) if end == 0 else (r.x1, plot.x1)
    low, high = Rect(x0, 0, x1, r.y0), Rect(x0, r.y1, x1, plot.y1)
    if host is None:
        ridged = styles[wing].form in RIDGED
        for guest in joints.guests[wing][end]:
            if ridged and styles[guest].form == "lean-to":
                g, verge = guest.lie, rule.verge
                a, b = (reach(joints, guest, n, styles, rule, verge) for n in ENDS)
                yield Rect(x0, g.x0 - a, x1, g.x1 + b)
    elif host.over(wing) or (wing.over(host) and not eaves_past(joints, wing, end, rule)):
        yield from (low, high)
    elif styles[wing].form in RIDGED and styles[host].form == "gable":
        hips = hipped_ends(joints, host, styles)
        for beside, hip, flush in zip((low, high), hips, _flush(wing, host), strict=True):
            if flush and not hip:
                yield beside


def _flush(wing: Wing, host: Wing) -> tuple[bool, bool]:
    """Whether each flank of a wing lies in one line with an end of its host."""
    r, h = wing.lie, host.rect.lie(wing.axis)
    return r.y0 == h.y0, r.y1 == h.y1


def _ridged(joints: Joints, wing: Wing, styles: Styles, rule: RoofRule) -> Field:
    """Two slopes, on to the ridges of its hosts; at free ends hips fall to one level eaves line all
    round, gables have their verges."""
    r, style = wing.lie, styles[wing]
    low, high = overhangs(joints, wing, rule)
    hips = hipped_ends(joints, wing, styles)
    on = [
        reach(joints, wing, end, styles, rule, rule.outside if hips[end] else rule.verge)
        for end in ENDS
    ]
    ground = Rect(r.x0 - on[0], r.y0 - low, r.x1 + on[1], r.y1 + high)
    ends = [
        _sloped(joints, wing, end, styles, rule, ground.width) if hips[end] else None
        for end in ENDS
    ]
    heights = across(eaves(low, rule.gentle), style.courses, eaves(high, rule.gentle))
    whole = ground.lie(wing.axis)
    return prism(joints.site.plot, whole, heights, wing.axis, style.base, (ends[0], ends[1]))


def _sloped(
    joints: Joints, wing: Wing, end: int, styles: Styles, rule: RoofRule, length: int
) -> Field:
    """Heights along a wing from an end that slopes on.

    The outer slope of a wing that dies into it there and this end are one plane.  Where one does on
    either flank, no small gable stands on it.
    """
    style, slope = styles[wing], styles[wing].courses
    over, beside = eaves_past(joints, wing, end, rule), joints.guests[wing][end]
    for other in [styles[guest] for guest in beside][:1]:
        if other.form in RIDGED and other.base == style.base and other.exact != style.exact:
            slope = continued(other.exact, style.exact[-1])
    stands = style.form == "hip-and-gable" and len(beside) < 2
    return rising(
        length, eaves(over, rule.gentle) + slope, over + 1 + gablet(style) if stands else None
    )


def _lean_to(joints: Joints, wing: Wing, styles: Styles, rule: RoofRule) -> Field:
    """One slope from the outer wall down to the court, level over the verge outside."""
    r, style = wing.lie, styles[wing]
    top = style.courses[-1][1]
    slope = [h for p in (*eaves(rule.court, rule.gentle), *style.courses) for h in p]
    heights = np.array(slope + [top] * (2 * rule.verge), dtype=np.int16)
    low, _ = joints.outward[wing]
    before, after = (rule.verge, rule.court) if low else (rule.court, rule.verge)
    on = []
    for end in ENDS:
        forms = {styles[guest].form for guest in joints.guests[wing][end]}
        on.append(reach(joints, wing, end, styles, rule, rule.verge * (forms <= {"lean-to"})))
    whole = Rect(r.x0 - on[0], r.y0 - before, r.x1 + on[1], r.y1 + after).lie(wing.axis)
    return prism(joints.site.plot, whole, heights[::-1] if low else heights, wing.axis, style.base)


def _flat(joints: Joints, wing: Wing, styles: Styles, rule: RoofRule) -> Field:
    """A level deck, with one course of eaves to each court."""
    r, base, lie = walled(joints, wing), styles[wing].base, wing.lie
    field = np.full((2 * joints.site.plot[0], 2 * joints.site.plot[1]), NONE, dtype=np.int16)
    spread = Rect(lie.x0, lie.y0 - rule.court, lie.x1, lie.y1 + rule.court).lie(wing.axis)
    for court in joints.site.courts:
        edge = court.meet(spread)
        if edge.area:
            field[2 * edge.x0 : 2 * edge.x1, 2 * edge.y0 : 2 * edge.y1] = base - rule.gentle
    field[2 * r.x0 : 2 * r.x1, 2 * r.y0 : 2 * r.y1] = base
    return field
