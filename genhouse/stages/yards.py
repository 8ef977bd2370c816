"""Yards: the open ground of a plot that no court has, each with its use, hedged where it meets the edge."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping

from genhouse.core.axes import ALONG, Axis, cell_at
from genhouse.core.box import Rect, runs
from genhouse.core.draw import Draw
from genhouse.stages._land import grounds
from genhouse.stages.court import Planting
from genhouse.stages.gardens.lot import Cell, Pieces
from genhouse.stages.gardens.planting import Shape, blossom, great_maple, maple, planted, poisson
from genhouse.stages.site import Site, edge_of

LEAST = 3
"""Cells of a yard, the shorter way, that are put to use."""
ROW = 4
"""Cells from tree to tree in an orchard."""


def plan_yards(site: Site, front: Rect, draw: Draw) -> Planting:
    """What grows in the yards, each put to one use, and a hedge along the edge of the plot up to the house,
    open at the gate and where a wall bounds it.  front: the front door, or the gate in a wall."""
    walled = {c for side in site.party for c in edge_of(site, side).cells()}
    open_ground = grounds(site, front) - walled
    hedge = site.land.edge & open_ground
    pieces: Pieces = {}
    for n, box in enumerate(runs([(x, y, 0) for x, y in open_ground])):
        ground = box.rect
        if min(ground.width, ground.depth) >= LEAST:
            use = draw.at(n).choice(list(USES), "use")
            pieces |= USES[use](ground, hedge, draw.at(n))
    pieces |= {(*c, 0): ("hedge", "hedge") for c in hedge}
    return tuple(sorted((*spot, *look) for spot, look in pieces.items()))


def _orchard(ground: Rect, _: Collection[Cell], draw: Draw) -> Pieces:
    """Trees of one kind in rows."""
    tree = draw.choice((blossom(2), maple(2)), "tree")
    feet = (
        (x, y)
        for x in range(ground.x0 + 2, ground.x1 - 1, ROW)
        for y in range(ground.y0 + 2, ground.y1 - 1, ROW)
    )
    return _stood(ground, ((tree, foot) for foot in feet))


def _beds(ground: Rect, hedge: Collection[Cell], draw: Draw) -> Pieces:
    """Rows of greens, a path between two; and one across, where they run from hedge to hedge."""
    axis = draw.choice(AXES, "rows")
    lying = ground.grown(-1).lie(axis)
    rows = range(lying.y0, lying.y1, 2)
    cells = [c for y in rows for c in Rect(lying.x0, y, lying.x1, y + 1).lie(axis).cells()]
    if all(cell_at(axis, x, y) in hedge for x in (lying.x0 - 1, lying.x1) for y in rows):
        middle = (lying.x0 + lying.x1 - 1) // 2
        cells = [c for c in cells if c[ALONG[axis]] != middle]
    return {(*c, 0): ("shrub", "ball") for c in cells}


def _lawn(ground: Rect, _: Collection[Cell], draw: Draw) -> Pieces:
    """A tree where there is room for one, and shrubs here and there."""
    inner = ground.grown(-1)
    middle = ((inner.x0 + inner.x1) // 2, (inner.y0 + inner.y1) // 2)
    pieces = _stood(ground, [(great_maple(3), middle)])
    free = [c for c in inner.cells() if (*c, 0) not in pieces]
    return {(*c, 0): ("shrub", "ball") for c in poisson(free, ROW, draw.at("shrubs"))} | pieces


AXES: tuple[Axis, ...] = ("x", "y")
USES: Mapping[str, Callable[[Rect, Collection[Cell], Draw], Pieces]] = {
    "orchard": _orchard,
    "kitchen garden": _beds,
    "lawn": _lawn,
}


def _stood(ground: Rect, trees: Iterable[tuple[Shape, Cell]]) -> Pieces:
    """The trees whose crowns stay over their ground, clear of each other and of the hedge."""
    inner = ground.grown(-1)
    pieces: Pieces = {}
    for shape, foot in trees:
        tree = planted(shape, foot)
        if all(inner.has(x, y) for x, y, _ in tree) and not pieces.keys() & tree.keys():
            pieces |= tree
    return pieces
