"""Swept eaves: the corners of a hipped roof lifted by half a cell, as its corner rafters would lift them.

Longer lifts were looked at: of half cells they make no curve, but a plate that lies on the roof.
"""

from __future__ import annotations

from itertools import product

import numpy as np

from genhouse.model.roof import HIPPED
from genhouse.stages.roofs.ends import Joints, Styles, hipped_ends
from genhouse.stages.roofs.slopes import NONE, Field, half, lain

STEPS = {0: -1, -1: 1}
"""Which way lies out of the first of a row, and of its last."""


def swept_corners(joints: Joints, top: Field, fields: Field, styles: Styles) -> Field:
    """The roof with the outermost cell lifted at each corner where two slopes meet and the eaves end.

    Where a roof goes on beside it, at that height or above, there is no corner.  fields: the roof of
    each wing; top: their envelope.
    """
    lifts = np.zeros(joints.site.plot, dtype=np.int16)
    ringed = np.pad(top[::2, ::2], 1, constant_values=NONE)
    for wing, field in zip(joints.site.roofed, fields, strict=True):
        if styles[wing].form not in HIPPED:
            continue
        hips = hipped_ends(joints, wing, styles)
        own = lain(field[::2, ::2], wing.axis)
        along, across = map(np.unique, np.nonzero(own != NONE))
        for end, flank in product((0, -1), (0, -1)):
            corner = along[end], across[flank]
            free = hips[end] and joints.outward[wing][flank]
            around = lain(ringed, wing.axis)[corner[0] : corner[0] + 3, corner[1] : corner[1] + 3]
            ends = max(around[1 + STEPS[end], 1], around[1, 1 + STEPS[flank]]) < around[1, 1]
            if free and ends and own[corner] == around[1, 1] != NONE:
                lain(lifts, wing.axis)[corner] += 1
    return top + half(lifts)
