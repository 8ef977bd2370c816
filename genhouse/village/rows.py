"""Rows: in the middle of a village a house may stand against the next one, wall to wall."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import starmap

import numpy as np

from genhouse.core import box
from genhouse.core.axes import STEP, Side, opposite
from genhouse.core.draw import Draw
from genhouse.village.grids import Mask
from genhouse.village.offers import SETBACK, Rect, Sizes, Spot, before
from genhouse.village.surface import PLACE, PLOT, Surface

ROW = (2, 3)
"""How often a house in the middle has a neighbour wall to wall, where there is room for one."""
LONGEST = 3
"""Houses in a row, at most: all of them lie on one level."""
LEVEL = 4
"""Half cells between the lanes before two houses of a row, at most: they share their level."""
DEEPEST = 18
"""Cells from the lane to a house that joins a row, at most."""
BACK = (0, -1, 1, -2, 2, -3, 3, -5, 5)
"""Cells that the front of one stands behind that of the other: a row follows its lane."""


STRETCH = 16
"""Cells along the fronts by which places are looked up."""


def by_front(spots: Sequence[Spot]) -> dict[tuple[Side, int], list[Spot]]:
    """Places by their gate and by the stretch along fronts in which they lie."""
    found: dict[tuple[Side, int], list[Spot]] = {}
    for spot in spots:
        along = spot.x if spot.gate in ("south", "north") else spot.y
        found.setdefault((spot.gate, along // STRETCH), []).append(spot)
    return found


@dataclass(frozen=True, slots=True, kw_only=True)
class Beside:
    """Where a house would join a row.  side: that of the first house on which it stands.  off: cells from
    the lane.  size: its name."""

    spot: Spot
    rect: Rect
    side: Side
    off: int
    size: str


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Row:
    """Who looks for neighbours.  spots: see ``by_front``.  taken: where no plot lies.  apart: cells between
    houses that share no wall."""

    surface: Surface
    spots: Mapping[tuple[Side, int], Sequence[Spot]]
    taken: Mask
    spans: Sizes
    apart: int
    uneven: int
    draw: Draw

    def beside(
        self, spot: Spot, rect: Rect, size: str, courts: Sequence[Rect], joined: Sequence[Side] = ()
    ) -> Beside | None:
        """The first place beside a house that is free, if it is to have a neighbour.  spot: that of the
        house.  courts: what lies before other houses.  joined: where it has a neighbour already."""
        here = self.draw.at(spot.x, spot.y, spot.gate)
        if not here.chance(*ROW, "row"):
            return None
        order = list(self.spans)
        found = (
            one
            for name in order[order.index(size) :]
            for side in here.shuffled(_flanks(spot.gate), "side")
            if side not in joined
            for back in BACK
            for one in self._on(spot, rect, side, name, back)
            if self._free(one, rect, courts)
        )
        return next(found, None)

    def _on(self, spot: Spot, rect: Rect, side: Side, size: str, back: int) -> Iterator[Beside]:
        """Where one of a size stands on one side, so many cells behind the house, by each place of the lane
        before it."""
        here = self.draw.at(spot.x, spot.y, spot.gate, size)
        wide, deep = (
            here.between(*span, n) for n, span in zip("xy", self.spans[size], strict=True)
        )
        placed = _placed(rect, spot.gate, side, (wide, deep), back)
        along, across = (0, 1) if spot.gate in ("south", "north") else (1, 0)
        middle = (placed[along] + placed[along + 2]) // 2
        front = {
            "south": placed[1],
            "west": placed[0],
            "north": placed[3] - 1,
            "east": placed[2] - 1,
        }[spot.gate]
        low, high = ((middle + aside) // STRETCH for aside in (-wide // 4, wide // 4))
        for other in (o for n in range(low, high + 1) for o in self.spots.get((spot.gate, n), ())):
            at = (other.x, other.y)
            off = abs(front - at[across])
            ahead = (front > at[across]) == (spot.gate in ("south", "west"))
            near = abs(at[along] - middle) <= wide // 4 and abs(other.high - spot.high) <= LEVEL
            if near and ahead and other.off + SETBACK <= off <= DEEPEST:
                yield Beside(spot=other, rect=placed, side=side, off=off, size=size)

    def _free(self, one: Beside, of: Rect, courts: Sequence[Rect]) -> bool:
        """Whether it lies on level free ground, as far from others as they are from each other."""
        x0, y0, x1, y1 = one.rect
        wide, deep = self.taken.shape
        if min(x0, y0) < self.apart or x1 + self.apart > wide or y1 + self.apart > deep:
            return False
        if self.taken[x0:x1, y0:y1].any() or any(
            map(box.Rect(*one.rect).meets, starmap(box.Rect, courts))
        ):
            return False
        use = self.surface.use[x0 - self.apart : x1 + self.apart, y0 - self.apart : y1 + self.apart]
        others = use == PLOT
        a0, b0 = x0 - self.apart, y0 - self.apart
        others[max(0, of[0] - a0) : max(0, of[2] - a0), max(0, of[1] - b0) : max(0, of[3] - b0)] = 0
        ahead = before(one.rect, one.spot.gate, one.off)
        shut = np.isin(self.surface.use[ahead], (PLOT, PLACE)).any()
        if others.any() or shut or (self.surface.level[ahead] > 0).any():
            return False
        ground = self.surface.ground[x0:x1, y0:y1]
        mean = int(ground.sum()) // ground.size
        even = int(ground.max()) - int(ground.min()) <= self.uneven
        return even and abs(mean - one.spot.high) <= one.off + 2


def _flanks(gate: Side) -> tuple[Side, Side]:
    return ("west", "east") if gate in ("south", "north") else ("south", "north")


def _placed(rect: Rect, gate: Side, side: Side, size: tuple[int, int], back: int) -> Rect:
    """Against one side of a rectangle, its front so many cells behind that."""
    x0, y0, x1, y1 = rect
    wide, deep = size if gate in ("south", "north") else size[::-1]
    a0 = {"west": x0 - wide, "east": x1}.get(side, x1 - wide if gate == "east" else x0)
    b0 = {"south": y0 - deep, "north": y1}.get(side, y1 - deep if gate == "north" else y0)
    dx, dy = STEP[opposite(gate)]
    a0, b0 = a0 + back * dx, b0 + back * dy
    return a0, b0, a0 + wide, b0 + deep
