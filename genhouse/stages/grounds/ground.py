"""Where the open ground of a plot lies: what is clear of the house, what one boundary closes, its parts."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from functools import lru_cache
from itertools import pairwise

from msgspec import Struct

from genhouse.core.box import Rect, runs
from genhouse.stages._land import DRY, grounds, way_in
from genhouse.stages.gardens.lot import Cell, around, beside
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


@lru_cache(maxsize=16)
def ground(site: Site) -> Cells:
    """All the ground of a plot: whoever wants to know how far it goes asks here."""
    return site.land.cells()


def walled(site: Site) -> Cells:
    """The edge of a plot that a wall shared with a neighbour bounds."""
    return frozenset(c for side in site.party for c in edge_of(site, side).cells())


def set_back(site: Site, front: Rect) -> bool:
    """Whether a front stands so far from its lane that there is a yard before it."""
    return way_in(site, front).depth >= DRY + LEAST


@lru_cache(maxsize=16)
def yards(site: Site, front: Rect) -> Cells:
    """The ground of all yards: clear of the house, of the way to its front, wide enough to be of use, and
    what lies narrow between these and their boundary."""
    clear = grounds(site, front) - walled(site)
    return clear & near(_wide(site, clear), CLOSE)


@lru_cache(maxsize=16)
def closed(
    site: Site, front: Rect, doors: tuple[Rect, ...] = (), taken: Cells = frozenset()
) -> Close:
    """The ground round the yards of a site that its boundary closes, in line with the walls of the house,
    with all that nobody reaches from the lane.

    front: where a visitor comes in, without, or behind the main gate.  doors: other ways into the house,
    without where their porches stand at the edge of the plot.  taken: cells beside the house on which
    something stands already, so that the boundary passes them.
    """
    whole, open_ground, deep = ground(site), _open(site), set_back(site, front)
    before = open_ground & frozenset(way_in(site, front).cells())
    seeds = _wide(site, grounds(site, front) - walled(site)) | (before if deep else frozenset())
    edge = {c for c in open_ground if not whole.issuperset(around(c))}
    inside = open_ground & near(seeds, CLOSE)
    out = set() if deep else {*before, *front.grown(CLOSE).cells()}
    for door in doors:
        porch = {*door.grown(CLOSE).cells()}
        if edge & {*door.grown(PORCH).cells()}:
            out |= porch
        elif inside & porch:
            inside |= open_ground & {*door.grown(CLOSE + 1).cells()}
    inside -= out
    if inside and not deep:
        inside |= {c for part in joined(open_ground - inside) if not part & out for c in part}
    built = whole - open_ground
    for n in range(2 * TRIES):
        bound = _bound(inside, built)
        met = bound & taken
        if not met:
            break
        reach = open_ground & near(met, PORCH)
        inside = inside - reach if n >= TRIES or met & edge else (inside | reach) - out
    return Close(
        bound=bound,
        inside=frozenset(inside - bound),
        outside=open_ground - inside,
    )


def _bound(inside: Cells, built: Cells) -> Cells:
    """The cells of some ground that touch what is neither of it nor built."""
    firm = inside | built
    return frozenset(c for c in inside if not firm.issuperset(around(c)))


@lru_cache(maxsize=16)
def _open(site: Site) -> Cells:
    return ground(site) - walled(site) - {c for rect in site.built for c in rect.cells()}


def _wide(site: Site, clear: Cells) -> Cells:
    """What squares of the least width cover, a cell clear of the edge of the plot."""
    whole = ground(site)
    inner = {c for c in clear if whole.issuperset(around(c))}
    middles = (c for c in inner if inner.issuperset(around(c)))
    return near(middles, 1)


def near(cells: Iterable[Cell], n: int) -> Cells:
    """Some cells and all within so many king's moves of them."""
    steps = range(-n, n + 1)
    rows = {(x + i, y) for x, y in cells for i in steps}
    return frozenset((x, y + j) for x, y in rows for j in steps)


def joined(cells: Collection[Cell]) -> Iterator[set[Cell]]:
    """Cells by what hangs together by its sides, the lowest first."""
    left = set(cells)
    for start in sorted(cells):
        if start in left:
            found, edge = {start}, [start]
            while edge:
                new = [b for b in beside(edge.pop()) if b in left and b not in found]
                found.update(new)
                edge += new
            left -= found
            yield found


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
    for stretch in runs([(x, 0, 0) for x in row]):
        stack: list[tuple[int, int]] = []
        for x in range(stretch.x0, stretch.x1 + 1):
            start, tall = x, high[x] if x < stretch.x1 else 0
            while stack and stack[-1][1] >= tall:
                start, low = stack.pop()
                yield Rect(start, top - low, x, top)
            stack.append((start, tall))
