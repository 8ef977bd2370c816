"""The ground with its lanes: graded, banked, bridged."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from genhouse.village.curves import FINE, nearest
from genhouse.village.grids import ROWS
from genhouse.village.land import PITCH
from genhouse.village.lanes import Course, Lanes
from genhouse.village.water import Watered
from genhouse.village.ways import Place

Halves = npt.NDArray[np.int16]
Uses = npt.NDArray[np.uint8]
Ints = npt.NDArray[np.int32]

(
    OPEN, WATER, ROAD, LANE, BRIDGE, FORD, GREEN, PATH, PLOT, APRON, FIELD, WOOD, ORCHARD, PLACE, TRAIL,
    GUTTER,
) = range(16)  # fmt: skip
"""What a column of ground is used for.  PLACE: where something of the village's own stands.  TRAIL: a
footpath, which leaves the ground as it is.  GUTTER: in the middle of a lane."""
TRODDEN = (ROAD, LANE, BRIDGE, FORD, GREEN, PATH, GUTTER)
WIDTH = {"road": 38, "lane": 26}
"""From a lane's middle to its edge, in sixteenths."""
SHOULDER = 7
"""Cells beside a lane over which the ground comes to its height."""
GUTTERED, HALF_WIDE = 130, 8
"""Cells from a green up to which lanes have a gutter, half a cell deep; sixteenths from its middle to its
side."""
GREEN_REACH = 11
"""Cells from the middle of a green to its edge."""


@dataclass(frozen=True, slots=True, eq=False)
class Surface:
    """Ground as it is being made: who makes it fills its arrays, hands it on, and changes it no more.

    ground: half cells, solid up to here; of a bridge or ford, the bed.  level: cells of water, 0 where dry.
    deck: half cells of what is walked over water, else 0.  use: of each column.
    """

    ground: Halves
    level: Halves
    deck: Halves
    use: Uses

    @property
    def top(self) -> Halves:
        """What one walks on, or would."""
        return np.maximum(self.ground, self.deck)

    def top_at(self, at: Place) -> int:
        """The same of one column."""
        return max(int(self.ground[at]), int(self.deck[at]))

    @property
    def shape(self) -> tuple[int, int]:
        return (self.ground.shape[0], self.ground.shape[1])


@dataclass(frozen=True, slots=True, eq=False)
class Bed:
    """Where lanes lie, before their heights: of the columns within their shoulders alone.

    columns: their flat numbers.  at: number, among all points of lanes, of the nearest to each.  beyond:
    sixteenths from the edge of the lane, negative within.
    """

    columns: Ints
    at: Ints
    beyond: Halves


def bed_of(course: Course, watered: Watered) -> Bed:
    """Row after row of the map, for few columns of it are near a lane."""
    points, reach = np.concatenate(course.lines), SHOULDER + 3
    width = np.repeat([WIDTH[kind] for kind in course.kinds], list(map(len, course.lines)))
    row = points[:, 0] // FINE
    n, m = watered.ground.shape
    columns, at, beyond = list[Ints](), list[Ints](), list[Halves]()
    for low in range(0, n, ROWS):
        high = min(n, low + ROWS)
        own = np.flatnonzero((row >= low - reach) & (row < high + reach)).astype(np.int32)
        near = nearest(points[own] - (low * FINE, 0), reach, (high - low, m))
        close = np.flatnonzero(near.point >= 0)
        point = own[near.point.reshape(-1)[close]]
        far = near.far().reshape(-1)[close] - width[point]
        columns.append((close + low * m).astype(np.int32))
        at.append(point)
        beyond.append(far.astype(np.int16))
    return Bed(np.concatenate(columns), np.concatenate(at), np.concatenate(beyond))


def pave(watered: Watered, lanes: Lanes, bed: Bed, greens: Sequence[Place]) -> Surface:
    """Lanes and greens laid out on the watered ground."""
    surface = Surface(
        ground=watered.ground.copy(),
        level=watered.level,
        deck=np.zeros_like(watered.ground),
        use=np.where(watered.level > 0, np.uint8(WATER), np.uint8(OPEN)),
    )
    ground, deck, use = (a.reshape(-1) for a in (surface.ground, surface.deck, surface.use))
    high = np.concatenate([lane.high for lane in lanes.lanes]).astype(np.int16)[bed.at]
    road = np.repeat(
        [lane.kind == "road" for lane in lanes.lanes], [len(lane.points) for lane in lanes.lanes]
    )[bed.at]
    wet, trodden = use[bed.columns] == WATER, bed.beyond <= 0
    bank = ~trodden & ~wet
    steps = np.clip(bed.beyond[bank] // FINE, 0, SHOULDER)
    slack = steps + steps * steps // 3
    beside = bed.columns[bank]
    ground[beside] = np.clip(ground[beside], high[bank] - slack, high[bank] + slack)
    ground[bed.columns[trodden & ~wet]] = high[trodden & ~wet]
    deck[bed.columns[trodden & wet]] = high[trodden & wet]
    use[bed.columns[trodden]] = np.where(
        road, np.where(wet, BRIDGE, ROAD), np.where(wet, FORD, LANE)
    )[trodden]
    for i, j in greens:
        _green(surface, i * PITCH, j * PITCH)
    gutter = bed.columns[trodden & ~wet & _guttered(lanes, bed, greens, road)]
    ground[gutter] -= 1
    use[gutter] = GUTTER
    return surface


def _guttered(
    lanes: Lanes, bed: Bed, greens: Sequence[Place], road: npt.NDArray[np.bool_]
) -> npt.NDArray[np.bool_]:
    """Which columns of a bed lie in the middle of a lane of the village.  Rain runs there from both sides,
    and along it to where the lane falls."""
    points = np.concatenate([lane.points for lane in lanes.lanes]) // FINE
    middles = np.array(greens, dtype=np.int64) * PITCH
    near = np.zeros(len(points), dtype=bool)
    for middle in middles:
        near |= np.square(points - middle).sum(axis=1) < GUTTERED * GUTTERED
    side = bed.beyond + np.where(road, WIDTH["road"], WIDTH["lane"])
    return np.asarray(near[bed.at] & (side <= HALF_WIDE))


def _green(surface: Surface, x: int, y: int) -> None:
    """Level ground about a meeting of lanes, as high as that; it comes to the lanes' heights within a
    shoulder."""
    reach = GREEN_REACH + SHOULDER
    box = np.s_[max(0, x - reach) : x + reach + 1, max(0, y - reach) : y + reach + 1]
    ground, use = surface.ground[box], surface.use[box]
    i, j = np.indices(ground.shape)
    i, j = i + max(0, x - reach) - x, j + max(0, y - reach) - y
    square = i * i + j * j
    level = surface.top_at((x, y)) // 2 * 2
    steps = np.maximum(np.sqrt(square).astype(np.int64) - GREEN_REACH, 0)
    dry = surface.level[box] == 0
    near = dry & (square < reach * reach)
    ground[near] = np.clip(ground, level - steps, level + steps)[near]
    use[near & (steps == 0) & (use == OPEN)] = GREEN
