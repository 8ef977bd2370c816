"""What rises from a slope to let in light: dormers, and the raised upper tier of a two-tier roof."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from genhouse.core.axes import FLANKS, Axis, Side
from genhouse.core.box import Rect
from genhouse.stages._wings import Wing
from genhouse.stages.roofs.ends import ENDS, Joints, Style
from genhouse.stages.roofs.profiles import slope
from genhouse.stages.roofs.slopes import NONE, Field, across, closed_on, eaves, lain, prism, shell
from genhouse.traditions.roofs import RoofRule

HALF_WIDTH = 2
"""Cells from the ridge to the wall of an upper tier."""
LEAST_TIER = 5
"""Cells of the shortest upper tier."""
TIER = 4
"""Half cells by which the ridge of an upper tier stands over that below it, about."""
FREE_RIDGE = (3, 2, 1)
"""Cells of the lower ridge to leave at either end of an upper tier, the most first."""
DORMER = ((3, 4), (5, 5))
"""Courses of a dormer's little gable, side and ridge, in half cells over the course above the wall."""

Cell = tuple[int, int, int]
Bool = npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Tier:
    """The upper tier.  hole: where the lower roof is left out, its own walls included.

    axis: the way its ridge runs.  top, under: its roof, half cells.  glass: the layer of windows along
    its sides.
    """

    hole: Rect
    axis: Axis
    top: Field
    under: Field
    glass: int

    @property
    def walls(self) -> tuple[tuple[int, int], ...]:
        """The cells of its four walls."""
        inner = self.hole.grown(-1)
        return tuple(c for c in self.hole.cells() if not inner.has(*c))


def tier_place(joints: Joints, wing: Wing, flue: tuple[int, int]) -> Rect | None:
    """Where an upper tier stands on a wing: the longest stretch of its ridge along a court, clear of the
    flue and of wings that die into it.  As much of the ridge as can be is left free at both ends."""
    if joints.span(wing) < 2 * (HALF_WIDTH + 2):
        return None
    court = next((c for c in joints.site.courts if c.grown(1).meets(wing.rect)), None)
    if court is None:
        return None
    along, r, row = court.lie(wing.axis), joints.lies[wing], joints.middle(wing)
    low, high = (0 if host else joints.span(wing) // 2 for host in joints.hosts[wing])
    for free in FREE_RIDGE:
        start, end = max(along.x0 + 1, r.x0 + low + free), min(along.x1 - 1, r.x1 - high - free)
        stretches = [(start, end)]
        for a, b in _in_the_way(joints, wing, flue):
            stretches = [n for x, y in stretches for n in ((x, min(y, a)), (max(x, b), y))]
        x0, x1 = max(stretches, key=lambda stretch: stretch[1] - stretch[0])
        if x1 - x0 >= LEAST_TIER:
            return Rect(x0, row - HALF_WIDTH, x1, row + HALF_WIDTH + 1).lie(wing.axis)
    return None


def _in_the_way(joints: Joints, wing: Wing, flue: tuple[int, int]) -> Iterator[tuple[int, int]]:
    """The stretches along a wing where no tier can stand: at the flue, and where others die into it."""
    at = Rect(*flue, *flue).lie(wing.axis)
    if abs(at.y0 - joints.middle(wing)) <= HALF_WIDTH + 1:
        yield at.x0 - 1, at.x0 + 2
    for other in joints.site.wings:
        if wing in joints.hosts[other] and other.axis != wing.axis:
            o = other.rect.lie(wing.axis)
            yield o.x0 - 1, o.x1 + 1


def raised_tier(
    plot: tuple[int, int], place: Rect, axis: Axis, style: Style, rule: RoofRule, walled: Bool
) -> Tier:
    """A small gable on four walls, one course of eaves along its sides.

    walled: cells under which a wall rises to the roof.
    """
    below = style.courses[len(style.courses) - 1 - HALF_WIDTH - 1][1]
    glass = -(-(style.base + below) // 2)
    over = eaves(1, rule.gentle)
    heights = across(over, slope(2 * HALF_WIDTH, style.profile), over)
    x0, y0, x1, y1 = place.lie(axis)
    ground = Rect(x0, y0 - 1, x1, y1 + 1).lie(axis)
    top = prism(plot, ground, heights, axis, 2 * (glass + 2))
    tier = Tier(hole=place, axis=axis, top=top, under=shell(top), glass=glass)
    walls = walled.copy()
    walls[tuple(np.array(tier.walls).T)] = True
    return replace(tier, under=closed_on(tier.under, walls))


def without_hole(top: Field, tier: Tier) -> Field:
    """The lower roof, open under its upper tier; level under the eaves of that, with no step to drip in."""
    h, cut = tier.hole.lie(tier.axis), top.copy()
    along = lain(cut, tier.axis)
    for y in (h.y0 - 1, h.y1):
        course = along[2 * h.x0 : 2 * h.x1, 2 * y : 2 * y + 2]
        course[:] = course.max(axis=1, keepdims=True)
    along[2 * h.x0 : 2 * h.x1, 2 * h.y0 : 2 * h.y1] = NONE
    return cut


@dataclass(frozen=True, slots=True, kw_only=True)
class Dormer:
    """ground: what it covers.  side: the way its front faces.  base: of the roof that it stands on."""

    ground: Rect
    side: Side
    base: int

    @property
    def window(self) -> Cell:
        """The window in its front."""
        x0, y0, x1, y1 = self.ground
        x, y = (x0 + x1 - 1) // 2, (y0 + y1 - 1) // 2
        at = {"south": (x, y0), "north": (x, y1 - 1), "west": (x0, y), "east": (x1 - 1, y)}
        return (*at[self.side], self.base // 2 + 1)

    def let_into(self, top: Field) -> Field:
        """The roof with it."""
        (a, b), (c, _) = DORMER
        profile = np.array([a, b, c, c, b, a], dtype=np.int16) + np.int16(self.base)
        raised = top.copy()
        g = self.ground
        cut = raised[2 * g.x0 : 2 * g.x1, 2 * g.y0 : 2 * g.y1]
        across = profile[:, None] if self.side in FLANKS["x"] else profile
        np.maximum(cut, across, out=cut)
        return raised


def dormer_places(
    joints: Joints, wing: Wing, style: Style, top: Field, lines: Sequence[int]
) -> list[Dormer]:
    """Where dormers can stand on the outer slope of a wing, over the middles of its bays.

    top: the roof as it is.  lines: the post lines along the wing.
    """
    if style.courses[-1][1] <= DORMER[1][1]:
        return []
    found = []
    r, run = joints.lies[wing], _depth(style)
    for flank, outward in zip(ENDS, joints.outward[wing], strict=True):
        if not outward:
            continue
        y0, y1 = (r.y0 + 1, r.y0 + 1 + run) if flank == 0 else (r.y1 - 1 - run, r.y1 - 1)
        plain = _plain(lain(top, wing.axis), range(2 * y0 - 2, 2 * y1 + 2), r, style)
        for x in ((a + b) // 2 for a, b in pairwise(lines)):
            if plain[2 * x - 4 : 2 * x + 6].all():
                ground = Rect(x - 1, y0, x + 2, y1).lie(wing.axis)
                side = FLANKS[wing.axis][flank]
                found.append(Dormer(ground=ground, side=side, base=style.base))
    return found


def _depth(style: Style) -> int:
    """Courses until the slope has risen past a dormer's ridge."""
    return next(n for n, (outer, _) in enumerate(style.courses) if outer >= DORMER[1][1]) - 1


def _plain(top: Field, rows: range, lie: Rect, style: Style) -> Bool:
    """Where nothing but a wing's own slope lies in some rows of half cells, as it runs."""
    low = [min(y - 2 * lie.y0, 2 * lie.y1 - 1 - y) for y in rows]
    heights = [h for pair in style.courses for h in pair]
    slope = [style.base + heights[min(n, len(heights) - 1)] for n in low]
    return np.asarray((top[:, rows.start : rows.stop] == slope).all(axis=1))
