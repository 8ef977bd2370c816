"""The prism of each wing: its slopes, its ends, and how far it reaches over walls and other wings."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import numpy as np
import numpy.typing as npt

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
    over_courts,
    overhangs,
    reach,
    walled,
)
from genhouse.stages.roofs.profiles import continued
from genhouse.stages.roofs.slopes import NONE, Field, across, eaves, half, lain, prism, rising
from genhouse.stages.site import Site
from genhouse.traditions.roofs import RoofRule

Bool = npt.NDArray[np.bool_]
GABLET = (1, 3)
"""Courses inside the wall after which the small gable of a hip-and-gable stands, and those that it
should have behind it, to its ridge: on a narrow wing it stands nearer to the wall."""

SHORTEST = 3
"""Cells of the shortest eaves along a wing."""


def gablet(style: Style) -> int:
    """Courses inside the wall after which a small gable stands."""
    inside, behind = GABLET
    return max(0, min(inside, len(style.courses) - 1 - behind))


def wing_fields(joints: Joints, styles: Styles, rule: RoofRule) -> Field:
    """The roof of each wing that is no terrace: int16 [n, 2 X, 2 Y] in half cells.

    Over a lower roof, its eaves, and where these drip, a higher one has no eaves.
    """
    roofed, inside = joints.site.roofed, half(indoors(joints.site))
    fields = [_field(joints, wing, styles, rule) for wing in roofed]
    for n in sorted(range(len(roofed)), key=lambda n: roofed[n].storeys):
        below = [
            _wetted(wing, field, inside)
            for wing, field in zip(roofed, fields, strict=True)
            if roofed[n].over(wing)
        ]
        if below:
            fields[n] = _cut(joints, roofed[n], fields[n], np.logical_or.reduce(below))
    return np.array(fields)


def indoors(site: Site) -> Bool:
    """The cells of the roofed wings, wall lines included: all else a roof covers is overhang."""
    cells = np.zeros(site.plot, dtype=bool)
    for x0, y0, x1, y1 in (wing.rect for wing in site.roofed):
        cells[x0:x1, y0:y1] = True
    return cells


def _wetted(wing: Wing, field: Field, inside: Bool) -> Bool:
    """What a roof covers, and a cell beyond its eaves on either side."""
    wide = np.asarray(field != NONE)
    eaves, beyond = lain(wide & ~inside, wing.axis), lain(wide, wing.axis)
    beyond[:, 2:] |= eaves[:, :-2]
    beyond[:, :-2] |= eaves[:, 2:]
    return wide


def _field(joints: Joints, wing: Wing, styles: Styles, rule: RoofRule) -> Field:
    """The roof of one wing, whatever roofs lie below: none where a higher terrace stands on its walls."""
    flat = styles[wing].form == "flat"
    field = (_flat if flat else _sloping)(joints, wing, styles, rule)
    for x0, y0, x1, y1 in (
        walled(joints, w) for w in joints.site.wings if w.terrace and w.over(wing)
    ):
        field[2 * x0 : 2 * x1, 2 * y0 : 2 * y1] = NONE
    return field


def _sloping(joints: Joints, wing: Wing, styles: Styles, rule: RoofRule) -> Field:
    """A roof of slopes with the eaves that it can have."""
    form = styles[wing].form
    field = (_lean_to if form == "lean-to" else _ridged)(joints, wing, styles, rule)
    gone = np.zeros(field.shape, dtype=bool)
    bare = [
        other.rect
        for other in joints.site.wings
        if (other.terrace and other.storeys == wing.storeys)
        or (form == "lean-to" and other != wing and other not in joints.hosts[wing])
    ]
    past = (rect for end in ENDS for rect in _past(joints, wing, end, styles, rule))
    for x0, y0, x1, y1 in (*bare, *(rect.lie(wing.axis) for rect in past)):
        gone[2 * x0 : 2 * x1, 2 * y0 : 2 * y1] = True
    return _cut(joints, wing, field, gone | half(_astray(joints, wing, rule)))


def _astray(joints: Joints, wing: Wing, rule: RoofRule) -> Bool:
    """Where eaves as wide as a court's veranda would go on past its end: beyond what is usual outside, over
    neither court nor wing."""
    ground = joints.lies[wing]
    cells = np.ones(joints.site.plot, dtype=bool)
    lain(cells, wing.axis)[:, max(0, ground.y0 - rule.outside) : ground.y1 + rule.outside] = False
    for x0, y0, x1, y1 in joints.site.courts:
        cells[x0:x1, y0:y1] = False
    return np.asarray(cells & ~indoors(joints.site))


def _cut(joints: Joints, wing: Wing, field: Field, gone: Bool) -> Field:
    """The roof of a wing without some of its eaves; none of it over its own ground is gone, and no corner
    is left without the eaves on both sides of it."""
    ground = walled(joints, wing)
    x0, y0, x1, y1 = (2 * n for n in ground)
    gone[x0:x1, y0:y1] = False
    if not gone.any():
        return field
    left = np.where(gone, np.int16(NONE), field)
    _without_stubs(lain(left, wing.axis), ground.lie(wing.axis))
    for xs, x in ((slice(x0), x0), (slice(x1, None), x1 - 1)):
        for ys, y in ((slice(y0), y0), (slice(y1, None), y1 - 1)):
            bare = (left[xs, y] == NONE)[:, None] | (left[x, ys] == NONE)
            left[xs, ys][bare] = NONE
    return left


def _without_stubs(field: Field, ground: Rect) -> None:
    """No eaves along a wing are left that are shorter than the least, or do not reach its wall, as it
    lies."""
    x0, y0, x1, y1 = (2 * n for n in ground)
    for rows, beside in ((slice(y0), y0 - 1), (slice(y1, None), y1)):
        if not 0 <= beside < field.shape[1]:
            continue
        loose = field[x0:x1, beside] == NONE
        field[x0:x1, rows][loose] = NONE
        bare = [x0 - 1, *(x0 + loose.nonzero()[0]).tolist(), x1]
        for before, behind in pairwise(bare):
            if behind - before <= 2 * SHORTEST:
                field[before + 1 : behind, rows] = NONE


def _past(joints: Joints, wing: Wing, end: int, styles: Styles, rule: RoofRule) -> Iterator[Rect]:
    """The ground beyond an end, as the wing lies, over which a sloping roof has no eaves.

    Its eaves do not run on along the wall of a higher wing, over the roof of a lower one, or under the
    gable of one that it is flush with; nor are there any along a wall that rises on to a lean-to's high
    side.
    """
    r, host, plot = (
        joints.lies[wing],
        joints.hosts[wing][end],
        Rect(0, 0, *joints.site.plot).lie(wing.axis),
    )
    x0, x1 = (0, r.x0) if end == 0 else (r.x1, plot.x1)
    low, high = Rect(x0, 0, x1, r.y0), Rect(x0, r.y1, x1, plot.y1)
    if host is None:
        ridged = styles[wing].form in RIDGED
        for guest in joints.guests[wing][end]:
            if ridged and styles[guest].form == "lean-to":
                g, verge = guest.lie, rule.verge
                a, b = (reach(joints, guest, n, styles, rule, verge) for n in ENDS)
                yield Rect(x0, g.x0 - a, x1, g.x1 + b)
    elif _walled_off(joints, wing, host, end, rule):
        yield from (low, high)
    elif styles[wing].form in RIDGED and styles[host].form == "gable":
        hips = hipped_ends(joints, host, styles)
        for beside, hip, flush in zip((low, high), hips, _flush(wing, host), strict=True):
            if flush and not hip:
                yield beside


def _walled_off(joints: Joints, wing: Wing, host: Wing, end: int, rule: RoofRule) -> bool:
    """Whether a wing's roof ends at a wall: its host's, or its own over one that is lower or in line."""
    if wing.over(host):
        return not eaves_past(joints, wing, end, rule)
    return host.over(wing) or host.axis == wing.axis


def _flush(wing: Wing, host: Wing) -> tuple[bool, bool]:
    """Whether each flank of a wing lies in one line with an end of its host."""
    r, h = wing.lie, host.rect.lie(wing.axis)
    return r.y0 == h.y0, r.y1 == h.y1


def _ridged(joints: Joints, wing: Wing, styles: Styles, rule: RoofRule) -> Field:
    """Two slopes, on to the ridges of its hosts; at free ends hips fall to one level eaves line all
    round, gables have their verges."""
    r, style = joints.lies[wing], styles[wing]
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
    """One slope from its high side down, level over the verge beyond an outer wall."""
    r, style, high = joints.lies[wing], styles[wing], joints.high_side(wing)
    verge = 0 if joints.touched(wing, high or 0) else rule.verge
    foot, top = overhangs(joints, wing, rule)[not high], style.courses[-1][1]
    slope = [h for p in (*eaves(foot, rule.gentle), *style.courses) for h in p]
    heights = np.array(slope + [top] * (2 * verge), dtype=np.int16)
    before, after = (foot, verge) if high else (verge, foot)
    on = []
    for end in ENDS:
        forms = {styles[guest].form for guest in joints.guests[wing][end]}
        on.append(reach(joints, wing, end, styles, rule, rule.verge * (forms <= {"lean-to"})))
    whole = Rect(r.x0 - on[0], r.y0 - before, r.x1 + on[1], r.y1 + after).lie(wing.axis)
    return prism(joints.site.plot, whole, heights if high else heights[::-1], wing.axis, style.base)


def _flat(joints: Joints, wing: Wing, styles: Styles, rule: RoofRule) -> Field:
    """A level deck, with level eaves to each court."""
    r, base, lie = walled(joints, wing), styles[wing].base, joints.lies[wing]
    field = np.full((2 * joints.site.plot[0], 2 * joints.site.plot[1]), NONE, dtype=np.int16)
    low, high = over_courts(joints, wing, rule)
    spread = Rect(lie.x0, lie.y0 - low, lie.x1, lie.y1 + high).lie(wing.axis)
    for court in joints.site.courts:
        edge = court.meet(spread)
        if edge.area:
            field[2 * edge.x0 : 2 * edge.x1, 2 * edge.y0 : 2 * edge.y1] = base - rule.gentle
    field[2 * r.x0 : 2 * r.x1, 2 * r.y0 : 2 * r.y1] = base
    return field
