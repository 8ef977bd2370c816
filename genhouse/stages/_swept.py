"""Swept eaves: the corners of a hipped roof lifted a little, as its corner rafters would lift them."""

from __future__ import annotations

from genhouse.model.roof import HIPPED
from genhouse.stages._prisms import Styles
from genhouse.stages._slopes import NONE, Field
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
                        _sweep(swept, top, north=north, east=east)
    return swept


def _sweep(swept: Field, top: Field, *, north: bool, east: bool) -> None:
    """One corner, found from the outermost covered columns."""
    there = (top != NONE).any(axis=1).nonzero()[0], (top != NONE).any(axis=0).nonzero()[0]
    x = int(there[0][-1] if east else there[0][0]) // 2
    y = int(there[1][-1] if north else there[1][0]) // 2
    dx, dy = (-1 if east else 1), (-1 if north else 1)
    for n, lift in enumerate(SWEEP):
        for i, j in {(x + n * dx, y), (x, y + n * dy)}:
            swept[2 * i : 2 * i + 2, 2 * j : 2 * j + 2] += lift
