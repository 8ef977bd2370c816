"""Courts of the house: paved, with a cross of flags, trees, a vat and pots; or bare earth, swept."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from genhouse.core.box import Rect
from genhouse.stages.gardens.groundwork import cover, standing
from genhouse.stages.gardens.lot import Cell, Lot, Pieces, Sketch, beside, near, walk
from genhouse.stages.gardens.planting import Shape, blossom, first_fit, maple

WIDE = 9
"""Cells, the shorter way, from which the cross is three flags wide and its quarters have trees."""
VAT: Shape = {(0, 0, 0): ("vat", "stout post"), (0, 0, 1): ("vat-water", "patch")}
POT: Shape = {(0, 0, 0): ("pot", "stout post"), (0, 0, 1): ("pot-tree", "ball")}


def paved(lot: Lot) -> Sketch:
    """All of it is laid; what stands there keeps clear of the cross, alike on both sides of its axes."""
    g, arm = lot.ground, int(lot.least >= WIDE)
    cross = {c for strip in _strips(g, arm) for c in strip.cells()}
    middle = ((g.x0 + g.x1 - 1) // 2, (g.y0 + g.y1 - 1) // 2)
    way = walk(lot, [middle], {c: 1 if c in cross else 3 for c in g.cells()}) | cross
    pieces: Pieces = {(*c, -1): ("path", "whole") for c in sorted(way)}
    kept = way | near(lot.starts)
    tall = blossom(2) if lot.draw.chance(2, 3, "blossom") else maple(3)
    for feet in _fourfold(g, arm, lot.least >= WIDE):
        for foot in sorted(set(feet) - kept):
            pieces |= first_fit(lot, [tall] if lot.least >= WIDE else [POT], [foot], pieces)
    pieces |= {(x, y, -1): ("garden-soil", "whole") for x, y, z in list(pieces) if z == 0}
    pieces |= _stood(lot, kept, pieces)
    return Sketch(walk=frozenset(way), pieces=pieces | cover(lot, pieces, (), "garden-gravel"))


def _strips(g: Rect, arm: int) -> tuple[Rect, Rect]:
    """The two arms of the cross, over the middle cell of an odd length or the middle two of an even one."""
    x, y = (g.x0 + g.x1 - 1) // 2, (g.y0 + g.y1 - 1) // 2
    across = Rect(g.x0, y - arm, g.x1, (g.y0 + g.y1) // 2 + 1 + arm)
    return Rect(x - arm, g.y0, (g.x0 + g.x1) // 2 + 1 + arm, g.y1), across


def _fourfold(g: Rect, arm: int, roomy: bool) -> Iterator[tuple[Cell, ...]]:
    """Cells alike in the four quarters: their middles, or in a small court its corners."""
    x0, y0 = (g.width - 1) // 2 - arm, (g.depth - 1) // 2 - arm
    dx, dy = (x0 // 2, y0 // 2) if roomy else (0, 0)
    yield tuple((x, y) for x in (g.x0 + dx, g.x1 - 1 - dx) for y in (g.y0 + dy, g.y1 - 1 - dy))


def _stood(lot: Lot, kept: Collection[Cell], pieces: Pieces) -> Pieces:
    """A vat in an inner corner of the crossing, and pots in the others, as far as there is room."""
    along, across = _strips(lot.ground, int(lot.least >= WIDE))
    corners = [
        (x, y)
        for y in (across.y1, across.y0 - 1)
        for x in (along.x0 - 1, along.x1)
        if lot.ground.has(x, y) and (x, y) not in kept
    ]
    found: Pieces = {}
    first = lot.draw.below(2, "vat")
    for n, corner in enumerate(corners):
        shape = VAT if n == first else POT
        taken = standing(pieces)
        if corner not in taken and not any(b in taken for b in beside(corner)):
            found |= first_fit(lot, [shape], [corner], pieces | found)
    return found


def bare(lot: Lot) -> Sketch:
    """Earth to work, dry and feast on; nothing stands there, and one walks where one likes."""
    ways = frozenset(walk(lot, (), dict.fromkeys(lot.ground.cells(), 1)))
    return Sketch(walk=ways, pieces=cover(lot, {}, (), "garden-gravel"))
