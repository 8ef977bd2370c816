"""The ground with its lanes: graded, banked, bridged."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from genhouse.village.curves import FINE, nearest
from genhouse.village.grids import Mask
from genhouse.village.land import PITCH
from genhouse.village.lanes import Course, Lanes
from genhouse.village.water import Watered
from genhouse.village.ways import Place

Halves = npt.NDArray[np.int16]
Uses = npt.NDArray[np.uint8]

(OPEN, WATER, ROAD, LANE, BRIDGE, FORD, GREEN, PATH, PLOT, APRON, FIELD, WOOD, ORCHARD, PLACE) = (
    range(14)
)
"""What a column of ground is used for.  PLACE: where something of the village's own stands."""
NAMES = (
    "open", "water", "road", "lane", "bridge", "ford", "green", "path", "plot", "apron", "field", "wood",
    "orchard", "place",
)  # fmt: skip
TRODDEN = (ROAD, LANE, BRIDGE, FORD, GREEN, PATH)
WIDTH = {"road": 38, "lane": 26}
"""From a lane's middle to its edge, in sixteenths."""
SHOULDER = 7
"""Cells beside a lane over which the ground comes to its height."""
GREEN_REACH = 11
"""Cells from the middle of a green to its edge."""


@dataclass(frozen=True, slots=True, eq=False)
class Surface:
    """Ground as it is being made: who makes it fills its arrays, hands it on, and changes it no more.

    ground: half cells, solid up to here; of a bridge or ford, the bed.  level: cells of water, 0 where dry.
    deck: half cells of what is walked over water, else 0.  use: of each column.  lane: number of the lane
    that a column is nearest to within its shoulder, or -1.
    """

    ground: Halves
    level: Halves
    deck: Halves
    use: Uses
    lane: Halves

    @property
    def top(self) -> Halves:
        """What one walks on, or would."""
        return np.maximum(self.ground, self.deck)

    @property
    def shape(self) -> tuple[int, int]:
        return (self.ground.shape[0], self.ground.shape[1])


@dataclass(frozen=True, slots=True, eq=False)
class Bed:
    """Where lanes lie, before their heights.

    at: number, among all their points, of that nearest to each column.  close: whether it lies within its
    shoulder.  beyond: sixteenths from the edge of the lane, negative within.
    """

    at: npt.NDArray[np.int32]
    close: Mask
    beyond: Halves


def bed_of(course: Course, watered: Watered) -> Bed:
    """Of all columns of the map."""
    shape = (watered.ground.shape[0], watered.ground.shape[1])
    near = nearest(np.concatenate(course.lines), SHOULDER + 3, shape)
    width = np.repeat([WIDTH[kind] for kind in course.kinds], list(map(len, course.lines)))
    beyond = np.minimum(near.far(), 1 << 14).astype(np.int16) - width[near.point].astype(np.int16)
    return Bed(at=near.point, close=near.point >= 0, beyond=beyond)


def pave(watered: Watered, lanes: Lanes, bed: Bed, greens: Sequence[Place]) -> Surface:
    """Lanes and greens laid out on the watered ground."""
    ground, level = watered.ground.copy(), watered.level
    high = np.concatenate([lane.high for lane in lanes.lanes]).astype(np.int16)[bed.at]
    road, own = (
        np.repeat(values, [len(lane.points) for lane in lanes.lanes])[bed.at]
        for values in (
            [lane.kind == "road" for lane in lanes.lanes],
            np.arange(len(lanes.lanes), dtype=np.int16),
        )
    )
    wet, trodden = level > 0, bed.close & (bed.beyond <= 0)
    bank = bed.close & ~trodden & ~wet
    steps = np.clip(bed.beyond // FINE, 0, SHOULDER)
    slack = steps + steps * steps // 3
    ground[bank] = np.clip(ground, high - slack, high + slack)[bank]
    ground[trodden & ~wet] = high[trodden & ~wet]
    deck = np.where(trodden & wet, high, np.int16(0))
    use = np.where(wet, np.uint8(WATER), np.uint8(OPEN))
    wet_road, road = road[trodden] & wet[trodden], road[trodden]
    use[trodden] = np.where(
        road,
        np.where(wet_road, BRIDGE, ROAD),
        np.where(wet[trodden], FORD, LANE),
    )
    lane = np.where(bed.close, own, np.int16(-1))
    surface = Surface(ground=ground, level=level.copy(), deck=deck, use=use, lane=lane)
    for i, j in greens:
        _green(surface, i * PITCH, j * PITCH)
    return surface


def _green(surface: Surface, x: int, y: int) -> None:
    """Level ground about a meeting of lanes, as high as that; it comes to the lanes' heights within a
    shoulder."""
    reach = GREEN_REACH + SHOULDER
    box = np.s_[max(0, x - reach) : x + reach + 1, max(0, y - reach) : y + reach + 1]
    ground, use = surface.ground[box], surface.use[box]
    i, j = np.indices(ground.shape)
    i, j = i + max(0, x - reach) - x, j + max(0, y - reach) - y
    square = i * i + j * j
    level = int(surface.top[x, y]) // 2 * 2
    steps = np.maximum(np.sqrt(square).astype(np.int64) - GREEN_REACH, 0)
    dry = surface.level[box] == 0
    near = dry & (square < reach * reach)
    ground[near] = np.clip(ground, level - steps, level + steps)[near]
    use[near & (steps == 0) & (use == OPEN)] = GREEN
