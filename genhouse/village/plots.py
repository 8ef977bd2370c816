"""Plots along the lanes: where houses stand, which way they face, and in which quarter.

Places are tried from the greens outward; the room that is left between plots grows with the distance, so
that the middle is close and the edges are loose.  Where that leaves too few, all are tried again, closer.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from genhouse.core.axes import Side
from genhouse.core.draw import Draw
from genhouse.village.curves import FINE
from genhouse.village.grids import Mask
from genhouse.village.land import PITCH
from genhouse.village.lanes import Lane, Lanes
from genhouse.village.spans import within
from genhouse.village.surface import GREEN_REACH, OPEN, PLOT, Surface
from genhouse.village.ways import Place

Rect = tuple[int, int, int, int]

EVERY = 5
"""Points of a lane from one place that is tried to the next."""
SETBACK = 2
"""Cells from a lane to a plot, at least."""
APRON = 3
"""Cells about a plot that nothing else takes."""
TRIES = ((False, 13, 14), (True, 13, 14), (True, 20, 22))
"""How plots are sought, time after time: whether as close as may be; cells from a lane, at most; half cells
between the lowest and the highest ground of a plot, at most."""
BORDER = 8
"""Cells from the edge of the map to a plot, at least."""
SIZES = {
    "large": ((26, 32), (30, 38)),
    "middling": ((22, 26), (24, 30)),
    "small": ((19, 22), (19, 24)),
}
"""Least and most of the frontage and of the depth, in cells."""
QUARTERS = {
    "green": (6, 3, 1),
    "stream": (1, 4, 2),
    "slope": (0, 2, 4),
    "road": (2, 3, 2),
    "fields": (1, 4, 3),
}
"""Quarters of a village, and how often each size is tried first in it."""
MIDDLE, STREAMSIDE, UPHILL = 66, 18, 14
"""Cells from a green, and from water, that belong to them; half cells over the green that are uphill."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Plot:
    """number: from 1.  rect: x0, y0, x1, y1.  gate: the side of the lane.  lane: its number.

    high: half cells of the lane before it.  quarter, size: of QUARTERS and SIZES.  far: cells from the
    nearest green, as the place was tried.
    """

    number: int
    rect: Rect
    gate: Side
    lane: int
    high: int
    quarter: str
    size: str
    far: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """A place by a lane.  x, y: cells, on its middle.  gate: the side of a plot there that has the lane.

    off: cells from there to a plot, at least.
    """

    x: int
    y: int
    gate: Side
    lane: int
    far: int
    high: int
    off: int


def lay_plots(
    surface: Surface,
    lanes: Lanes,
    greens: Sequence[Place],
    houses: int,
    shut: Mask,
    draw: Draw,
) -> tuple[Plot, ...]:
    """As many plots as are wanted, or as there is room for; their ground is marked in the surface.

    shut: where none is to lie.
    """
    taken, found = taken_by(surface) | shut, list[Plot]()
    spots = sorted(
        free_spots(surface, lanes, greens, draw), key=lambda s: (s.far, s.lane, s.x, s.y, s.gate)
    )
    built: list[Rect] = []
    for close, off, uneven in TRIES:
        room = taken.copy()
        for x0, y0, x1, y1 in built:
            room[x0 - APRON : x1 + APRON, y0 - APRON : y1 + APRON] = True
        for spot in spots:
            if len(found) == houses:
                return tuple(found)
            quarter = _quarter(surface, spot, lanes.lanes[spot.lane], greens)
            plot = _plot(surface, room, spot, quarter, (off, uneven), draw, len(found) + 1)
            if plot is None:
                continue
            found.append(plot)
            built.append(plot.rect)
            x0, y0, x1, y1 = plot.rect
            aside = APRON + (0 if close else spot.far * spot.far // 4000)
            room[max(0, x0 - aside) : x1 + aside, max(0, y0 - aside) : y1 + aside] = True
            surface.use[x0:x1, y0:y1] = PLOT
    return tuple(found)


def taken_by(surface: Surface) -> Mask:
    """Where no plot may lie: water and its banks, lanes and their verges, the map's edge."""
    taken = within(surface.level > 0, 4) | within(surface.use != OPEN, SETBACK)
    for edge in (np.s_[:BORDER], np.s_[-BORDER:], np.s_[:, :BORDER], np.s_[:, -BORDER:]):
        taken[edge] = True
    return taken


def free_spots(
    surface: Surface, lanes: Lanes, greens: Sequence[Place], draw: Draw
) -> Iterator[Spot]:
    middles = np.array(greens, dtype=np.int64) * PITCH
    for n, lane in enumerate(lanes.lanes):
        points, last = lane.points, len(lane.points) - 1
        for k in range(8, last - 8, EVERY):
            if lane.over[k - 8 : k + 8].any():
                continue
            dx, dy = (points[min(last, k + 10)] - points[max(0, k - 10)]).tolist()
            x, y = (points[k] // FINE).tolist()
            far = int(np.sqrt(((middles - (x, y)) ** 2).sum(axis=1).min()))
            jitter = draw.at(n).below(14, f"turn {k}")
            sides: tuple[Side, ...] = ("south", "north") if abs(dx) >= abs(dy) else ("west", "east")
            if 2 * min(abs(dx), abs(dy)) > max(abs(dx), abs(dy)):
                sides = ("south", "north", "west", "east")
            for gate in sides:
                yield Spot(
                    x=x, y=y, gate=gate, lane=n, far=far + jitter, high=int(lane.high[k]), off=2
                )
    for x, y in middles.tolist():
        nearest, high = int(surface.lane[x, y]), int(surface.top[x, y])
        for aside in (-9, 0, 9):
            for gate in ("south", "north", "west", "east"):
                along = gate in ("south", "north")
                i, j = (x + aside, y) if along else (x, y + aside)
                yield Spot(x=i, y=j, gate=gate, lane=nearest, far=0, high=high, off=GREEN_REACH)


def _plot(
    surface: Surface,
    taken: Mask,
    spot: Spot,
    quarter: str,
    most: tuple[int, int],
    draw: Draw,
    number: int,
) -> Plot | None:
    """The first size that fits, of what is drawn for the place and what is smaller.  most: of ``TRIES``."""
    here = draw.at(spot.x, spot.y, spot.gate)
    names = list(SIZES)
    first = here.choice(names, "size", QUARTERS[quarter])
    for size in names[names.index(first) :]:
        rect = _fitted(surface, taken, spot, size, most, here)
        if rect is not None:
            return Plot(
                number=number,
                rect=rect,
                gate=spot.gate,
                lane=spot.lane,
                high=spot.high,
                quarter=quarter,
                size=size,
                far=spot.far,
            )
    return None


def _quarter(surface: Surface, spot: Spot, lane: Lane, greens: Sequence[Place]) -> str:
    if spot.far < MIDDLE:
        return "green"
    x, y, near = spot.x, spot.y, STREAMSIDE
    if (surface.level[max(0, x - near) : x + near, max(0, y - near) : y + near] > 0).any():
        return "stream"
    i, j = min(greens, key=lambda g: ((g[0] * PITCH - x) ** 2 + (g[1] * PITCH - y) ** 2, g))
    if spot.high > int(surface.top[i * PITCH, j * PITCH]) + UPHILL:
        return "slope"
    return "road" if lane.kind == "road" else "fields"


def _fitted(
    surface: Surface, taken: Mask, spot: Spot, size: str, most: tuple[int, int], draw: Draw
) -> Rect | None:
    """The rectangle nearest to the lane that is free and level enough."""
    front, deep = (
        draw.between(*span, axis) for span, axis in zip(SIZES[size], ("front", "deep"), strict=True)
    )
    aside = front * draw.between(30, 70, "aside") // 100
    for off in range(spot.off + SETBACK, spot.off + most[0]):
        x0, y0, x1, y1 = rect = placed(spot, front, deep, aside, off)
        if min(x0, y0) < 0 or x1 > surface.shape[0] or y1 > surface.shape[1]:
            return None
        if not taken[x0:x1, y0:y1].any():
            if (surface.level[before(rect, spot.gate, off)] > 0).any():
                return None
            ground = surface.ground[x0:x1, y0:y1]
            mean = int(ground.sum()) // ground.size
            even = int(ground.max()) - int(ground.min()) <= most[1]
            return rect if even and abs(mean - spot.high) <= off + 2 else None
    return None


def before(rect: Rect, gate: Side, deep: int) -> tuple[slice, slice]:
    """The columns so far before a rectangle's gate side."""
    x0, y0, x1, y1 = rect
    match gate:
        case "south":
            y0, y1 = max(0, y0 - deep), y0
        case "north":
            y0, y1 = y1, y1 + deep
        case "west":
            x0, x1 = max(0, x0 - deep), x0
        case "east":
            x0, x1 = x1, x1 + deep
    return np.s_[x0:x1], np.s_[y0:y1]


def placed(spot: Spot, front: int, deep: int, aside: int, off: int) -> Rect:
    """A rectangle so far from the lane, on the side that has its gate to it."""
    x, y = spot.x - aside, spot.y - aside
    match spot.gate:
        case "south":
            return x, spot.y + off, x + front, spot.y + off + deep
        case "north":
            return x, spot.y - off - deep + 1, x + front, spot.y - off + 1
        case "west":
            return spot.x + off, y, spot.x + off + deep, y + front
        case "east":
            return spot.x - off - deep + 1, y, spot.x - off + 1, y + front
