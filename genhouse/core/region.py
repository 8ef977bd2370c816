"""Ground that need be no rectangle: what a rectilinear outline bounds, in cells."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache, reduce
from itertools import combinations, groupby

from genhouse.core.axes import Side, Turn
from genhouse.core.box import Rect, covered

Corner = tuple[int, int]
Cell = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Region:
    """Ground, told by the largest rectangles in it: whatever rectangle lies in it lies in one of them.

    parts: these, the larger first.

    >>> ell = bounded([(0, 0), (6, 0), (6, 2), (3, 2), (3, 5), (0, 5)])
    >>> ell.parts
    (Rect(x0=0, y0=0, x1=3, y1=5), Rect(x0=0, y0=0, x1=6, y1=2))
    >>> ell.holds(Rect(2, 0, 5, 2)), ell.holds(Rect(2, 1, 4, 3))
    (True, False)
    """

    parts: tuple[Rect, ...]

    @property
    def bounds(self) -> Rect:
        """The smallest rectangle that holds it."""
        return reduce(Rect.hull, self.parts)

    @property
    def whole(self) -> bool:
        """Whether it is one rectangle."""
        return len(self.parts) == 1

    def holds(self, rect: Rect) -> bool:
        """Whether all of a rectangle, which is not empty, lies in it."""
        return any(part.holds(rect) for part in self.parts)

    def has(self, x: int, y: int) -> bool:
        return any(part.has(x, y) for part in self.parts)

    def cells(self) -> frozenset[Cell]:
        return covered(self.parts)

    def shrunk(self, n: int, but: Collection[Side] = ()) -> Region:
        """What lies more than so many cells, in king's moves, from all that is no part of it.  but: sides
        of its bounds past which it is taken to go on.

        >>> rectangle((8, 6)).shrunk(2, but=("west",)).parts
        (Rect(x0=0, y0=2, x1=6, y1=4),)
        """
        x0, y0, x1, y1 = self.bounds
        return _of(
            Rect(
                p.x0 + n * (p.x0 > x0 or "west" not in but),
                p.y0 + n * (p.y0 > y0 or "south" not in but),
                p.x1 - n * (p.x1 < x1 or "east" not in but),
                p.y1 - n * (p.y1 < y1 or "north" not in but),
            )
            for p in self.parts
        )

    def turned(self, turn: Turn) -> Region:
        return _of(map(turn.rect, self.parts))

    @property
    def edge(self) -> frozenset[Cell]:
        """Its cells that touch what is no part of it, by a side or a corner."""
        return self.cells() - self.shrunk(1).cells()

    @property
    def corners(self) -> tuple[Corner, ...]:
        """Those of its outline, counter-clockwise from the most western of the southern; it is in one
        piece, without holes.

        >>> bounded([(3, 2), (0, 2), (0, 0), (3, 0)]).corners
        ((0, 0), (3, 0), (3, 2), (0, 2))
        """
        return _corners(self)


def rectangle(size: tuple[int, int]) -> Region:
    """A rectangle of this width and depth, at the origin."""
    return Region((Rect(0, 0, *size),))


def bounded(corners: Iterable[Corner]) -> Region:
    """What an outline bounds that has nothing amiss: its corners in order, either way round."""
    return _bounded(tuple(corners))


def amiss(corners: Sequence[Corner]) -> str:
    """What keeps corners, in order, from being those of a rectilinear outline; empty where nothing does.

    >>> amiss([(0, 0), (4, 0), (4, 3), (1, 4)])
    'from 4, 3 to 1, 4 it runs neither east to west nor south to north'
    """
    if len(corners) < 4:
        return f"it has {len(corners)} corners, and 4 are the fewest"
    for n, corner in enumerate(corners):
        if corner in corners[:n]:
            return f"corner {n + 1} repeats corner {corners.index(corner) + 1}, {_said(corner)}"
    lines = list(_lines(corners))
    for a, b in lines:
        if a[0] != b[0] and a[1] != b[1]:
            return f"from {_said(a)} to {_said(b)} it runs neither east to west nor south to north"
    for (a, b), (_, c) in zip(lines, lines[1:] + lines[:1], strict=True):
        if (b[0] - a[0]) * (c[0] - b[0]) + (b[1] - a[1]) * (c[1] - b[1]) < 0:
            return f"at {_said(b)} it runs back on itself"
    spans = [_span(*line) for line in lines]
    for (n, one), (m, other) in combinations(enumerate(spans), 2):
        x0, y0, x1, y1 = one.meet(other)
        if x0 <= x1 and y0 <= y1 and m - n not in (1, len(spans) - 1):
            return f"it crosses or touches itself at {x0}, {y0}"
    return ""


def _said(corner: Corner) -> str:
    return f"{corner[0]}, {corner[1]}"


def _lines(corners: Sequence[Corner]) -> Iterator[tuple[Corner, Corner]]:
    """The sides of an outline, the last of them back to its first corner."""
    return zip(corners, (*corners[1:], *corners[:1]), strict=True)


def _span(a: Corner, b: Corner) -> Rect:
    """The points of a side, as bounds that both belong to it."""
    return Rect(min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1]))


def _of(parts: Iterable[Rect]) -> Region:
    some = {part for part in parts if part.area}
    return Region(tuple(sorted(some, key=lambda part: (-part.area, part))))


@lru_cache(maxsize=64)
def _bounded(corners: tuple[Corner, ...]) -> Region:
    xs, ys = (sorted(set(places)) for places in zip(*corners, strict=True))
    upright = [_span(a, b) for a, b in _lines(corners) if a[0] == b[0]]
    strips = [
        [sum(s.x0 <= x and s.y0 <= y < s.y1 for s in upright) % 2 == 1 for y in ys[:-1]]
        for x in xs[:-1]
    ]
    found = []
    for i, j in combinations(range(len(xs)), 2):
        rows = [all(row) for row in zip(*strips[i:j], strict=True)]
        for inside, run in groupby(range(len(rows)), rows.__getitem__):
            low, *more = run
            high = (low, *more)[-1] + 1
            beside = [strip[low:high] for strip in (*strips[:i][-1:], *strips[j : j + 1])]
            if inside and not any(map(all, beside)):
                found.append(Rect(xs[i], ys[low], xs[j], ys[high]))
    return _of(found)


@lru_cache(maxsize=64)
def _corners(region: Region) -> tuple[Corner, ...]:
    cells = region.cells()
    on = {}  # from one point of the outline to the next, the ground on the left
    for x, y in cells:
        for a, b, beside in (
            ((x, y), (x + 1, y), (x, y - 1)),
            ((x + 1, y), (x + 1, y + 1), (x + 1, y)),
            ((x + 1, y + 1), (x, y + 1), (x, y + 1)),
            ((x, y + 1), (x, y), (x - 1, y)),
        ):
            if beside not in cells:
                on[a] = b
    path = [min(on, key=lambda point: point[::-1])]
    while (point := on[path[-1]]) != path[0]:
        path.append(point)
    round_it = zip((path[-1], *path), path, (*path[1:], path[0]), strict=False)
    return tuple(
        b for a, b, c in round_it if (b[0] - a[0], b[1] - a[1]) != (c[0] - b[0], c[1] - b[1])
    )
