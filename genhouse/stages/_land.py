"""Land: what a house leaves of its plot, and how one comes to its front."""

from __future__ import annotations

from functools import lru_cache

from genhouse.core.box import Rect
from genhouse.core.region import Cell
from genhouse.stages.site import Site

DRY = 2
"""Cells of gravel round all that is built, for the drip and to walk on."""
ASIDE = 1
"""Cells on either side of the way in on which nothing grows."""


def way_in(site: Site, front: Rect) -> Rect:
    """The ground from the gate to a front door or a gate in a wall."""
    y = site.before(front.x0, front.y0)
    return Rect(front.x0 - ASIDE, y, front.x1 + ASIDE, front.y0)


@lru_cache(maxsize=16)
def grounds(site: Site, front: Rect) -> frozenset[Cell]:
    """The plot but for the house, what lies dry round it, and the way to its front."""
    rects = (*(rect.grown(DRY) for rect in site.built), way_in(site, front))
    return site.land.cells() - {cell for rect in rects for cell in rect.cells()}


def opens_to_gate(site: Site, front: Rect) -> bool:
    """Whether one comes to a front from the gate's side: over ground on which nothing stands, and which
    lies as open to that side as the ground before the court."""
    before = Rect(front.x0, 0, front.x1, front.y1)
    return site.is_open(before) and site.seclusion(before) <= site.seclusion(site.approach)
