"""The net of lanes as it is first laid out: greens joined with each other and with the map's edges.

Each way is the cheapest there is (``ways``); where a lane is already, going along it is cheaper, so that
ways run together.  Loops are then closed about each green, so that there is more than one way to a house,
and no lane ends anywhere but at the edge of the map.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from genhouse.core.axes import SIDES, Side
from genhouse.village.grids import Field, Mask
from genhouse.village.land import PITCH
from genhouse.village.spans import within
from genhouse.village.ways import USUAL, Place, slopes, spread

ALONG = 3
"""How dear it is to go along a lane; ``USUAL`` elsewhere."""
BESIDE, CLEAR = 26, 4
"""How dear it is to close a loop within so many places of a lane: it would lie next to it."""
WADING, BANK = 60, 14
"""How dear a place in water is, and one on its bank."""
SHUT = 2000
"""How dear a place is that nothing is to be built on."""
RINGS = (20, 36, 52, 68, 84)
"""Lattice places from a green at which loops are closed about it."""
CORNER = 16
"""Lattice places from a corner of the map that no road goes out by."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Net:
    """Ways as they are laid, one after the other: who lays them fills it.

    slope: see ``ways.slopes``.  wet, shut: where water is, and where nothing is to go.  dear: how dear each
    place is.  laid: where there is a way.  ways, kinds: their places; ``road`` or ``lane``.
    """

    slope: npt.NDArray[np.int32]
    wet: Mask
    shut: Mask
    dear: Field
    laid: Mask
    ways: list[list[Place]] = field(default_factory=list)
    kinds: list[str] = field(default_factory=list)

    @property
    def shape(self) -> tuple[int, int]:
        return (self.laid.shape[0], self.laid.shape[1])

    @property
    def length(self) -> int:
        """Cells of way, about."""
        return PITCH * int(np.count_nonzero(self.laid))

    def way(self, start: Place, end: Place, room: int, *, aside: bool = False) -> list[Place]:
        """The cheapest way that goes no more than so many places out of the square round both ends; none
        where there is none.  aside: it keeps off what is laid already."""
        low = tuple(max(0, min(a, b) - room) for a, b in zip(start, end, strict=True))
        part = tuple(
            slice(least, max(a, b) + room + 1) for least, a, b in zip(low, start, end, strict=True)
        )
        laid, dear = self.laid[part], self.dear[part]
        if aside:
            dear = np.where(within(laid, CLEAR) & (dear < BESIDE), BESIDE, dear)
        else:
            dear = np.where(laid, ALONG, dear)
        (i, j), (a, b) = ((p[0] - low[0], p[1] - low[1]) for p in (start, end))
        costs = spread(self.slope[:, *part], dear, [(i, j)])
        way = costs.back((a, b)) if costs.far[a, b] >= 0 else []
        return [(x + low[0], y + low[1]) for x, y in way]

    def lay(self, way: list[Place], kind: str) -> None:
        self.ways.append(way)
        self.kinds.append(kind)
        for place in way:
            self.laid[place] = True


def lay_net(
    heights: Field, wet: Mask, shut: Mask, greens: Sequence[Place], rings: Sequence[int] = RINGS
) -> Net:
    """All ways of a map.  shut: where none is to go."""
    dear = np.where(wet, WADING, np.where(within(wet, 2), BANK, USUAL))
    net = Net(
        slope=slopes(heights),
        wet=wet,
        shut=shut,
        dear=np.where(shut, SHUT, dear).astype(np.int64),
        laid=np.zeros(heights.shape, dtype=bool),
    )
    for n, green in enumerate(greens[1:], 1):
        nearest = min(greens[:n], key=lambda g: (_far(g, green), g))
        net.lay(net.way(green, nearest, max(net.shape) // 4), "road")
    for side in SIDES:
        _road_out(net, side, greens)
    for green in greens:
        for ring in rings:
            _close(net, green, ring)
    return net


def _road_out(net: Net, side: Side, greens: Sequence[Place]) -> None:
    """The cheapest way from a green over one side of the map."""
    n, m = net.shape
    line = {"east": (n - 1, None), "west": (0, None), "north": (None, m - 1), "south": (None, 0)}[
        side
    ]
    length = m if line[1] is None else n
    edge = [
        (line[0] if line[0] is not None else k, line[1] if line[1] is not None else k)
        for k in range(CORNER, length - CORNER)
    ]
    costs = spread(net.slope, np.where(net.laid, ALONG, net.dear), greens)
    dry = [p for p in edge if not (net.wet[p] or net.shut[p]) and costs.far[p] >= 0]
    if dry:
        net.lay(costs.back(min(dry, key=lambda p: (int(costs.far[p]), p))), "road")


def _close(net: Net, green: Place, ring: int) -> None:
    """Join the lanes that come out of a green at some distance, each with the next round it."""
    i, j = np.nonzero(net.laid)
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
                net.lay(_cut(way, net.laid), "lane")


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
