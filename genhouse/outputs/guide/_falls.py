"""Ridges, hips, valleys and falls of a roof, read from how high its columns are."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import cc3d
import numpy as np
import numpy.typing as npt
from msgspec import Struct

from genhouse.core.axes import SIDES, STEP, Side, opposite

Heights = npt.NDArray[np.int64]
Mask = npt.NDArray[np.bool_]
Cell = tuple[int, int]
Corner = tuple[str, Cell, Side, Side]
NONE = -1
"""Height of a column without a roof."""
CLIFF = 4
"""Quarters of a cell: what drops by more from one column to the next is no slope, but another roof."""
LEAST = 5
"""Cells of a slope that has an arrow of its own."""
DIAGONALS: tuple[tuple[Side, Side], ...] = (
    ("east", "north"),
    ("west", "north"),
    ("west", "south"),
    ("east", "south"),
)
NAMED = {f"{b}-{a}": (a, b) for a, b in DIAGONALS}
"""Corners as forms call them."""


class Line(Struct, frozen=True):
    """kind: ridge, hip or valley.  From x0, y0 to x1, y1, in cells of the plot."""

    kind: str
    x0: float
    y0: float
    x1: float
    y1: float


class Fall(Struct, frozen=True):
    """Where water runs: from the middle of a cell toward a side."""

    x: int
    y: int
    side: Side


class _Beside:
    """What the columns beside each are, side by side.  edge: nothing, or what lies far lower."""

    def __init__(self, tops: Heights) -> None:
        here, wide = tops >= 0, np.pad(tops, 1, constant_values=NONE)
        width, depth = tops.shape
        self.edge, self.joined = dict[Side, Mask](), dict[Side, Mask]()
        self.lower, self.higher = dict[Side, Mask](), dict[Side, Mask]()
        self.level = dict[Side, Mask]()
        for side, (dx, dy) in STEP.items():
            beside = wide[1 + dx : 1 + dx + width, 1 + dy : 1 + dy + depth]
            drop = beside - tops
            joined = (beside >= 0) & here & (abs(drop) <= CLIFF)
            self.joined[side] = joined
            self.edge[side] = here & ~joined & (drop < 0)
            self.lower[side] = here & (self.edge[side] | joined & (drop < 0))
            self.higher[side], self.level[side] = joined & (drop > 0), joined & (drop == 0)


class Surface:
    """A roof, its verges, parapets and swept corners no higher than what is beside them.

    tops: of its columns, in quarters of a cell, NONE where there is no roof: int [X, Y].

    pieces: hips and valleys that are pieces of their own: kind, cell, and the corner that each climbs to.
    spouts: columns in which water leaves a flat roof, and the axis along which it does.
    """

    def __init__(
        self, tops: Heights, pieces: Sequence[Corner] = (), spouts: Sequence[tuple[Cell, str]] = ()
    ) -> None:
        self.spouts, self._pieces = tuple(spouts), tuple(pieces)
        tops = _whole(tops)
        self._raw = _Beside(tops)
        even = tops.copy()
        for side in SIDES:
            back, (dx, dy) = opposite(side), STEP[side]
            verge = self._raw.edge[side] & self._raw.lower[back] & self._raw.joined[back]
            inner = np.roll(tops, (dx, dy), (0, 1))
            verge &= np.roll(self._raw.level[back], (dx, dy), (0, 1))
            even = np.where(verge, np.minimum(even, inner), even)
        beside = _Beside(even)
        self.tops, self.joined, self.lower = even, beside.joined, beside.lower
        self.higher, self.level = beside.higher, beside.level

    def lines(self) -> tuple[Line, ...]:
        """From the south-west corner outward, each as long as it goes."""
        single = (*self._ridges(), *self._hips(), *self._valleys(), *self._laid())
        return tuple(_calm(tuple(_joined(single))))

    def falls(self) -> tuple[Fall, ...]:
        """One for each slope, in the middle of it, and what leaves a flat roof."""
        found = []
        for side in SIDES:
            for cells in _parts(self.slopes(side)):
                if len(cells) >= LEAST:
                    x, y = _middle(cells)
                    found.append(Fall(x, y, side))
        return (*found, *self._gaps(), *self._to_spouts())

    def slopes(self, side: Side) -> Mask:
        """The columns that fall to a side and to no other."""
        back = opposite(side)
        across = [s for s in SIDES if s not in (side, back)]
        fall = self.lower[side] & (self.higher[back] | self.level[back] & self.joined[side])
        fall |= self.level[side] & self.higher[back]
        return np.asarray(fall & ~(self.lower[across[0]] | self.lower[across[1]]))

    def _gaps(self) -> Iterator[Fall]:
        """Where the edge of a flat roof is left open between what rises round it."""
        for side in SIDES:
            across = [s for s in SIDES if s not in (side, opposite(side))]
            gap = self._raw.edge[side] & self._raw.level[opposite(side)]
            for beside in (self._raw.higher, self._raw.level):
                gap &= beside[across[0]] | beside[across[1]]
            yield from (Fall(x, y, side) for x, y in np.argwhere(gap).tolist())

    def _to_spouts(self) -> Iterator[Fall]:
        """Two cells before each spout, toward it: the roof lies on that side, and none on the other."""
        for (x, y), axis in self.spouts:
            for side in SIDES:
                dx, dy = STEP[side]
                if bool(dx) == (axis == "x") and self._open(x + 2 * dx, y + 2 * dy):
                    yield Fall(x - 2 * dx, y - 2 * dy, side)
                    break

    def _open(self, x: int, y: int) -> bool:
        width, depth = self.tops.shape
        return not (0 <= x < width and 0 <= y < depth) or int(self.tops[x, y]) < 0

    def _ridges(self) -> Iterator[Line]:
        """Where columns fall to both sides; of two that are level together, between them."""
        sides: tuple[tuple[Side, Side, Side, Side], ...] = (
            ("west", "east", "south", "north"),
            ("south", "north", "west", "east"),
        )
        for low, high, back, on in sides:
            falls = {side: self.lower[side] & self.joined[side] for side in (low, high)}
            along = self.level[back] | self.level[on]
            sharp = falls[low] & falls[high] & along
            dx, dy = STEP[high]
            pair = falls[low] & self.level[high] & along
            pair &= np.roll(falls[high], (-dx, -dy), (0, 1))
            for mask, by in ((sharp, 0.5), (pair, 1.0)):
                for x, y in np.argwhere(mask).tolist():
                    if dx:
                        yield Line("ridge", x + by, y, x + by, y + 1)
                    else:
                        yield Line("ridge", x, y + by, x + 1, y + by)

    def _hips(self) -> Iterator[Line]:
        """Where columns fall to two sides that meet."""
        for a, b in DIAGONALS:
            c, d = (s for s in SIDES if s not in (a, b))
            level = self.level[c] & self.level[d] & self._inward(a, b)
            risen = (self.level[c] | self.higher[c]) & (self.level[d] | self.higher[d])
            inner = self.joined[a] & self.joined[b] & risen & ~(self.higher[c] & self.higher[d])
            mask = self.lower[a] & self.lower[b] & (level | inner)
            yield from (_across("hip", x, y, a, b) for x, y in np.argwhere(mask).tolist())

    def _valleys(self) -> Iterator[Line]:
        """Where two slopes that meet fall to a column, and it to neither of their sides."""
        for a, b in DIAGONALS:
            c, d = (s for s in SIDES if s not in (a, b))
            mask = self.higher[c] & self.higher[d] & self.joined[a] & self.joined[b]
            mask &= ~(self.higher[a] | self.higher[b] | self.lower[a] & self.lower[b])
            yield from (_across("valley", x, y, a, b) for x, y in np.argwhere(mask).tolist())

    def _inward(self, a: Side, b: Side) -> Mask:
        """Whether the column at the corner across from two sides is higher."""
        width, depth = self.tops.shape
        dx, dy = STEP[a][0] + STEP[b][0], STEP[a][1] + STEP[b][1]
        wide = np.pad(self.tops, 1, constant_values=NONE)
        beyond = wide[1 - dx : 1 - dx + width, 1 - dy : 1 - dy + depth]
        return np.asarray(beyond > self.tops)

    def _laid(self) -> Iterator[Line]:
        """Those that are pieces of their own."""
        for kind, (x, y), a, b in self._pieces:
            yield _across(kind, x, y, a, b)


def _parts(mask: Mask) -> Iterator[list[Cell]]:
    """Cells that hang together side by side."""
    labels = cc3d.connected_components(mask, connectivity=4)
    for n in dict.fromkeys(labels[mask].tolist()):
        yield [(x, y) for x, y in np.argwhere(labels == n).tolist()]


def _middle(cells: Sequence[Cell]) -> Cell:
    """The one of some cells that lies nearest to the middle of them all."""
    n, (a, b) = len(cells), map(sum, zip(*cells, strict=True))
    return min(cells, key=lambda cell: (abs(n * cell[0] - a) + abs(n * cell[1] - b), cell))


def _whole(tops: Heights) -> Heights:
    """The roof as if nothing rose through it: a hole of one cell is as high as most of what is round it."""
    wide = np.pad(tops, 1, constant_values=NONE)
    width, depth = tops.shape
    beside = np.stack(
        [wide[1 + dx : 1 + dx + width, 1 + dy : 1 + dy + depth] for dx, dy in STEP.values()]
    )
    hole = (tops < 0) & (beside >= 0).all(axis=0)
    return np.where(hole, np.sort(beside, axis=0)[2], tops)


def _across(kind: str, x: int, y: int, a: Side, b: Side) -> Line:
    """The diagonal of a cell through the corner of two sides, from the west."""
    rise = (STEP[a][0] + STEP[b][0]) * (STEP[a][1] + STEP[b][1])
    return Line(kind, x, y + (rise < 0), x + 1, y + (rise > 0))


def _joined(lines: tuple[Line, ...]) -> Iterator[Line]:
    """Lines that go on from one another, as one."""
    left = {(line.kind, line.x0, line.y0, line.x1 - line.x0, line.y1 - line.y0) for line in lines}
    for kind, x, y, dx, dy in sorted(left):
        if (kind, x - dx, y - dy, dx, dy) in left:
            continue
        n = 1
        while (kind, x + n * dx, y + n * dy, dx, dy) in left:
            n += 1
        yield Line(kind, x, y, x + n * dx, y + n * dy)


def _calm(lines: tuple[Line, ...]) -> Iterator[Line]:
    """All but strokes across one cell: a step beside a longer line, or where no line is."""
    long = [line for line in lines if abs(line.x1 - line.x0) + abs(line.y1 - line.y0) > 2]
    ends = [(x, y) for one in long for x, y in ((one.x0, one.y0), (one.x1, one.y1))]
    for line in lines:
        if (
            line in long
            or line.kind == "ridge"
            or any(
                abs(x - a) + abs(y - b) <= 0.5
                for x, y in ((line.x0, line.y0), (line.x1, line.y1))
                for a, b in ends
            )
        ):
            yield line
