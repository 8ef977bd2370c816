"""Whole-number, half-open rectangles and boxes, in cells."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from itertools import pairwise
from typing import Literal, NamedTuple


class Rect(NamedTuple):
    """Cells (i, j) with x0 <= i < x1 and y0 <= j < y1."""

    x0: int
    y0: int
    x1: int
    y1: int

    @property
    def width(self) -> int:
        return self.x1 - self.x0

    @property
    def depth(self) -> int:
        return self.y1 - self.y0

    @property
    def midway(self) -> int:
        """Its middle row of cells; of two the lower."""
        return (self.y0 + self.y1 - 1) // 2

    @property
    def area(self) -> int:
        x0, y0, x1, y1 = self
        return (x1 - x0) * (y1 - y0) if x0 < x1 and y0 < y1 else 0

    def cells(self) -> Iterator[tuple[int, int]]:
        """Each cell, row by row from the south-west."""
        columns = range(self.x0, self.x1)
        return iter([(x, y) for y in range(self.y0, self.y1) for x in columns])

    def has(self, x: int, y: int) -> bool:
        return self.x0 <= x < self.x1 and self.y0 <= y < self.y1

    def grown(self, n: int) -> Rect:
        """Larger by n cells on each side (smaller where n < 0)."""
        return Rect(self.x0 - n, self.y0 - n, self.x1 + n, self.y1 + n)

    def meet(self, other: Rect) -> Rect:
        """The common rectangle; its area is 0 where there is none."""
        x0, y0, x1, y1 = self
        u0, v0, u1, v1 = other
        return Rect(
            u0 if u0 > x0 else x0,
            v0 if v0 > y0 else y0,
            u1 if u1 < x1 else x1,
            v1 if v1 < y1 else y1,
        )

    def meets(self, other: Rect) -> bool:
        """Whether both have a cell in common."""
        x0, y0, x1, y1 = self
        u0, v0, u1, v1 = other
        across = x0 < u1 and u0 < x1 and x0 < x1 and u0 < u1
        return across and y0 < v1 and v0 < y1 and y0 < y1 and v0 < v1

    def holds(self, other: Rect) -> bool:
        """Whether all of another, which is not empty, lies in it."""
        x0, y0, x1, y1 = self
        u0, v0, u1, v1 = other
        return x0 <= u0 and u1 <= x1 and y0 <= v0 and v1 <= y1

    def hull(self, other: Rect) -> Rect:
        """The smallest rectangle that holds both."""
        return Rect(
            min(self.x0, other.x0),
            min(self.y0, other.y0),
            max(self.x1, other.x1),
            max(self.y1, other.y1),
        )

    def adjoins(self, other: Rect) -> bool:
        """Whether both share a side or a part of one, more than a corner."""
        x0, y0, x1, y1 = self
        u0, v0, u1, v1 = other
        across, along = min(x1, u1) - max(x0, u0), min(y1, v1) - max(y0, v0)
        if across < 0 or along < 0:
            return False
        ours = (min(x1 + 1, u1) - max(x0 - 1, u0)) * (min(y1 + 1, v1) - max(y0 - 1, v0))
        return (
            ours > 1
            or (min(x1, u1 + 1) - max(x0, u0 - 1)) * (min(y1, v1 + 1) - max(y0, v0 - 1)) > 1
        )

    def less(self, hole: Rect | None) -> tuple[Rect, ...]:
        """What a hole right across it leaves at both ends, along its longer side.

        >>> Rect(0, 0, 5, 1).less(Rect(1, 0, 3, 1))
        (Rect(x0=0, y0=0, x1=1, y1=1), Rect(x0=3, y0=0, x1=5, y1=1))
        """
        if hole is None or not self.meets(hole):
            return (self,)
        axis = "x" if self.width > self.depth else "y"
        a0, b0, a1, b1 = self.lie(axis)
        h0, _, h1, _ = hole.lie(axis)
        left = Rect(a0, b0, h0, b1), Rect(h1, b0, a1, b1)
        return tuple(part.lie(axis) for part in left if part.area)

    @property
    def longer(self) -> Literal["x", "y"]:
        """The axis along which it is longer; x where it is square."""
        return "x" if self.width >= self.depth else "y"

    def lie(self, axis: str) -> Rect:
        """Its bounds as what runs along an axis has them: along, across.  Its own inverse.

        >>> Rect(0, 1, 5, 3).lie("y")
        Rect(x0=1, y0=0, x1=3, y1=5)
        """
        return self if axis == "x" else Rect(self.y0, self.x0, self.y1, self.x1)

    def up(self, z0: int, z1: int) -> Box:
        """The box over this rectangle from layer z0 up to, not including, z1."""
        return Box(self.x0, self.y0, z0, self.x1, self.y1, z1)


class Box(NamedTuple):
    """Cells (i, j, k) with x0 <= i < x1, y0 <= j < y1 and z0 <= k < z1."""

    x0: int
    y0: int
    z0: int
    x1: int
    y1: int
    z1: int

    @classmethod
    def cell(cls, x: int, y: int, z: int) -> Box:
        return cls(x, y, z, x + 1, y + 1, z + 1)

    @property
    def volume(self) -> int:
        return (self.x1 - self.x0) * (self.y1 - self.y0) * (self.z1 - self.z0)

    @property
    def rect(self) -> Rect:
        return Rect(self.x0, self.y0, self.x1, self.y1)

    def cells(self) -> Iterator[tuple[int, int, int]]:
        return (
            (x, y, z)
            for z in range(self.z0, self.z1)
            for y in range(self.y0, self.y1)
            for x in range(self.x0, self.x1)
        )


def covered(rects: Iterable[Rect]) -> frozenset[tuple[int, int]]:
    """The cells of some rectangles.

    >>> sorted(covered([Rect(0, 0, 2, 1), Rect(1, 0, 2, 2)]))
    [(0, 0), (1, 0), (1, 1)]
    """
    return frozenset[tuple[int, int]]().union(*(rect.cells() for rect in rects))


def runs(cells: Iterable[tuple[int, int, int]]) -> list[Box]:
    """Cover a set of cells by boxes: runs along x, then equal runs stacked along y.

    The cover is exact and disjoint, and depends only on the set, not on its order.
    """
    done: list[Box] = []
    growing: dict[tuple[int, int, int, int], int] = {}
    for first, last in stretches({(z * _FAR + y) * _FAR + x + _HALF for x, y, z in cells}):
        rest, x0 = divmod(first, _FAR)
        z, y = divmod(rest + _HALF, _FAR)
        x0, y = x0 - _HALF, y - _HALF
        x1 = x0 + last - first + 1
        below = growing.pop((x0, x1, y, z), None)
        if below is None:
            below = len(done)
            done.append(Box(x0, y, z, x1, y + 1, z + 1))
        else:
            done[below] = Box(x0, done[below].y0, z, x1, y + 1, z + 1)
        growing[x0, x1, y + 1, z] = below
    return done


_FAR = 1 << 20
_HALF = _FAR >> 1
"""Cells lie nearer than this to the origin."""


def stretches(numbers: Collection[int]) -> Iterator[tuple[int, int]]:
    """The first and the last of whole numbers, none twice, that follow each other, the lowest first.

    >>> list(stretches([7, 1, 2]))
    [(1, 2), (7, 7)]
    """
    order = sorted(numbers)
    breaks = [n for n, (a, b) in enumerate(pairwise(order)) if b != a + 1]
    firsts = [order[0], *(order[n + 1] for n in breaks)] if order else []
    lasts = [*(order[n] for n in breaks), order[-1]] if order else []
    return zip(firsts, lasts, strict=True)
