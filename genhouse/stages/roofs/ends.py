"""How each wing's roof begins and ends: what it meets at its ends, and which wings die into it there."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from genhouse.core.box import Rect
from genhouse.model.roof import HIPPED, RIDGED, RoofForm
from genhouse.stages._wings import Wing
from genhouse.stages.roofs.profiles import Pair
from genhouse.stages.site import Site
from genhouse.traditions.tradition import Profile, RoofRule

Ends = tuple[int, int]
ENDS: Ends = (0, 1)
"""The low and the high end of a wing, and so of the flanks of one across it."""


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


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Joints:
    """How the wings of a site meet.  hosts: into which each dies, at its low and its high end.

    guests: at either end of each, the wings as high or higher that die into its flanks flush with it.
    outward: whether its low and its high flank look outward.
    """

    site: Site
    hosts: Mapping[Wing, tuple[Wing | None, Wing | None]]
    guests: Mapping[Wing, tuple[tuple[Wing, ...], ...]]
    outward: Mapping[Wing, tuple[bool, bool]]


def joints_of(site: Site) -> Joints:
    """Look once at how the wings meet."""
    hosts = {wing: (site.host(wing, 0), site.host(wing, 1)) for wing in site.wings}

    def flush(wing: Wing, end: int) -> tuple[Wing, ...]:
        within = [w for w in site.wings if wing in hosts[w] and not wing.over(w)]
        bound = 2 * end
        return tuple(w for w in within if w.rect.lie(wing.axis)[bound] == wing.lie[bound])

    return Joints(
        site=site,
        hosts=hosts,
        guests={wing: tuple(flush(wing, end) for end in ENDS) for wing in site.wings},
        outward={wing: site.outward(wing) for wing in site.wings},
    )


def overhangs(joints: Joints, wing: Wing, rule: RoofRule) -> Ends:
    """Courses beyond the wall lines, across the wing, on the low and the high side."""
    low, high = joints.outward[wing]
    return rule.outside if low else rule.court, rule.outside if high else rule.court


def hipped_ends(joints: Joints, wing: Wing, styles: Styles) -> tuple[bool, bool]:
    """Whether a wing's ridged roof slopes at its low and its high end.

    It has no gable where wings pass its end on both flanks: their slopes run on over it.
    """
    low, high = (_slopes_at(joints, wing, end, styles) for end in ENDS)
    return low, high


def _slopes_at(joints: Joints, wing: Wing, end: int, styles: Styles) -> bool:
    host, form = joints.hosts[wing][end], styles[wing].form
    if form not in RIDGED or (host is not None and not wing.over(host)):
        return False
    passing = joints.guests[wing][end]
    return form in HIPPED or (
        len(passing) > 1 and all(styles[other].form in RIDGED for other in passing)
    )


def eaves_past(joints: Joints, wing: Wing, end: int, rule: RoofRule) -> int:
    """Courses of eaves past an end of a wing that none as high joins.

    Past a wall on which a lower roof leans there are none, nor beside a terrace of the same height; over a
    terrace a storey lower as many as over a court, for one walks below.
    """
    host = joints.hosts[wing][end]
    if host is None:
        return rule.outside
    return rule.court if host.terrace and wing.storeys > host.storeys else 0


def reach(joints: Joints, wing: Wing, end: int, styles: Styles, rule: RoofRule, beyond: int) -> int:
    """How many cells a wing's prism runs on past its end.

    To a ridge in the middle of its host; against a flat roof to its wall; under a lean-to to the outer
    wall, and past it where this wing leans too, so that both fall to the court.  beyond: past a free end.
    """
    host = joints.hosts[wing][end]
    if host is None:
        return beyond
    if wing.over(host):
        return 1 + eaves_past(joints, wing, end, rule)
    form = styles[host].form
    if form == "lean-to":
        leans = styles[wing].form == "lean-to" and joints.outward[host][end]
        return host.span + 1 + beyond * leans
    return 1 if form == "flat" else host.span // 2 + 1


def walled(joints: Joints, wing: Wing) -> Rect:
    """The ground of a wing with the walls at its ends that stand over lower wings."""
    low, high = (host is not None and wing.over(host) for host in joints.hosts[wing])
    r = wing.lie
    return Rect(r.x0 - low, r.y0, r.x1 + high, r.y1).lie(wing.axis)
