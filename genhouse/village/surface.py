"""The ground with its lanes: graded, banked, bridged."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from genhouse.village.curves import FINE, nearest
from genhouse.village.land import PITCH
from genhouse.village.lanes import Lanes
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


def pave(watered: Watered, lanes: Lanes, greens: Sequence[Place]) -> Surface:
    """Lanes and greens laid out on the watered ground."""
    ground, level = watered.ground.copy(), watered.level
    shape = (ground.shape[0], ground.shape[1])
    points = np.concatenate([lane.points for lane in lanes.lanes])
    high = np.concatenate([lane.high for lane in lanes.lanes])
    own = np.concatenate([np.full(len(lane.points), n) for n, lane in enumerate(lanes.lanes)])
    width = np.array([WIDTH[lane.kind] for lane in lanes.lanes])[own]
    near = nearest(points, SHOULDER + 3, shape)
    close, at = near.point >= 0, near.point
    beyond = near.far() - width[at]
    trodden = close & (beyond <= 0)
    steps = np.clip(beyond // FINE, 0, SHOULDER)
    bank = close & ~trodden & (level == 0)
    slack = steps + steps * steps // 3
    ground[bank] = np.clip(ground, high[at] - slack, high[at] + slack)[bank]
    wet = level > 0
    ground[trodden & ~wet] = high[at][trodden & ~wet]
    deck = np.zeros(shape, dtype=np.int16)
    deck[trodden & wet] = high[at][trodden & wet]
    road = (width == WIDTH["road"])[at]
    use = np.where(wet, WATER, OPEN).astype(np.uint8)
    use[trodden] = np.where(road, np.where(wet, BRIDGE, ROAD), np.where(wet, FORD, LANE))[trodden]
    lane = np.where(close, own[at], -1).astype(np.int16)
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
