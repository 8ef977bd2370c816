"""Swept eaves: the corners of a hipped roof lifted by half a cell, as its corner rafters would lift them.

Longer lifts were looked at: of half cells they make no curve, but a plate that lies on the roof.
"""

from __future__ import annotations

from itertools import product

import numpy as np

from genhouse.core.box import Rect
from genhouse.model.roof import HIPPED
from genhouse.stages.roofs.ends import Styles
from genhouse.stages.roofs.slopes import NONE, Field, half
from genhouse.stages.site import Site


def swept_corners(site: Site, top: Field, styles: Styles) -> Field:
    """The roof with the outermost cell lifted at each corner where two slopes meet."""
    lifts, house = np.zeros(site.plot, dtype=np.int16), site.house
    for wing, style in styles.items():
        r = wing.rect
        corners = [n for n, meets in ((0, r.y0 == house.y0), (-1, r.y1 == house.y1)) if meets]
        if style.form in HIPPED and wing.axis == "x" and corners:
            xs, ys = _covered(top, r)
            for east, north in product((0, -1), corners):
                lifts[xs[east], ys[north]] += 1
    return top + half(lifts)


def _covered(top: Field, wing: Rect) -> tuple[list[int], list[int]]:
    """The cells that the roof over a wing covers with its overhangs, along x and along y."""
    there = top[::2, ::2] != NONE
    xs = there[:, wing.y0 : wing.y1].any(axis=1).nonzero()[0]
    ys = there[wing.x0 : wing.x1].any(axis=0).nonzero()[0]
    return xs.tolist(), ys.tolist()
