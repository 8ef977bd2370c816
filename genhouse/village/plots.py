"""Plots along the lanes: where houses stand, which way they face, and in which quarter.

Places are tried from the greens outward; the room that is left between plots grows with the distance, so
that the middle is close and the edges are loose.  Where that leaves too few, all are tried again, closer.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from genhouse.core.axes import Side, opposite
from genhouse.core.draw import Draw
from genhouse.village.curves import FINE
from genhouse.village.grids import Mask, scattered_at
from genhouse.village.land import PITCH
from genhouse.village.lanes import Lanes
from genhouse.village.offers import SETBACK, SIZES, Offers, Rect, Sizes, Spot, before
from genhouse.village.rows import LONGEST, Row, by_front
from genhouse.village.spans import within
from genhouse.village.surface import GREEN_REACH, OPEN, PLACE, PLOT, Halves, Surface
from genhouse.village.ways import Place

EVERY = 5
"""Points of a lane from one place that is tried to the next."""
APRON = 3
"""Cells about a plot that nothing else takes."""
TRIES = ((False, 13, 14), (True, 16, 14), (True, 22, 22))
"""How plots are sought, time after time: whether as close as may be; cells from a lane, at most; half cells
between the lowest and the highest ground of a plot, at most.  In the middle all is done at once: it is
filled before anything is built farther out."""
BORDER = 8
"""Cells from the edge of the map to a plot, at least."""
QUARTERS = {
    "green": (6, 3, 1),
    "stream": (1, 4, 2),
    "slope": (0, 2, 4),
    "road": (2, 3, 2),
    "fields": (1, 4, 3),
    "inn": (1, 0, 0),
}
"""Quarters of a village, and how often each size is tried first in it; an inn takes a plot of another."""
MIDDLE, STREAMSIDE, UPHILL = 84, 18, 14
"""Cells from a green, and from water, that belong to them; half cells over the green that are uphill."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Plot:
    """number: from 1.  rect: x0, y0, x1, y1.  gate: the side of the lane.  lane: its number.

    high: half cells of the lane before it.  off: cells from the middle of the lane.  quarter, size: of
    QUARTERS and SIZES.  far: cells from the nearest green, as the place was tried.  party: the sides on
    which it stands against a neighbour; row: the number of the first house of such a row, of one that
    stands alone its own.
    """

    number: int
    rect: Rect
    gate: Side
    lane: int
    high: int
    off: int
    quarter: str
    size: str
    far: int
    row: int
    party: tuple[Side, ...] = ()

    @property
    def measures(self) -> tuple[int, int]:
        """Frontage, and depth from the lane."""
        x0, y0, x1, y1 = self.rect
        sides = x1 - x0, y1 - y0
        return sides if self.gate in ("south", "north") else (sides[1], sides[0])

    @property
    def forecourt(self) -> Rect:
        """What lies between it and the lane."""
        x, y = before(self.rect, self.gate, self.off)
        return x.start, y.start, x.stop, y.stop


def lay_plots(
    surface: Surface,
    lanes: Lanes,
    greens: Sequence[Place],
    spots: Sequence[Spot],
    houses: int,
    shut: Mask,
    draw: Draw,
    spans: Sizes = SIZES,
) -> tuple[Plot, ...]:
    """As many plots as are wanted, or as there is room for; their ground is marked in the surface.

    spots: where they may lie.  shut: where none is to.  spans: of how large they are.
    """
    spots = sorted(spots, key=lambda s: (s.far, s.lane, s.x, s.y, s.gate))
    offers = Offers.of(spots, max(off for _, off, _ in TRIES), spans, draw)
    taken = taken_by(surface) | shut
    free, found = offers.free(taken), list[Plot]()
    outside = np.array([spot.far >= MIDDLE for spot in spots], dtype=bool)
    quarters = _Quarters.of(surface, lanes, greens)
    fronts = by_front([spot for spot in spots if spot.far < 2 * MIDDLE])
    for close, off, uneven in TRIES:
        alive = free.copy()
        alive[outside, :, off - SETBACK :] = False
        for plot in found:
            offers.shut(alive, plot.rect, APRON)
            offers.shut(alive, plot.forecourt, 0)
        rows = Row(
            surface=surface,
            spots=fronts,
            taken=taken,
            spans=spans,
            apart=APRON,
            uneven=TRIES[-1][2],
            draw=draw.at("rows"),
        )
        for n in np.flatnonzero(alive.any(axis=(1, 2))).tolist():
            if len(found) == houses:
                return tuple(found)
            if not alive[n].any():
                continue
            spot = spots[n]
            quarter = quarters.at(spot)
            sizes = list(spans)
            first = draw.at(spot.x, spot.y, spot.gate).choice(sizes, "size", QUARTERS[quarter])
            for size in range(sizes.index(first), len(sizes)):
                most = uneven if outside[n] else TRIES[-1][2]
                fitted = _fitted(surface, offers, alive, (n, size), spot, most)
                if fitted:
                    new = [_plot(len(found) + 1, spot, fitted, quarter, sizes[size])]
                    if quarter == "green":
                        new = _in_a_row(rows, spot, new[0], found, houses - len(found))
                    for plot in new:
                        x0, y0, x1, y1 = plot.rect
                        surface.use[x0:x1, y0:y1] = PLOT
                        offers.shut(alive, plot.rect, APRON + (0 if close else spot.far**2 // 4000))
                        offers.shut(alive, plot.forecourt, 0)
                    found += new
                    break
    return tuple(found)


def _plot(number: int, spot: Spot, at: tuple[Rect, int], quarter: str, size: str) -> Plot:
    rect, off = at
    return Plot(
        number=number,
        rect=rect,
        gate=spot.gate,
        lane=spot.lane,
        high=spot.high,
        off=off,
        quarter=quarter,
        size=size,
        far=spot.far,
        row=number,
    )


def _in_a_row(rows: Row, spot: Spot, plot: Plot, before: Sequence[Plot], most: int) -> list[Plot]:
    """A plot, and those that stand against it, one against the other, so many together at most."""
    row = [plot]
    while len(row) < min(most, LONGEST):
        last, courts = row[-1], [one.forecourt for one in (*before, *row)]
        joins = rows.beside(spot, last.rect, last.size, courts, last.party)
        if joins is None:
            break
        row[-1] = replace(last, party=(*last.party, joins.side))
        at, spot = (joins.rect, joins.off), joins.spot
        beside = _plot(last.number + 1, spot, at, plot.quarter, joins.size)
        row.append(replace(beside, row=plot.number, party=(opposite(joins.side),)))
    return row


def taken_by(surface: Surface) -> Mask:
    """Where no plot may lie: water and its banks, lanes and their verges, the map's edge."""
    taken = within(surface.level > 0, 4) | within(surface.use != OPEN, SETBACK)
    for edge in (np.s_[:BORDER], np.s_[-BORDER:], np.s_[:, :BORDER], np.s_[:, -BORDER:]):
        taken[edge] = True
    return taken


def free_spots(
    surface: Surface, lanes: Lanes, greens: Sequence[Place], draw: Draw
) -> Iterator[Spot]:
    """Places beside lanes, away from bridges and fords, and about greens; each on the sides that it has."""
    middles = np.array(greens, dtype=np.int64) * PITCH
    for n, lane in enumerate(lanes.lanes):
        points, last = lane.points, len(lane.points) - 1
        k = np.arange(8, last - 8, EVERY)
        wet = np.cumsum(np.concatenate(([0], lane.over)))
        k = k[wet[k + 8] == wet[k - 8]]
        at = points[k] // FINE
        square = ((middles[:, None] - at) ** 2).sum(axis=2).min(axis=0)
        far = np.sqrt(square).astype(np.int64) + scattered_at(k, k * 0 + n, 14, draw.at("turn"))
        ahead = np.abs(points[np.minimum(last, k + 10)] - points[np.maximum(0, k - 10)])
        rows = (at, ahead, far[:, None], lane.high[k][:, None])
        for x, y, dx, dy, away, high in np.concatenate(rows, axis=1).tolist():
            sides: tuple[Side, ...] = ("south", "north") if dx >= dy else ("west", "east")
            if 2 * min(dx, dy) > max(dx, dy):
                sides = ("south", "north", "west", "east")
            for gate in sides:
                yield Spot(x=x, y=y, gate=gate, lane=n, far=away, high=high, off=2)
    for x, y in middles.tolist():
        nearest, high = _lane_at(lanes, x, y), surface.top_at((x, y))
        for aside in (-9, 0, 9):
            for gate in ("south", "north", "west", "east"):
                along = gate in ("south", "north")
                i, j = (x + aside, y) if along else (x, y + aside)
                yield Spot(x=i, y=j, gate=gate, lane=nearest, far=0, high=high, off=GREEN_REACH)


def _lane_at(lanes: Lanes, x: int, y: int) -> int:
    """The number of the lane nearest to a column, of equally near ones the first."""
    middle = np.array([x, y]) * FINE + FINE // 2
    far = [int(np.square(lane.points - middle).sum(axis=1).min()) for lane in lanes.lanes]
    return far.index(min(far))


def _fitted(
    surface: Surface,
    offers: Offers,
    alive: Mask,
    at: tuple[int, int],
    spot: Spot,
    uneven: int,
) -> tuple[Rect, int] | None:
    """The rectangle of a place and size nearest to the lane that is free, where it is level enough, and
    its cells from there."""
    near = np.flatnonzero(alive[at])
    if not len(near):
        return None
    rect = x0, y0, x1, y1 = offers.rect(*at, int(near[0]))
    off = spot.off + SETBACK + int(near[0])
    ahead = before(rect, spot.gate, off)
    if (surface.level[ahead] > 0).any() or np.isin(surface.use[ahead], (PLOT, PLACE)).any():
        return None
    ground = surface.ground[x0:x1, y0:y1]
    mean = int(ground.sum()) // ground.size
    even = int(ground.max()) - int(ground.min()) <= uneven
    return (rect, off) if even and abs(mean - spot.high) <= off + 2 else None


@dataclass(frozen=True, slots=True)
class _Quarters:
    """In which quarter places lie.  greens: their middles, in cells, and how high they lie."""

    level: Halves
    lanes: Lanes
    greens: tuple[tuple[int, int, int], ...]

    @classmethod
    def of(cls, surface: Surface, lanes: Lanes, greens: Sequence[Place]) -> _Quarters:
        middles = [(i * PITCH, j * PITCH) for i, j in greens]
        return cls(surface.level, lanes, tuple((x, y, surface.top_at((x, y))) for x, y in middles))

    def at(self, spot: Spot) -> str:
        if spot.far < MIDDLE:
            return "green"
        x, y, near = spot.x, spot.y, STREAMSIDE
        if (self.level[max(0, x - near) : x + near, max(0, y - near) : y + near] > 0).any():
            return "stream"
        *_, green = min(self.greens, key=lambda g: ((g[0] - x) ** 2 + (g[1] - y) ** 2, g))
        if spot.high > green + UPHILL:
            return "slope"
        return "road" if self.lanes.lanes[spot.lane].kind == "road" else "fields"


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
