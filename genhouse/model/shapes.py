"""Shapes of a plot: how a rectangle is cut to an L, a T, a stair, or one with its corners cut off."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from itertools import product

from genhouse.core.region import Corner, Region, bounded
from genhouse.model.bounds import SMALLEST_PLOT

Steps = tuple[tuple[int, int], ...]
"""What is cut from a corner, from the side of x to that of y: cells along x and y, step by step."""
Cut = tuple[Steps, Steps, Steps, Steps]
"""The same of the south-west, south-east, north-east and north-west corner."""
Size = tuple[int, int]

ARM = 11
"""Cells across an arm: a wing and its eaves."""
CUT = 7
"""The least that is cut from an arm's side, along either axis."""
BAY = (4, 5, 6)
"""Bays, post line to post line: the sides of a corner that is cut off."""
NONE: Steps = ()


def _ells(size: Size) -> Iterator[Cut]:
    for a, b in product(*map(_depths, size)):
        yield from _turned(((a, b),), NONE, NONE, NONE)


def _tees(size: Size) -> Iterator[Cut]:
    wide, deep = size
    for a, c, b in product(_depths(wide), _depths(wide), _depths(deep)):
        if a + c <= wide - ARM:
            yield from ((((a, b),), ((c, b),), NONE, NONE), (NONE, NONE, ((c, b),), ((a, b),)))
    for b, d, a in product(_depths(deep), _depths(deep), _depths(wide)):
        if b + d <= deep - ARM:
            yield from ((((a, b),), NONE, NONE, ((a, d),)), (NONE, ((a, b),), ((a, d),), NONE))


def _stairs(size: Size) -> Iterator[Cut]:
    wide, deep = size
    for a, b in product(range(BAY[0], wide // 4 + 1), range(BAY[0], deep // 4 + 1)):
        yield from _turned(((a, b), (a, b)), NONE, NONE, NONE)


def _chamfers(_: Size) -> Iterator[Cut]:
    for n in BAY:
        off: Steps = ((n, n),)
        yield from _turned(off, NONE, NONE, NONE)
        yield from _turned(off, off, NONE, NONE)
        yield (off, off, off, off)


def _depths(length: int) -> list[int]:
    """How much of a side can be cut away until an arm is left."""
    more = length - ARM - CUT
    return sorted({CUT + more * n // 5 for n in range(6)}) if more >= 0 else []


def _turned(*cut: Steps) -> Iterator[Cut]:
    """Some cuts, and the same begun at each other corner."""
    for n in range(4):
        one, two, three, four = (*cut[n:], *cut[:n])
        yield one, two, three, four


SHAPES: Mapping[str, Callable[[Size], Iterator[Cut]]] = {
    "ell": _ells,
    "tee": _tees,
    "stepped": _stairs,
    "chamfered": _chamfers,
}


def can_be(name: str, size: Size) -> bool:
    """Whether a shape can be cut from a plot of this size."""
    return any(roomy(region(size, cut)) for cut in SHAPES[name](size))


def roomy(plot: Region) -> bool:
    """Whether there is room for a house on some ground: for a rectangle as large as the smallest plot,
    lengthwise or crosswise."""
    least, most = sorted(SMALLEST_PLOT)
    sizes = (sorted((part.width, part.depth)) for part in plot.parts)
    return any(low >= least and high >= most for low, high in sizes)


def region(size: Size, cut: Cut) -> Region:
    """What is left of a rectangle of this size.

    >>> region((6, 5), ((), (), ((3, 3),), ())).corners
    ((0, 0), (6, 0), (6, 2), (3, 2), (3, 5), (0, 5))
    """
    wide, deep = size
    west, east, right, left = (_stair(steps) for steps in cut)
    corners = [
        *west,
        *((wide - x, y) for x, y in east[::-1]),
        *((wide - x, deep - y) for x, y in right),
        *((x, deep - y) for x, y in left[::-1]),
    ]
    return bounded(corners)


def _stair(steps: Steps) -> list[Corner]:
    """The corners of what is cut from one at the origin, from the upright side to the level one."""
    x, y = 0, sum(b for _, b in steps)
    found = [(x, y)]
    for a, b in steps:
        found += [(x + a, y), (x + a, y - b)]
        x, y = x + a, y - b
    return found
