"""Where the open ground of a plot lies: what is clear of the house, what one boundary closes, its parts."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from functools import lru_cache
from itertools import pairwise

import numpy as np
from cc3d import connected_components as connected
from msgspec import Struct
from msgspec.structs import replace

from genhouse.core.box import Rect, runs, stretches
from genhouse.core.patch import Patch, cells_of, inner, near, painted, patch_of
from genhouse.stages._land import way_in
from genhouse.stages.gardens.lot import Cell
from genhouse.stages.site import Site, edge_of

LEAST = 3
"""Cells of a yard, the shorter way, that are put to use."""
LONG = 17
"""Cells from which on a yard is parted in two."""
CLOSE = 3
"""Cells from a yard to the wall line of what is built beside it."""

TRIES = 4
"""How often a boundary is set farther out to pass what stands beside the house, and then farther in."""
PORCH = 2
"""Cells from a door to the posts of its porch."""

Cells = frozenset[Cell]


class Close(Struct, frozen=True, kw_only=True):
    """Ground that one boundary closes.

    bound: the cells of the boundary.  inside: those within, up to the walls of the house.
    outside: open ground of the plot beyond it.
    """

    bound: Cells
    inside: Cells
    outside: Cells


def walled(site: Site) -> tuple[Rect, ...]:
    """The edge of a plot that a wall shared with a neighbour bounds."""
    return tuple(edge_of(site, side) for side in site.party)


def set_back(site: Site, front: Rect) -> bool:
    """Whether a front stands so far from its lane that there is a yard before it."""
    return way_in(site, front).depth >= site.dry + LEAST


def _clear(site: Site, front: Rect) -> Patch:
    """The plot but for the house, what lies dry round it, the way to its front, and walled edges."""
    dry = (rect.grown(site.dry) for rect in site.built)
    taken = painted(site.plot, (*dry, way_in(site, front), *walled(site)))
    return painted(site.plot, site.land.parts) & ~taken


@lru_cache(maxsize=16)
def yards(site: Site, front: Rect) -> Cells:
    """The ground of all yards: clear of the house, of the way to its front, wide enough to be of use, and
    what lies narrow between these and their boundary."""
    clear = _clear(site, front)
    return cells_of(clear & near(_wide(site, clear), CLOSE))


@lru_cache(maxsize=16)
def closed(
    site: Site, front: Rect, doors: tuple[Rect, ...] = (), taken: Cells = frozenset()
) -> Close:
    """The ground round the yards of a site that its boundary closes, in line with the walls of the house,
    with all that nobody reaches from the lane.

    front: where a visitor comes in, without, or behind the main gate.  doors: other ways into the house,
    without where their porches stand at the edge of the plot.  taken: cells beside the house on which
    something stands already, so that the boundary passes them; where the porch of a front behind its yard
    stands at the edge of the plot, the boundary runs from post to post.
    """
    size, deep = site.plot, set_back(site, front)
    whole = painted(size, site.land.parts)
    open_ground = whole & ~painted(size, (*walled(site), *site.built))
    before = open_ground & painted(size, [way_in(site, front)])
    seeds = _wide(site, _clear(site, front))
    edge = open_ground & ~inner(whole)
    inside = open_ground & near(seeds | before if deep else seeds, CLOSE)
    out = np.zeros_like(whole) if deep else before | painted(size, [front.grown(CLOSE)])
    for door in doors:
        porch = painted(size, [door.grown(CLOSE)])
        if (edge & painted(size, [door.grown(PORCH)])).any():
            out |= porch
        elif (inside & porch).any():
            inside |= open_ground & painted(size, [door.grown(CLOSE + 1)])
    if deep:
        out &= ~painted(size, [front.grown(CLOSE)])
    inside &= ~out
    if not deep and inside.any():
        left = open_ground & ~inside
        inside |= left & ~_reached(left, out)
    stands = patch_of(size, taken)
    posts = edge & stands & painted(size, [front.grown(PORCH)] if deep else [])
    found = _passing(open_ground, inside, out, edge, whole, stands & ~posts)
    return replace(found, bound=found.bound - cells_of(posts))


def _passing(
    open_ground: Patch, inside: Patch, out: Patch, edge: Patch, whole: Patch, taken: Patch
) -> Close:
    """What is closed so that the boundary passes what stands in its way: by a wide way round, else by a
    narrow one."""
    for wide in range(PORCH, 0, -1):
        passed = _round(open_ground, inside, out, edge, whole, taken, wide)
        bound = _rim(passed, open_ground, whole)
        if not (bound & taken).any():
            break
    return Close(
        bound=cells_of(bound),
        inside=cells_of(passed & ~bound),
        outside=cells_of(open_ground & ~passed),
    )


def _round(
    open_ground: Patch,
    inside: Patch,
    out: Patch,
    edge: Patch,
    whole: Patch,
    taken: Patch,
    wide: int,
) -> Patch:
    """What is closed, so many cells wide round what its boundary meets: farther out, then farther in."""
    for n in range(2 * TRIES):
        met = _rim(inside, open_ground, whole) & taken
        if not met.any():
            break
        reach = open_ground & near(met, wide)
        farther_in = n >= TRIES or (met & edge).any()
        inside = inside & ~reach if farther_in else (inside | reach) & ~out
    return inside


def _rim(inside: Patch, open_ground: Patch, whole: Patch) -> Patch:
    """Where what bounds some ground stands: its cells beside other open ground, or the edge of the plot."""
    return inside & ~inner(inside | whole & ~open_ground)


def _reached(ground: Patch, start: Patch) -> Patch:
    """All of some ground that hangs together, by its sides, with where one starts."""
    parts = connected(ground, connectivity=4)
    here = np.zeros(int(parts.max()) + 1, dtype=bool)
    here[parts[start]] = True
    here[0] = False
    return here[parts]


def _wide(site: Site, clear: Patch) -> Patch:
    """What squares of the least width cover, a cell clear of the edge of the plot."""
    return near(inner(clear & inner(painted(site.plot, site.land.parts))), 1)


def parts(cells: Collection[Cell]) -> tuple[tuple[Rect, ...], ...]:
    """Ground cut into yards: the largest rectangle that is wide enough, then the largest of the rest; long
    ones in halves.  To each what narrow ground is left at its side."""
    left = set(cells)
    found: list[list[Rect]] = []
    while (best := _largest(left)) is not None:
        found += [[part] for part in _halves(best)]
        left -= set(best.cells())
    for strip in (box.rect for box in runs([(x, y, 0) for x, y in left])):
        for yard in found:
            if yard[0].adjoins(strip):
                yard.append(strip)
                break
    return tuple(map(tuple, found))


def _halves(rect: Rect) -> Iterator[Rect]:
    a0, b0, a1, b1 = rect.lie(rect.longer)
    cuts = (a0, (a0 + a1) // 2, a1) if a1 - a0 >= LONG else (a0, a1)
    for low, high in pairwise(cuts):
        yield Rect(low, b0, high, b1).lie(rect.longer)


def _largest(cells: Collection[Cell]) -> Rect | None:
    """The largest rectangle of some cells, of those as large the lowest; None where all are too narrow."""
    best: tuple[int, Rect] | None = None
    high: dict[int, int] = {}
    rows: dict[int, list[int]] = {}
    for x, y in sorted(cells):
        rows.setdefault(y, []).append(x)
    last = None
    for y in sorted(rows):
        high = {x: (high.get(x, 0) if last == y - 1 else 0) + 1 for x in rows[y]}
        last = y
        for rect in _under(rows[y], high, y + 1):
            if min(rect.width, rect.depth) >= LEAST and (best is None or rect.area > best[0]):
                best = rect.area, rect
    return best[1] if best else None


def _under(row: Sequence[int], high: Mapping[int, int], top: int) -> Iterator[Rect]:
    """The rectangles that end in a row, each as wide as its columns are high."""
    for first, last in stretches(row):
        stack: list[tuple[int, int]] = []
        for x in range(first, last + 2):
            start, tall = x, high[x] if x <= last else 0
            while stack and stack[-1][1] >= tall:
                start, low = stack.pop()
                yield Rect(start, top - low, x, top)
            stack.append((start, tall))
