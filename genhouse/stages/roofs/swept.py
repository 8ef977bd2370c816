"""Swept eaves: the corners of a hipped roof lifted by half a cell, as its corner rafters would lift them.

Longer lifts were looked at: of half cells they make no curve, but a plate that lies on the roof.
"""

from __future__ import annotations

from itertools import product

import numpy as np

from genhouse.core.box import Rect
from genhouse.model.roof import HIPPED
from genhouse.stages.roofs.ends import Joints, Styles
from genhouse.stages.roofs.slopes import NONE, Field, half, lain


def swept_corners(joints: Joints, top: Field, styles: Styles) -> Field:
    """The roof with the outermost cell lifted at each corner where two slopes meet."""
    lifts = np.zeros(joints.site.plot, dtype=np.int16)
    for wing, style in styles.items():
        corners = [n for n, outward in zip((0, -1), joints.outward[wing], strict=True) if outward]
        if style.form in HIPPED and corners and not any(joints.hosts[wing]):
            along, across = _covered(lain(top, wing.axis), wing.lie)
            for end, flank in product((0, -1), corners):
                lain(lifts, wing.axis)[along[end], across[flank]] += 1
    return top + half(lifts)


def _covered(top: Field, wing: Rect) -> tuple[list[int], list[int]]:
    """The cells that the roof over a wing covers with its overhangs, along and across it."""
    there = top[::2, ::2] != NONE
    along = there[:, wing.y0 : wing.y1].any(axis=1).nonzero()[0]
    across = there[wing.x0 : wing.x1].any(axis=0).nonzero()[0]
    return along.tolist(), across.tolist()
