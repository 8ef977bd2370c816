"""What grows about the fields: woods on the slopes, trees and hedges; and what stands along the lanes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from genhouse.core.draw import Draw
from genhouse.village.curves import FINE, Points
from genhouse.village.fences import fences
from genhouse.village.fields import Parcel
from genhouse.village.grids import Field, Mask, mottled, scattered
from genhouse.village.land import PITCH
from genhouse.village.lanes import Lanes
from genhouse.village.places import Ground
from genhouse.village.plots import Plot
from genhouse.village.spans import far_from, spread_of, within
from genhouse.village.surface import (
    APRON,
    FIELD,
    GREEN,
    OPEN,
    ORCHARD,
    PLOT,
    TRAIL,
    TRODDEN,
    WATER,
    WOOD,
    Surface,
)
from genhouse.village.trails import lay_trails
from genhouse.village.ways import Place

LAMPS = 22
"""Points between lamps along a lane are twice so many cells apart."""
LIT = 130
"""Cells from a green up to which lanes have lamps."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stand:
    """Something of the kit at a place: its foot stands on the ground there."""

    name: str
    x: int
    y: int


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Grown:
    """stands: in the order in which they are set.  trails: the lines of footpaths."""

    trails: tuple[Points, ...]
    stands: tuple[Stand, ...]


def grow(
    surface: Surface,
    lanes: Lanes,
    greens: Sequence[Place],
    plots: Sequence[Plot],
    places: Sequence[Ground],
    parcels: Sequence[Parcel],
    draw: Draw,
) -> Grown:
    """Woods, footpaths, and what stands about; uses of open ground are marked."""
    slope = spread_of(surface.ground, 4)
    trees = mottled(surface.shape, 32, 512, draw.at("woods"))
    trees += mottled(surface.shape, 8, 128, draw.at("glades"))
    near = far_from(np.isin(surface.use, (*TRODDEN, PLOT, FIELD, ORCHARD))).astype(np.int16)
    trees += 40 * slope
    trees += 4 * np.minimum(near, 60)
    surface.use[(surface.use == OPEN) & (trees > 420) & (near > 5)] = WOOD
    del trees, slope
    fields = [parcel.rect for parcel in parcels if parcel.kind != "orchard"]
    trails, clearings = lay_trails(surface, fields)
    bounds = [
        Stand(name=name, x=x, y=y) for name, (x, y) in fences(surface, plots, draw.at("fences"))
    ]
    stands = [
        *_along(surface, lanes, greens),
        *_on_greens(surface, greens),
        *_of_places(places),
        *_by_houses(surface, plots, draw.at("houses")),
        *bounds,
        *_of_parcels(parcels, draw),
        *_cut_wood(surface, clearings),
        *_wild(surface, near, bounds, draw),
    ]
    return Grown(trails=trails, stands=tuple(stands))


def _along(surface: Surface, lanes: Lanes, greens: Sequence[Place]) -> Iterator[Stand]:
    """Lamps beside the lanes of the village, and boundary stones where roads leave the map."""
    middles = [(i * PITCH, j * PITCH) for i, j in greens]
    for lane in lanes.lanes:
        wide = 4 if lane.kind == "road" else 3
        for n, k in enumerate(range(LAMPS, len(lane.points) - LAMPS // 2, 2 * LAMPS)):
            x, y = (lane.points[k] // FINE).tolist()
            dx, dy = (lane.points[k + 3] - lane.points[k - 3]).tolist()
            side = 1 if n % 2 else -1
            i, j = (0, wide * side) if abs(dx) > abs(dy) else (wide * side, 0)
            near = min((x - a) ** 2 + (y - b) ** 2 for a, b in middles)
            inside = 0 < x + i < surface.shape[0] and 0 < y + j < surface.shape[1]
            # On a half cell it would be footed, and might hold the water that runs off the lane there.
            even = inside and surface.ground[x + i, y + j] % 2 == 0
            if near < LIT * LIT and even and surface.use[x + i, y + j] == OPEN:
                yield Stand(name="lamp", x=x + i, y=y + j)
        for k in (6, len(lane.points) - 7):
            x, y = (lane.points[k] // FINE).tolist()
            at_edge = min(x, y, surface.shape[0] - 1 - x, surface.shape[1] - 1 - y) < 8
            for i, j in ((4, 0), (-4, 0), (0, 4), (0, -4)):
                a, b = x + i, y + j
                inside = 0 <= a < surface.shape[0] and 0 <= b < surface.shape[1]
                if at_edge and inside and surface.use[a, b] == OPEN:
                    yield Stand(name="boundary stone", x=a, y=b)


GREEN_SET = (
    ("old oak", 6, 5),
    ("well", -6, 5),
    ("red stall", 4, -7),
    ("stall", -8, -6),
    ("bench", 4, 8),
    ("bench", 8, 2),
    ("lamp", -3, 8),
    ("lamp", 8, -3),
    ("lamp", -8, 0),
)
"""What stands on a green, and where, from its middle."""


def _on_greens(surface: Surface, greens: Sequence[Place]) -> Iterator[Stand]:
    for i, j in greens:
        for name, dx, dy in GREEN_SET:
            x, y = i * PITCH + dx, j * PITCH + dy
            if (surface.use[x - 1 : x + 4, y - 1 : y + 3] == GREEN).all():
                yield Stand(name=name, x=x, y=y)


def _by_houses(surface: Surface, plots: Sequence[Plot], draw: Draw) -> Iterator[Stand]:
    """Stacked wood against the side of a plot, and carts by the roads and fields."""
    for plot in plots:
        x0, y0, x1, y1 = plot.rect
        here = draw.at(plot.number)
        along = plot.gate in ("south", "north")
        wheeled = plot.quarter in ("road", "fields") and here.chance(2, 3, "wheeled")
        for name, k in (("woodstack", 0), ("woodstack", 1), *([("cart", 2)] if wheeled else [])):
            far = (-3, x1 - x0 + 2) if along else (-3, y1 - y0 + 2)
            aside = here.at(k).choice(far, "side")
            on = here.at(k).between(2, (y1 - y0 if along else x1 - x0) - 6, "along")
            x, y = (x0 + aside, y0 + on) if along else (x0 + on, y0 + aside)
            box = np.s_[x - 1 : x + 5, y - 1 : y + 3]
            # On a half cell it would be footed, and ground raised against the house.
            high = surface.ground[box]
            level = np.ptp(high) <= 1 and high.max() % 2 == 0
            if level and np.isin(surface.use[box], (OPEN, APRON)).all():
                yield Stand(name=name, x=x, y=y)


def _of_places(places: Sequence[Ground]) -> Iterator[Stand]:
    for ground in places:
        name = ground.kind if ground.faces is None else f"{ground.kind} {ground.faces}"
        yield Stand(name=name, x=ground.middle[0], y=ground.middle[1])


def _of_parcels(parcels: Sequence[Parcel], draw: Draw) -> Iterator[Stand]:
    for n, parcel in enumerate(parcels):
        x0, y0, x1, y1 = parcel.rect
        if parcel.kind == "orchard":
            for x in range(x0 + 2, x1 - 1, 5):
                for y in range(y0 + 2, y1 - 1, 5):
                    yield Stand(name="apple", x=x, y=y)
        elif parcel.kind == "field":
            if parcel.crop in ("stubble", "barley"):
                at = draw.at("stacks", n)
                for k in range(at.below(3, "count")):
                    x, y = (
                        at.at(k).between(low + 3, high - 4, axis)
                        for low, high, axis in ((x0, x1, "x"), (y0, y1, "y"))
                    )
                    yield Stand(name="haystack", x=x, y=y)
            if draw.at("hedge", n).chance(2, 3, "hedged"):
                gap = (x0 + x1) // 2
                for x in range(x0, x1):
                    if abs(x - gap) > 1:
                        yield Stand(name="hedge", x=x, y=y0)
                gap = (y0 + y1) // 2
                for y in range(y0 + 1, y1):
                    if abs(y - gap) > 1:
                        yield Stand(name="hedge", x=x0, y=y)


CLEARING = (("woodstack", -4, 3), ("woodstack", 1, 4), ("cart", 3, -3))
"""What stands in a clearing, from the end of its path."""


def _cut_wood(surface: Surface, clearings: Sequence[Place]) -> Iterator[Stand]:
    for x, y in clearings:
        for name, dx, dy in CLEARING:
            box = np.s_[max(0, x + dx) : x + dx + 4, max(0, y + dy) : y + dy + 2]
            high, use = surface.ground[box], surface.use[box]
            if use.shape == (4, 2) and (use == TRAIL).all() and np.ptp(high) <= 2:
                yield Stand(name=name, x=x + dx, y=y + dy)


def _wild(surface: Surface, near: Field, bounds: Sequence[Stand], draw: Draw) -> Iterator[Stand]:
    """One tree in each square of the woods, here and there one in the open, willows along water."""
    chance = scattered(surface.shape, 10000, draw.at("wild"))
    wet = within(surface.level > 0, 4)
    clear = _clear(surface, bounds)
    for step, use, kinds, among in (
        (5, WOOD, ("oak", "ash", "birch", "fir", "tall fir", "young fir", "lime"), 100),
        (14, OPEN, ("oak", "lime", "ash", "bush", "bush", "birch"), 26),
    ):
        cells = _one_a_square(chance, step)
        here = cells & clear & (surface.use == use) & ((near > 4) | (use == WOOD))
        for x, y in np.argwhere(here).tolist():
            roll = int(chance[x, y])
            if roll % 100 < among:
                high = int(surface.ground[x, y])
                name = kinds[(roll // 100 + high // 5) % len(kinds)]
                yield Stand(name="willow" if wet[x, y] and use == OPEN else name, x=x, y=y)


def _one_a_square(chance: Field, step: int) -> Mask:
    """The column of the highest number in each square of so many cells."""
    n, m = (size // step * step for size in chance.shape)
    squares = chance[:n, :m].reshape(n // step, step, m // step, step).transpose(0, 2, 1, 3)
    flat = squares.reshape(n // step, m // step, step * step)
    best = flat.argmax(axis=2)
    found = np.zeros(chance.shape, dtype=bool)
    i, j = np.indices(best.shape)
    found[i * step + best // step, j * step + best % step] = True
    return found


def _clear(surface: Surface, bounds: Sequence[Stand]) -> Mask:
    """Columns from which a tree reaches over nothing that is built, trodden or wet."""
    shut = ~np.isin(surface.use, (OPEN, WOOD, WATER))
    for stand in bounds:
        shut[stand.x, stand.y] = True
    clear = ~within(shut, 4) & ~within(surface.level > 0, 2)
    for edge in (np.s_[:5], np.s_[-5:], np.s_[:, :5], np.s_[:, -5:]):
        clear[edge] = False
    return np.asarray(clear)
