"""Swept eaves: the corners of a hipped roof lifted a little, as its corner rafters would lift them."""

from __future__ import annotations

from genhouse.core.box import Rect
from genhouse.model.roof import HIPPED
from genhouse.stages.roofs.ends import Styles
from genhouse.stages.roofs.slopes import NONE, Field
from genhouse.stages.site import Site

SWEEP = (1, 1, 1)
"""Half cells by which the outermost course is lifted at the corner and along each eaves from there."""


def swept_corners(site: Site, top: Field, styles: Styles) -> Field:
    """The roof with the outermost course lifted at each corner where two slopes meet."""
    swept = top.copy()
    for wing, style in styles.items():
        if style.form in HIPPED and wing.axis == "x":
            for north in (False, True):
                edge = wing.rect.y1 if north else wing.rect.y0
                if edge == (site.house.y1 if north else site.house.y0):
                    for east in (False, True):
                        _sweep(swept, top, wing.rect, north=north, east=east)
    return swept


def _sweep(swept: Field, top: Field, wing: Rect, *, north: bool, east: bool) -> None:
    """One corner of a wing, found from its outermost covered columns."""
    there = top != NONE
    xs = there[:, 2 * wing.y0 : 2 * wing.y1].any(axis=1).nonzero()[0]
    ys = there[2 * wing.x0 : 2 * wing.x1].any(axis=0).nonzero()[0]
    x, y = int(xs[-1] if east else xs[0]) // 2, int(ys[-1] if north else ys[0]) // 2
    dx, dy = (-1 if east else 1), (-1 if north else 1)
    for n, lift in enumerate(SWEEP):
        for i, j in {(x + n * dx, y), (x, y + n * dy)}:
            swept[2 * i : 2 * i + 2, 2 * j : 2 * j + 2] += lift
