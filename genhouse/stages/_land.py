"""Land: what a house leaves of its plot, and how one comes to its front."""

from __future__ import annotations

from genhouse.core.box import Rect
from genhouse.stages.site import Site

ASIDE = 1
"""Cells on either side of the way in on which nothing grows."""


def way_in(site: Site, front: Rect) -> Rect:
    """The ground from the gate to a front door or a gate in a wall."""
    y = site.before(front.x0, front.y0)
    return Rect(front.x0 - ASIDE, y, front.x1 + ASIDE, front.y0)


def opens_to_gate(site: Site, front: Rect) -> bool:
    """Whether one comes to a front from the gate's side: over ground on which nothing stands, and which
    lies as open to that side as the ground before the court."""
    before = Rect(front.x0, 0, front.x1, front.y1)
    return site.is_open(before) and site.seclusion(before) <= site.seclusion(site.approach)
