"""What a village shares: a shrine on the rise, a mill at the weir; wells and lamps come with the lanes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from genhouse.core.axes import Side
from genhouse.village.grids import Mask
from genhouse.village.offers import Rect, Spot
from genhouse.village.paths import Cell, way_out
from genhouse.village.plots import placed, taken_by
from genhouse.village.surface import OPEN, PLACE, Surface
from genhouse.village.water import Watered

SHRINE, MILL = 11, (9, 9)
"""Cells along the sides of their grounds."""
RISE = (40, 210)
"""Cells from a green between which a shrine may lie."""
UNEVEN = 10
"""Half cells between the lowest and the highest ground, at most."""
BESIDE = 2
"""Cells beside a way that are no plot's."""
WEIR = 30
"""Cells from the weir within which the mill stands."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """A place that is levelled.  kind: what stands there.  gate: the side by which one comes, and the cell.

    faces: of a mill, the side of its wheel.  way: from before the gate to a lane.
    """

    kind: str
    rect: Rect
    gate: Side
    door: tuple[int, int]
    faces: Side | None = None
    way: tuple[Cell, ...] = ()

    @property
    def covers(self) -> Mask:
        """All columns of its rectangle."""
        x0, y0, x1, y1 = self.rect
        return np.ones((x1 - x0, y1 - y0), dtype=bool)

    @property
    def row(self) -> int:
        """It stands alone."""
        return 0

    @property
    def middle(self) -> tuple[int, int]:
        x0, y0, x1, y1 = self.rect
        return (x0 + x1) // 2, (y0 + y1) // 2


def lay_places(
    surface: Surface,
    watered: Watered,
    spots: Sequence[Spot],
    shut: Mask,
) -> tuple[Ground, ...]:
    """The grounds of what the village shares, marked in its surface.  spots: places by its lanes."""
    taken = taken_by(surface) | shut
    found = []
    for ground in (*_shrine(surface, taken, spots), *_mill(surface, shut, watered)):
        if way := way_out(surface, ground.door, ground.gate):
            x0, y0, x1, y1 = ground.rect
            surface.use[x0:x1, y0:y1] = PLACE
            found.append(replace(ground, way=way))
    return tuple(found)


def ways_of(places: Sequence[Ground], shape: tuple[int, int]) -> Mask:
    """Columns beside the ways to places, which they need."""
    found = np.zeros(shape, dtype=bool)
    for x, y in (cell for ground in places for cell in ground.way):
        found[max(0, x - BESIDE) : x + BESIDE + 1, max(0, y - BESIDE) : y + BESIDE + 1] = True
    return found


def _shrine(surface: Surface, taken: Mask, spots: Sequence[Spot]) -> Iterator[Ground]:
    """On the highest level ground by a lane that is not far."""
    low, high = RISE
    near = [spot for spot in spots if low < spot.far < high]
    for spot in sorted(near, key=lambda s: (-s.high, s.far, s.x, s.y, s.gate)):
        for off in range(5, 14):
            x0, y0, x1, y1 = rect = placed(spot, SHRINE, SHRINE, SHRINE // 2, off)
            free = min(x0, y0) > 0 and x1 < surface.shape[0] and y1 < surface.shape[1]
            if free and not taken[x0:x1, y0:y1].any() and _level(surface, rect):
                yield Ground(kind="shrine", rect=rect, gate=spot.gate, door=_door(rect, spot.gate))
                return


def _mill(surface: Surface, shut: Mask, watered: Watered) -> Iterator[Ground]:
    """On the bank below the weir, its wheel in the stream."""
    if watered.weir is None:
        return
    x, y = watered.weir
    wide, deep = MILL
    options = []
    for x0 in range(max(8, x - WEIR), min(surface.shape[0] - wide - 8, x + WEIR)):
        for y0 in range(max(8, y - WEIR), min(surface.shape[1] - deep - 8, y + WEIR)):
            rect = (x0, y0, x0 + wide, y0 + deep)
            box = np.s_[x0 : x0 + wide, y0 : y0 + deep]
            if (surface.use[box] == OPEN).all() and not shut[box].any():
                middle = np.s_[y0 + 2 : y0 + deep - 2]
                for wheel, beside in (("east", x0 + wide + 1), ("west", x0 - 2)):
                    wet = bool((surface.level[beside, middle] > 0).all())
                    if wet and _level(surface, rect):
                        far = (x0 + wide // 2 - x) ** 2 + (y0 + deep // 2 - y) ** 2
                        options.append((far, x0, y0, wheel, rect))
    if options:
        *_, wheel, rect = min(options)
        gate: Side = "west" if wheel == "east" else "east"
        yield Ground(kind="mill", rect=rect, gate=gate, door=_door(rect, gate), faces=wheel)  # type: ignore[arg-type]


def _level(surface: Surface, rect: Rect) -> bool:
    x0, y0, x1, y1 = rect
    ground = surface.ground[x0:x1, y0:y1]
    return int(ground.max()) - int(ground.min()) <= UNEVEN


def _door(rect: Rect, gate: Side) -> tuple[int, int]:
    x0, y0, x1, y1 = rect
    x, y = (x0 + x1 - 1) // 2, (y0 + y1 - 1) // 2
    return {"south": (x, y0), "north": (x, y1 - 1), "west": (x0, y), "east": (x1 - 1, y)}[gate]
