"""What rises from a slope to let in light: dormers, and the raised upper tier of a two-tier roof."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from genhouse.core.box import Rect
from genhouse.stages._wings import Wing
from genhouse.stages.roofs.ends import Style, outer_sides
from genhouse.stages.roofs.profiles import slope
from genhouse.stages.roofs.slopes import NONE, Field, across, closed_on, eaves, prism, shell
from genhouse.stages.site import Site
from genhouse.traditions.loader import RoofRule

HALF_WIDTH = 2
"""Cells from the ridge to the wall of an upper tier."""
LEAST_TIER = 5
"""Cells of the shortest upper tier."""
FREE_RIDGE = (3, 2, 1)
"""Cells of the lower ridge to leave at either end of an upper tier, the most first."""
DORMER = ((3, 4), (5, 5))
"""Courses of a dormer's little gable, side and ridge, in half cells over the course above the wall."""

Cell = tuple[int, int, int]
Bool = npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Tier:
    """The upper tier.  hole: where the lower roof is left out, its own walls included.

    top, under: its roof, half cells.  glass: the layer of windows along its sides.
    """

    hole: Rect
    top: Field
    under: Field
    glass: int

    @property
    def walls(self) -> tuple[tuple[int, int], ...]:
        """The cells of its four walls."""
        inner = self.hole.grown(-1)
        return tuple(c for c in self.hole.cells() if not inner.has(*c))


def tier_place(site: Site, wing: Wing, flue: tuple[int, int]) -> Rect | None:
    """Where an upper tier stands on a through wing: the longest stretch of its ridge along the court,
    clear of the flue.  As much of the ridge as can be is left free at both ends."""
    if wing.axis != "x" or wing.span < 2 * (HALF_WIDTH + 2):
        return None
    court = next((c for c in site.courts if c.grown(1).meets(wing.rect)), None)
    if court is None:
        return None
    row, run = wing.middle, wing.span // 2
    for free in FREE_RIDGE:
        start = max(court.x0 + 1, site.house.x0 + run + free)
        end = min(court.x1 - 1, site.house.x1 - run - free)
        stretches = [(start, end)]
        if abs(flue[1] - row) <= HALF_WIDTH + 1:
            stretches = [(start, min(end, flue[0] - 1)), (max(start, flue[0] + 2), end)]
        x0, x1 = max(stretches, key=lambda stretch: stretch[1] - stretch[0])
        if x1 - x0 >= LEAST_TIER:
            return Rect(x0, row - HALF_WIDTH, x1, row + HALF_WIDTH + 1)
    return None


def raised_tier(site: Site, place: Rect, style: Style, rule: RoofRule, walled: Bool) -> Tier:
    """A small gable on four walls, one course of eaves along its sides.

    walled: cells under which a wall rises to the roof.
    """
    below = style.courses[len(style.courses) - 1 - HALF_WIDTH - 1][1]
    glass = -(-(style.base + below) // 2)
    over = eaves(1, rule.gentle)
    heights = across(over, slope(2 * HALF_WIDTH, style.profile), over)
    ground = Rect(place.x0, place.y0 - 1, place.x1, place.y1 + 1)
    top = prism(site.plot, ground, heights, "x", 2 * (glass + 2))
    tier = Tier(hole=place, top=top, under=shell(top), glass=glass)
    walls = walled.copy()
    walls[tuple(np.array(tier.walls).T)] = True
    return replace(tier, under=closed_on(tier.under, walls))


def without_hole(top: Field, tier: Tier) -> Field:
    """The lower roof, open under its upper tier; level under the eaves of that, with no step to drip in."""
    h, cut = tier.hole, top.copy()
    for y in (h.y0 - 1, h.y1):
        course = cut[2 * h.x0 : 2 * h.x1, 2 * y : 2 * y + 2]
        course[:] = course.max(axis=1, keepdims=True)
    cut[2 * h.x0 : 2 * h.x1, 2 * h.y0 : 2 * h.y1] = NONE
    return cut


def dormer_places(
    site: Site, wing: Wing, style: Style, top: Field, lines: Sequence[int]
) -> list[tuple[Rect, int]]:
    """Where dormers can stand on the outer slope of a through wing, over the middles of its bays.

    top: the roof as it is.  lines: the post lines along the wing.  Returns the ground each covers
    and the way its front faces, -1 south or 1 north.
    """
    if wing.axis != "x" or style.courses[-1][1] <= DORMER[1][1]:
        return []
    found = []
    run = _depth(style)
    for facing, is_outer in zip((-1, 1), outer_sides(site, wing), strict=True):
        if not is_outer:
            continue
        front = wing.rect.y0 + 1 if facing < 0 else wing.rect.y1 - 2
        y0, y1 = (front, front + run) if facing < 0 else (front - run + 1, front + 1)
        plain = _plain(top, range(2 * y0 - 2, 2 * y1 + 2), wing, style)
        for x in ((a + b) // 2 for a, b in pairwise(lines)):
            if plain[2 * x - 4 : 2 * x + 6].all():
                found.append((Rect(x - 1, y0, x + 2, y1), facing))
    return found


def _depth(style: Style) -> int:
    """Courses until the slope has risen past a dormer's ridge."""
    return next(n for n, (outer, _) in enumerate(style.courses) if outer >= DORMER[1][1]) - 1


def _plain(top: Field, rows: range, wing: Wing, style: Style) -> Bool:
    """Where nothing but a through wing's own slope lies in some rows of half cells, by x."""
    low = [min(y - 2 * wing.rect.y0, 2 * wing.rect.y1 - 1 - y) for y in rows]
    heights = [h for pair in style.courses for h in pair]
    slope = [style.base + heights[min(n, len(heights) - 1)] for n in low]
    return np.asarray((top[:, rows.start : rows.stop] == slope).all(axis=1))


def with_dormer(top: Field, place: Rect, style: Style) -> Field:
    """The roof with a dormer let into it."""
    (a, b), (c, _) = DORMER
    profile = np.array([a, b, c, c, b, a], dtype=np.int16)[:, None] + style.base
    raised = top.copy()
    cut = raised[2 * place.x0 : 2 * place.x1, 2 * place.y0 : 2 * place.y1]
    np.maximum(cut, profile.astype(np.int16), out=cut)
    return raised


def dormer_window(place: Rect, facing: int, style: Style) -> Cell:
    """The window in a dormer's front."""
    return (place.x0 + 1, place.y0 if facing < 0 else place.y1 - 1, style.base // 2 + 1)
