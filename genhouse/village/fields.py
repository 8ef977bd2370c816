"""Fields and orchards: rectangles of open ground about the houses, the nearest first.

Where the ground is level it is left as it is.  Where it slopes, and is farmed all the same, it is cut into
terraces along its contours, each as high as the mean of the ground it takes the place of.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from genhouse.core.draw import Draw
from genhouse.village.grids import Field, Mask
from genhouse.village.offers import Rect
from genhouse.village.pits import pits
from genhouse.village.plots import Plot
from genhouse.village.spans import spread_of, within
from genhouse.village.surface import FIELD, OPEN, ORCHARD, Surface

CROPS = ("barley", "beans", "flax", "kale", "stubble")
RISE = 4
"""Half cells from one terrace of a field to the next."""
NEAR = 4
"""Cells about a column over which its slope counts."""
APART, ASIDE = 3, 8
"""Cells from a field to whatever else there is; from terraces, which water may stand before as it is led
round them."""
REACH, FARTHER = 64, 110
"""Cells from a plot to its fields, and to its terraces, at most."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ask:
    """What a parcel wants.  tries: places that are looked at.  level: half cells that the ground about any
    column of it rises, from the least to the most; overall: that all of it rises, at least."""

    kind: str
    wide: tuple[int, int]
    tries: int
    reach: int
    level: tuple[int, int]
    overall: int = 0


ASKS = {
    "orchard": Ask(kind="orchard", wide=(14, 22), tries=14, reach=REACH, level=(0, 9)),
    "field": Ask(kind="field", wide=(14, 34), tries=14, reach=REACH, level=(0, 5)),
    "terraces": Ask(
        kind="terraces", wide=(18, 34), tries=20, reach=FARTHER, level=(2, 22), overall=3 * RISE
    ),
}
SHADY = ("slope", "green", "fields")
"""Quarters whose houses have an orchard first."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Parcel:
    """A field, terraces or an orchard.  rows: the axis its rows run along."""

    kind: str
    rect: Rect
    crop: str
    rows: str


def lay_fields(surface: Surface, plots: Sequence[Plot], draw: Draw) -> tuple[Parcel, ...]:
    """Their uses are marked in the surface, and their terraces cut."""
    slope = spread_of(surface.ground, NEAR)
    shut = surface.use != OPEN
    near, aside = within(shut, APART), within(shut, ASIDE)
    found = list[Parcel]()
    for plot in plots:
        kinds = ["orchard" if plot.quarter in SHADY else "field", "field", "field", "terraces"]
        for n, kind in enumerate(kinds):
            here = draw.at("parcels", plot.number, n)
            taken = aside if kind == "terraces" else near
            parcel = _parcel(surface.ground, slope, taken, plot, ASKS[kind], here)
            if parcel:
                found.append(parcel)
                x0, y0, x1, y1 = parcel.rect
                surface.use[x0:x1, y0:y1] = ORCHARD if kind == "orchard" else FIELD
                near[x0 - 2 : x1 + 2, y0 - 2 : y1 + 2] = True
                aside[x0 - 2 : x1 + 2, y0 - 2 : y1 + 2] = True
    steep = [parcel.rect for parcel in found if parcel.kind == "terraces"]
    for rect in steep:
        _terrace(surface, rect)
    if steep:
        deep = pits(surface)
        held = np.isin(surface.use, (FIELD, OPEN))
        surface.ground[held] += deep[held]
    return tuple(found)


def _parcel(
    ground: Field, slope: Field, shut: Mask, plot: Plot, ask: Ask, draw: Draw
) -> Parcel | None:
    """The first that is free, and as level or as steep as is asked."""
    x, y = (plot.rect[0] + plot.rect[2]) // 2, (plot.rect[1] + plot.rect[3]) // 2
    wide, deep = (draw.between(*ask.wide, axis) for axis in "xy")
    for k in range(ask.tries):
        at = draw.at(k)
        x0 = x + at.between(-ask.reach, ask.reach, "x") - wide // 2
        y0 = y + at.between(-ask.reach, ask.reach, "y") - deep // 2
        rect = (x0, y0, x0 + wide, y0 + deep)
        box = np.s_[x0 : x0 + wide, y0 : y0 + deep]
        inside = min(x0, y0) > APART and x0 + wide < shut.shape[0] and y0 + deep < shut.shape[1]
        if inside and not shut[box].any():
            low, high = ask.level
            even = low <= int(slope[box].min()) and int(slope[box].max()) <= high
            if even and np.ptp(ground[box]) >= ask.overall:
                crop = "apple" if ask.kind == "orchard" else draw.choice(CROPS, "crop")
                rows = "x" if wide > deep else "y"
                return Parcel(kind=ask.kind, rect=rect, crop=crop, rows=rows)
    return None


def _terrace(surface: Surface, rect: Rect) -> None:
    """In steps along its contours.  Of all ways to count them, the one that moves as much down as up."""
    x0, y0, x1, y1 = rect
    ground = surface.ground[x0:x1, y0:y1]
    steps = [(ground - low) // RISE * RISE + low + RISE // 2 for low in range(RISE)]
    for made in steps:  # nowhere higher at its rim, before which water would stand
        for edge in (np.s_[:2], np.s_[-2:], np.s_[:, :2], np.s_[:, -2:]):
            made[edge] = np.minimum(made[edge], ground[edge])
    even = min(steps, key=lambda made: abs(int((made - ground).sum(dtype=np.int64))))
    ground[:] = even
