"""The net of lanes as it is first laid out: greens joined with each other and with the map's edges.

Each way is the cheapest there is (``ways``); where a lane is already, going along it is cheaper, so that
ways run together.  Loops are then closed about each green, so that there is more than one way to a house,
and no lane ends anywhere but at the edge of the map.

A net grows: more loops are closed, and more greens joined, where more houses want room.  Each way is looked
for in a square about its ends, so that a net costs no more a place on a large map than on a small one.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from genhouse.core.axes import SIDES, Side
from genhouse.village.grids import Field, Mask
from genhouse.village.land import CELL, PITCH
from genhouse.village.spans import far_from, spread_of, within
from genhouse.village.ways import USUAL, Place, slopes, spread

ALONG = 3
"""How dear it is to go along a lane; ``USUAL`` elsewhere."""
BESIDE = 26
"""How dear it is to close a loop so near to a lane that no plot finds room between them."""
WADING, BANK = 60, 14
"""How dear a place in water is, and one on its bank."""
SHUT = 2000
"""How dear a place is that nothing is to be built on."""
RINGS = (20, 36, 52, 68, 84)
"""Lattice places from a green at which loops are closed about it."""
FIRST = 2
"""Of them, how many are closed at first."""
FARTHER = (3, 3, 4, 6, 8, 12, 16, 24)
"""How many lanes are then laid over level ground that has none, each time."""
STEEP_OVER, STEEP = 3, 7 * CELL
"""Lattice places about one within which level ground rises no more than so much."""
CORNER = 16
"""Lattice places from a corner of the map that no road goes out by."""
BEHIND = 12
"""Lattice places behind a green, as one looks to a side of the map, where its road there may still go."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Net:
    """Ways as they are laid, one after the other: who lays them fills it.

    wet, shut: where water is, and where nothing is to go.  apart: places between two lanes that a plot has
    room between.  dear: how dear each place is.  laid: where there is a way.  greens: those that are
    joined.  ways, kinds: their places; ``road`` or ``lane``.
    """

    heights: Field
    wet: Mask
    shut: Mask
    apart: int
    dear: Field
    laid: Mask
    greens: list[Place] = field(default_factory=list)
    ways: list[list[Place]] = field(default_factory=list)
    kinds: list[str] = field(default_factory=list)

    @property
    def shape(self) -> tuple[int, int]:
        return (self.laid.shape[0], self.laid.shape[1])

    @property
    def length(self) -> int:
        """Cells of way, about."""
        return PITCH * int(np.count_nonzero(self.laid))

    def way(
        self, start: Place, end: Place, room: int, *, aside: bool = False, off: Sequence[Place] = ()
    ) -> list[Place]:
        """The cheapest way that goes no more than so many places out of the square round both ends; none
        where there is none.  aside: it keeps off what is laid already, and off a way that is to be."""
        low = tuple(max(0, min(a, b) - room) for a, b in zip(start, end, strict=True))
        part = tuple(
            slice(least, max(a, b) + room + 1) for least, a, b in zip(low, start, end, strict=True)
        )
        laid, dear = self.laid[part], self.dear[part]
        if aside:
            laid = laid.copy()
            for i, j in off:
                laid[i - low[0], j - low[1]] = True
            near = np.minimum(far_from(laid), self.apart)
            dear = np.maximum(dear, BESIDE - (BESIDE - USUAL) * near // self.apart)
        else:
            dear = np.where(laid, ALONG, dear)
        (i, j), (a, b) = ((p[0] - low[0], p[1] - low[1]) for p in (start, end))
        costs = spread(slopes(self.heights[part]), dear, [(i, j)])
        way = costs.back((a, b)) if costs.far[a, b] >= 0 else []
        return [(x + low[0], y + low[1]) for x, y in way]

    def loop(self, way: list[Place]) -> None:
        """Lay a lane from one to another, but none that mostly runs beside what is laid already."""
        way = _cut(way, self.laid)
        i, j = np.array(way).T
        if 2 * np.count_nonzero(far_from(self.laid)[i, j] > self.apart // 2) > len(way):
            self.lay(way, "lane")

    def lay(self, way: list[Place], kind: str) -> None:
        self.ways.append(way)
        self.kinds.append(kind)
        for place in way:
            self.laid[place] = True


def nets(
    heights: Field, wet: Mask, shut: Mask, greens: Sequence[Place], many: Sequence[int], deep: int
) -> Iterator[tuple[Net, bool]]:
    """The net of a map as it grows, with so many greens, then more; and whether it grows no more.

    It is the same net each time.  shut: where none is to go.  deep: cells from a lane to behind a plot.
    """
    dear = np.where(wet, WADING, np.where(within(wet, 2), BANK, USUAL))
    net = Net(
        heights=heights,
        wet=wet,
        shut=shut,
        apart=-(-deep // PITCH),
        dear=np.where(shut, SHUT, dear).astype(np.int32),
        laid=np.zeros(heights.shape, dtype=bool),
    )
    counts = sorted({min(n, len(greens)) for n in many})
    for count in counts:
        first, new = not net.greens, greens[len(net.greens) : count]
        for green in new:
            _join(net, green)
        for side in SIDES if first else ():
            _road_out(net, side)
        for n, ring in enumerate(RINGS, 1):
            for green in new:
                _close(net, green, ring)
            if n == len(RINGS) or (first and n >= FIRST):
                yield net, False
    bare = _bare(net)
    for more in FARTHER:
        for _ in range(more):
            if not _reach(net, bare):
                yield net, True
                return
        yield net, more == FARTHER[-1]


def _join(net: Net, green: Place) -> None:
    """A road from a green to the nearest that is joined."""
    if net.greens:
        nearest = min(net.greens, key=lambda g: (_far(g, green), g))
        net.lay(net.way(green, nearest, _far(green, nearest)), "road")
    net.greens.append(green)


def _road_out(net: Net, side: Side) -> None:
    """The cheapest way over one side of the map, from a green that is not far from it."""
    axis = 0 if side in ("west", "east") else 1
    last, across = net.shape[axis] - 1, net.shape[1 - axis]
    at = last if side in ("east", "north") else 0
    green = min(net.greens, key=lambda g: (abs(g[axis] - at), g))
    room = max(abs(green[axis] - at), CORNER)
    spans = [
        slice(max(0, min(at, green[axis] - BEHIND)), max(at, green[axis] + BEHIND) + 1),
        slice(max(0, green[1 - axis] - room), green[1 - axis] + room + 1),
    ]
    part = tuple(spans if axis == 0 else spans[::-1])
    low = part[0].start, part[1].start
    dear = np.where(net.laid[part], ALONG, net.dear[part])
    inside = [
        (i - low[0], j - low[1])
        for i, j in net.greens
        if part[0].start <= i < part[0].stop and part[1].start <= j < part[1].stop
    ]
    costs = spread(slopes(net.heights[part]), dear, inside)
    dry = []
    for k in range(max(CORNER, low[1 - axis]), min(across - CORNER, part[1 - axis].stop)):
        place = (at, k) if axis == 0 else (k, at)
        own = place[0] - low[0], place[1] - low[1]
        if not (net.wet[place] or net.shut[place]) and costs.far[own] >= 0:
            dry.append((int(costs.far[own]), own))
    if dry:
        way = costs.back(min(dry)[1])
        net.lay([(i + low[0], j + low[1]) for i, j in way], "road")


def _close(net: Net, green: Place, ring: int) -> None:
    """Join the lanes that come out of a green at some distance, each with the next round it."""
    x, y = (max(0, at - ring - 1) for at in green)
    i, j = np.nonzero(net.laid[x : green[0] + ring + 2, y : green[1] + ring + 2])
    i, j = i + x, j + y
    square = (i - green[0]) ** 2 + (j - green[1]) ** 2
    near = np.flatnonzero(np.abs(square - ring * ring) <= 2 * ring)
    points = sorted(
        zip(i[near].tolist(), j[near].tolist(), strict=True), key=lambda p: _round(p, green)
    )
    ends = [p for n, p in enumerate(points) if not n or _far(p, points[n - 1]) > ring // 2]
    if len(ends) > 1 and _far(ends[0], ends[-1]) <= ring // 2:
        ends = ends[1:]
    for a, b in zip(ends, ends[1:] + ends[:1], strict=True):
        if len(ends) > 1 and not (len(ends) == 2 and a == ends[1]):
            way = net.way(a, b, ring, aside=True)
            if way and len(way) < 3 * ring:
                net.loop(way)


def _bare(net: Net) -> Mask:
    """Where no house would stand: in water, on steep ground, where nothing is to be built."""
    steep = spread_of(net.heights, STEEP_OVER) > STEEP
    out = steep | net.wet | net.shut
    for edge in (np.s_[0], np.s_[-1], np.s_[:, 0], np.s_[:, -1]):
        out[edge] = True
    return out


def _reach(net: Net, bare: Mask) -> bool:
    """Lay a lane over the middle of the widest level ground that has none, from one lane to another; False
    where there is none so wide that a plot has room.  bare: where no house would stand; more, where a lane
    was sought."""
    free = far_from(bare | net.laid)
    at = int(free.argmax())
    middle = at // free.shape[1], at % free.shape[1]
    if (room := int(free[middle])) <= net.apart // 2:
        return False
    bare[_box(middle, room // 2)] = True
    reach = room + RINGS[0]
    box = _box(middle, reach)
    i, j = np.nonzero(net.laid[box])
    ends = np.stack([i + box[0].start, j + box[1].start], axis=1)
    if len(ends):
        first = _nearest(ends, middle)
        far = np.square(ends - first).sum(axis=1) > 2 * room * room
        there = net.way(first, middle, reach, aside=True)
        if there and far.any():
            way = net.way(middle, _nearest(ends[far], middle), reach, aside=True, off=there)
            net.loop([*there, *way[1:]])
    return True


def _nearest(places: npt.NDArray[np.int64], to: Place) -> Place:
    """Of equally near ones the first."""
    i, j = places[np.square(places - to).sum(axis=1).argmin()].tolist()
    return i, j


def _box(middle: Place, reach: int) -> tuple[slice, slice]:
    i, j = (slice(max(0, at - reach), at + reach + 1) for at in middle)
    return i, j


def _cut(way: list[Place], laid: npt.NDArray[np.bool_]) -> list[Place]:
    """A way from where it last leaves what is laid near its start."""
    first = max((n for n, p in enumerate(way[: len(way) // 2]) if laid[p]), default=0)
    last = min((n for n, p in enumerate(way) if n > first and laid[p]), default=len(way) - 1)
    return way[first : last + 1]


def _round(p: Place, green: Place) -> tuple[int, int]:
    """Places in order round a green: the quarter they lie in, then how steeply, in whole numbers."""
    x, y = p[0] - green[0], p[1] - green[1]
    quarter = (0 if y >= 0 else 3) if x > 0 else (1 if y > 0 else 2)
    along, up = ((x, y), (y, -x), (-x, -y), (-y, x))[quarter]
    return quarter, up * 4096 // max(1, abs(along) + abs(up))


def _far(a: Place, b: Place) -> int:
    return max(abs(a[0] - b[0]), abs(a[1] - b[1]))
