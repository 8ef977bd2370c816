"""Outlines for the tests: plots with stairs at their corners, and notches in their sides."""

from __future__ import annotations

import numpy as np
from hypothesis import strategies as st
from shapely import box, union_all

from genhouse.core.draw import Draw
from genhouse.generate.mixed import Chooser
from genhouse.model.bounds import LARGEST_PLOT, SMALLEST_PLOT

Corners = tuple[tuple[int, int], ...]


@st.composite
def outlines(draw: st.DrawFn) -> Corners:
    """For hypothesis."""
    return corners(Draw(draw(st.integers(0, 2**64 - 1))))


def corners(here: Chooser) -> Corners:
    """A plot from which stairs of up to three steps are cut at some corners, or notches at some sides."""
    (x0, y0), (x1, y1) = SMALLEST_PLOT, LARGEST_PLOT
    wide, deep = (
        here.between(x0 + 4, x1, "outline width"),
        here.between(y0 + 4, y1, "outline depth"),
    )
    ground = np.ones((wide, deep), dtype=bool)
    for n in range(here.between(1, 3, "cuts of outline")):
        at = here.at(n)
        a, b = at.between(2, wide // 2, "cut width"), at.between(2, deep // 2, "cut depth")
        x, y = at.choice((0, wide - a, wide // 2 - 1), "cut x"), at.choice((0, deep - b), "cut y")
        ground[x : x + a, y : y + b] = False
    cells = [box(i, j, i + 1, j + 1) for i, j in np.argwhere(ground).tolist()]
    outline = max(getattr(whole := union_all(cells), "geoms", [whole]), key=lambda part: part.area)
    outline = outline.simplify(0).exterior
    west, south, *_ = outline.bounds
    return tuple((int(x - west), int(y - south)) for x, y in list(outline.coords)[:-1])
