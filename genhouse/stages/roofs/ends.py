"""How each wing's roof begins and ends: what it meets at its ends, and which wings die into it there."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from genhouse.core import axes
from genhouse.core.axes import Side
from genhouse.core.box import Rect
from genhouse.model.roof import HIPPED, RIDGED, RoofForm
from genhouse.stages._wings import Wing
from genhouse.stages.roofs.profiles import Pair
from genhouse.stages.site import Site, line_along
from genhouse.traditions.roofs import Profile, RoofRule

Ends = tuple[int, int]
Two = tuple[Wing | None, Wing | None]
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
    """How the wings of a site meet.

    frames, lies: the ground of each out to its wall lines as it runs, those of its hosts too; and without
    these at its ends.  hosts: the wings that close its low and its high end.  flanks: the same of its
    flanks.  guests: at either end, the wings as high or higher that die into its flanks flush with it.
    outward: whether its low and its high flank look outward.  edges: which of its ends and of its flanks
    stand on the edge of the plot, beyond which nothing may hang or drip.
    """

    site: Site
    frames: Mapping[Wing, Rect]
    lies: Mapping[Wing, Rect]
    hosts: Mapping[Wing, Two]
    flanks: Mapping[Wing, Two]
    guests: Mapping[Wing, tuple[tuple[Wing, ...], tuple[Wing, ...]]]
    outward: Mapping[Wing, tuple[bool, bool]]
    edges: Mapping[Wing, tuple[tuple[bool, bool], tuple[bool, bool]]]

    def span(self, wing: Wing) -> int:
        """Wall line to wall line, across a wing."""
        return self.lies[wing].depth - 1

    def middle(self, wing: Wing) -> int:
        """The line of cells midway across a wing, under a ridge."""
        return self.lies[wing].midway

    def touched(self, wing: Wing, flank: int) -> bool:
        """Whether another wing stands along some of a flank."""
        ground = self.lies[wing].lie(wing.axis)
        row = line_along(ground, axes.FLANKS[wing.axis][flank])
        others = (w for w in self.site.wings if wing not in self.hosts[w])
        return any(w.rect.meets(row) for w in others)

    def high_side(self, wing: Wing) -> int | None:
        """The flank, low (0) or high (1), that a lean-to over a wing rises to.

        That along a higher wing or on the edge of the plot, or the outer one of a wing on a court; None
        where it can be none of these.
        """
        for flank, other in enumerate(self.flanks[wing]):
            if other is not None and other.over(wing):
                return flank
        for low, high in (self.edges[wing][1], self.outward[wing]):
            if low != high:
                return int(high)
        return None


def joints_of(site: Site) -> Joints:
    """Look once at how the wings meet."""
    frames = {wing: site.frame(wing) for wing in site.wings}
    hosts, flanks = (
        {wing: _beside(site, wing, sides[wing.axis]) for wing in site.wings}
        for sides in (axes.ENDS, axes.FLANKS)
    )

    def lie(wing: Wing) -> Rect:
        return Rect(wing.lie.x0, frames[wing].y0, wing.lie.x1, frames[wing].y1)

    def edges(wing: Wing) -> tuple[tuple[bool, bool], tuple[bool, bool]]:
        r, plot = wing.lie, Rect(0, 0, *site.plot).lie(wing.axis)
        return (r.x0 == 0, r.x1 == plot.x1), (r.y0 == 0, r.y1 == plot.y1)

    def flush(wing: Wing, end: int) -> tuple[Wing, ...]:
        within = [w for w in site.wings if wing in hosts[w] and not wing.over(w)]
        bound = 2 * end
        return tuple(w for w in within if w.rect.lie(wing.axis)[bound] == wing.lie[bound])

    return Joints(
        site=site,
        frames=frames,
        lies={wing: lie(wing) for wing in site.wings},
        hosts=hosts,
        flanks=flanks,
        guests={wing: (flush(wing, 0), flush(wing, 1)) for wing in site.wings},
        outward={wing: site.outward(wing) for wing in site.wings},
        edges={wing: edges(wing) for wing in site.wings},
    )


def _beside(site: Site, wing: Wing, sides: tuple[Side, Side]) -> Two:
    """The wings that close two sides of one: whichever of them the wall between belongs to."""
    low, high = (
        next((other for other in site.wings if site.shuts(other, wing, side)), None)
        for side in sides
    )
    return low, high


def overhangs(joints: Joints, wing: Wing, rule: RoofRule) -> Ends:
    """Courses beyond the wall lines, across the wing, on the low and the high side.

    Where one wing goes on from another in one line with it, so do its eaves.
    """
    inline = [h for h in joints.hosts[wing] if h is not None and h.axis == wing.axis]
    low, high = (
        all(
            joints.outward[w][flank]
            for w in (wing, *inline)
            if joints.lies[w][bound] == joints.lies[wing][bound]
        )
        for flank, bound in ((0, 1), (1, 3))
    )
    over = over_courts(joints, wing, rule)
    return rule.outside if low else over[0], rule.outside if high else over[1]


def over_courts(joints: Joints, wing: Wing, rule: RoofRule) -> Ends:
    """Courses toward a court on the low and the high side: as many as its veranda is deep."""
    site = joints.site
    if not rule.court:
        return 0, 0
    low, high = (
        max(
            rule.court,
            *(
                site.depths(court).get(axes.opposite(side), 0)
                for court in site.courts
                if court.meets(line_along(wing.rect, side))
            ),
            0,
        )
        for side in axes.FLANKS[wing.axis]
    )
    return low, high


def hipped_ends(joints: Joints, wing: Wing, styles: Styles) -> tuple[bool, bool]:
    """Whether a wing's ridged roof slopes at its low and its high end.

    It has no gable where wings pass its end on both flanks: their slopes run on over it.
    """
    low, high = (_slopes_at(joints, wing, end, styles) for end in ENDS)
    return low, high


def _slopes_at(joints: Joints, wing: Wing, end: int, styles: Styles) -> bool:
    host, form = joints.hosts[wing][end], styles[wing].form
    if form not in RIDGED or joints.edges[wing][0][end]:
        return False
    if host is not None and not wing.over(host):
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

    To a ridge in the middle of its host; against a flat roof to its wall, and a terrace up to it; under a
    lean-to to the outer wall, and past it where this wing leans as high, so that both fall to the court.
    beyond: past a free end.
    """
    host = joints.hosts[wing][end]
    if host is None:
        return beyond
    if wing.over(host):
        frame, lie = joints.frames[wing], joints.lies[wing]
        wall = (lie.x0 - frame.x0, frame.x1 - lie.x1)[end]
        return wall + eaves_past(joints, wing, end, rule)
    form = styles[host].form
    if host.terrace:
        return 0
    if host.axis == wing.axis and not hipped_ends(joints, host, styles)[1 - end]:
        return 1
    if form == "lean-to":
        both = styles[wing].form == "lean-to" and not host.over(wing)
        leans = both and joints.outward[host][end]
        return joints.span(host) + 1 + beyond * leans
    return 1 if form == "flat" else joints.span(host) // 2 + 1


def walled(joints: Joints, wing: Wing) -> Rect:
    """The ground of a wing with the walls at its ends that stand over lower wings."""
    lie, frame, hosts = joints.lies[wing], joints.frames[wing], joints.hosts[wing]
    low, high = (host is not None and wing.over(host) for host in hosts)
    x0, x1 = frame.x0 if low else lie.x0, frame.x1 if high else lie.x1
    return Rect(x0, lie.y0, x1, lie.y1).lie(wing.axis)
