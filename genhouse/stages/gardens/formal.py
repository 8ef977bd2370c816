"""Gardens about a stone basin: a well under its roof, four beds about a fountain."""

from __future__ import annotations

from collections.abc import Collection

from genhouse.core.axes import SIDES, STEP
from genhouse.core.box import Rect
from genhouse.core.forms import CORNERS
from genhouse.core.noise import UNIT
from genhouse.stages.gardens.groundwork import (
    along_walls,
    cover,
    ground_cost,
    open_cells,
    standing,
    stepping,
)
from genhouse.stages.gardens.lot import (
    Cell,
    Lot,
    Pieces,
    Sketch,
    around,
    away_from,
    beside,
    focus,
    from_farthest,
    joined,
    mixed,
    near,
    reached,
    ring,
    walk,
)
from genhouse.stages.gardens.planting import Shape, blossom, first_fit, maple, poisson
from genhouse.stages.gardens.stones import lanterns

SHALLOW = 6
"""Cells across from which a basin has a walk round it."""


def well(lot: Lot) -> Sketch:
    """A stone well head in a paved square, under a small roof where there is room for one."""
    place = focus(lot, 3, 3) if lot.least > 4 else None
    if place is None:
        return _open_well(lot)
    middle = (place.x0 + 1, place.y0 + 1)
    head = set(place.cells())
    fronts = [c for c in _across(middle, 2) if lot.ground.has(*c)]
    fronts.sort(key=lambda c: (away_from(c, lot.starts), c))
    way = walk(lot, fronts[:1], ground_cost(lot, closed=head))
    paved = near(head) & set(lot.ground.cells())
    pieces = well_head(middle)
    if lot.least > 5 and not lot.low.meet(place).area:
        pieces |= well_roof(place)
    pieces |= {(*c, -1): ("path", "whole") for c in sorted(paved - {middle})}
    pieces |= stepping(way - paved, lot)
    free = open_cells(lot, way, head)
    corners = mixed(free & paved - set(_across(middle, 2)), lot.draw, "bucket")
    pieces |= {(*c, 0): ("bucket", "bowl") for c in corners[:1]}
    return _planted_about(lot, way, paved, free - paved, pieces)


def _planted_about(
    lot: Lot, way: frozenset[Cell], paved: set[Cell], free: set[Cell], pieces: Pieces
) -> Sketch:
    """A tree where most room is left, ferns in the moss, a lantern by the paving."""
    feet = mixed(free, lot.draw, "tree")
    feet = from_farthest(feet, way | paved)
    shrub: Shape = {(0, 0, 0): ("shrub", "ball")}
    pieces = pieces | first_fit(lot, [maple(3), blossom(2), shrub], feet, pieces)
    pieces |= along_walls(lot, free - standing(pieces), pieces)
    pieces |= lanterns(lot, free - standing(pieces), paved, way)
    bed = {c for c in free - standing(pieces) - near(way) if lot.noise[c] > 0}
    pieces |= {(*c, 0): ("fern", "tuft") for c in poisson(bed, 3, lot.draw.at("ferns"))}
    mossy = {c for c in free if lot.noise[c] > -UNIT // 4}
    return Sketch(walk=way, pieces=pieces | cover(lot, pieces, mossy, "garden-gravel"))


def basin(lot: Lot) -> Sketch:
    """Water over all of it, half a cell below the floors about it; in a wide garden lower, with a walk
    round it."""
    g = lot.ground
    edge = set(g.cells()) - set(g.grown(-1).cells())
    if lot.least < SHALLOW and not lot.gate:
        way = walk(lot, (), dict.fromkeys(g.cells(), 1)) or frozenset([min(g.cells())])
        pieces: Pieces = {(*c, -1): ("pond-edge", "whole") for c in g.cells()}
        pieces |= {(*c, 0): ("water", "half course") for c in set(g.cells()) - way}
        pieces |= {(*c, 0): ("pond-edge", "half course") for c in way - set(lot.steps)}
        return Sketch(walk=way, pieces=pieces)
    way = walk(lot, (), dict.fromkeys(edge, 1)) | edge
    pieces = {(*c, -1): ("path", "whole") for c in way}
    pieces |= {(*c, -1): ("water", "half course") for c in set(g.cells()) - way}
    return Sketch(walk=way, pieces=pieces)


def _across(middle: Cell, n: int) -> tuple[Cell, ...]:
    return tuple((middle[0] + n * dx, middle[1] + n * dy) for dx, dy in STEP.values())


def well_head(middle: Cell) -> Pieces:
    """Water a cell and a half deep within a stone wall half a cell thick."""
    x, y = middle
    found: Pieces = {(x, y, -1): ("deep-water", "whole"), (x, y, 0): ("water", "half course")}
    for side in SIDES:
        dx, dy = STEP[side]
        found[x - dx, y - dy, 0] = ("well-head", f"kerb {side}")
    for corner in CORNERS:
        dx, dy = (sum(STEP[s][i] for s in SIDES if s in corner) for i in (0, 1))
        found[x - dx, y - dy, 0] = ("well-head", f"kerb corner {corner}")
    return found


def well_roof(place: Rect) -> Pieces:
    """Two posts, a beam between them, and a little roof."""
    x, y = place.x0 + 1, place.y0 + 1
    found: Pieces = {(x + i, y, z): ("well-post", "post") for i in (-1, 1) for z in (1, 2)}
    for i in (-1, 0, 1):
        found[x + i, y, 3] = ("well-roof", "whole")
        found[x + i, y - 1, 3] = ("well-roof", "course north")
        found[x + i, y + 1, 3] = ("well-roof", "course south")
        found[x + i, y, 4] = ("well-ridge", "coping x")
    return found


def _open_well(lot: Lot) -> Sketch:
    """In a small garden, a well mouth level with its paving, a bucket beside it."""
    mouth = (
        set(mixed(lot.ground.grown(-1).cells(), lot.draw, "mouth")[:1]) if lot.least > 2 else set()
    )
    way = walk(lot, (), ground_cost(lot, closed=mouth))
    pieces: Pieces = {(*c, -1): ("water", "half course") for c in mouth}
    pieces |= {(*c, -1): ("path", "whole") for c in sorted(ring(mouth))}
    free = open_cells(lot, way, mouth)
    pieces |= {(*c, 0): ("bucket", "bowl") for c in mixed(free, lot.draw, "bucket")[:1]}
    pieces |= stepping([c for c in way if (*c, -1) not in pieces], lot)
    pieces |= along_walls(lot, free - standing(pieces), pieces)
    return Sketch(walk=way, pieces=pieces | cover(lot, pieces, free, "garden-gravel"))


def quartered(lot: Lot) -> Sketch:
    """Four hedged beds about a fountain on the crossing of two paths, all on the axes."""
    g = lot.ground
    axes = _middle(g, 0)
    cross = {c for c in g.cells() if axes.x0 <= c[0] < axes.x1 or axes.y0 <= c[1] < axes.y1}
    edge = set(g.cells()) - set(g.grown(-1).cells()) if lot.least > 10 else set()
    basin, rim = _basin(lot)
    dry = set(g.cells()) - basin
    paved = (cross | edge) & dry
    ends = sorted(c for c in paved if any(b in basin for b in beside(c)))
    way = walk(lot, ends[:1], {c: 1 if c in paved else 9 for c in dry}) | paved
    pieces = _fountain(basin, rim)
    pieces |= {(*c, -1): ("path", "whole") for c in sorted((way | rim) - basin)}
    pieces |= _beds(lot, dry - way - rim, way | rim)
    come = reached([min(lot.starts, default=min(way))], way)
    return Sketch(walk=frozenset(come), pieces=pieces | cover(lot, pieces, (), "garden-soil"))


def _basin(lot: Lot) -> tuple[set[Cell], set[Cell]]:
    """The water of the fountain, and its kerb where there is room for one to be walked round."""
    g = lot.ground
    if lot.least < 3:
        return set(), set()
    basin = set(_middle(g, 3 if lot.least > 8 and g.width % 2 and g.depth % 2 else 0).cells())
    if lot.least < 5:
        return basin - set(lot.starts), set()
    return basin, ring(basin) if lot.least > 6 else {b for c in basin for b in beside(c)} - basin


def _middle(g: Rect, size: int) -> Rect:
    """One cell in the middle of an odd length, two of an even one, or so many."""
    x, y = (g.x0 + g.x1 - 1) // 2, (g.y0 + g.y1 - 1) // 2
    if size:
        return Rect(x - size // 2, y - size // 2, x + size // 2 + 1, y + size // 2 + 1)
    return Rect(x, y, (g.x0 + g.x1) // 2 + 1, (g.y0 + g.y1) // 2 + 1)


def _fountain(basin: set[Cell], rim: Collection[Cell]) -> Pieces:
    """A basin with a kerb to sit on; a large one with a jar on a pillar; a small one in the ground."""
    if not rim:
        return {(*c, -1): ("water", "half course") for c in sorted(basin)}
    found: Pieces = {(*c, 0): ("fountain", "half course") for c in sorted(rim)}
    for c in sorted(basin):
        found |= {(*c, -1): ("deep-water", "whole"), (*c, 0): ("water", "sheet")}
    if len(basin) == 9:
        middle = sorted(basin)[4]
        found |= {
            (*middle, z): ("fountain", f) for z, f in ((-1, "whole"), (0, "whole"), (1, "jar"))
        }
    return found


def _beds(lot: Lot, beds: Collection[Cell], paths: Collection[Cell]) -> Pieces:
    """A low hedge along the paths, flowers within, a small tree or a clipped ball in the middle."""
    inside = {c for c in beds if all(a not in paths for a in around(c))}
    found: Pieces = {(*c, 0): ("hedge", "hedge") for c in sorted(set(beds) - inside)}
    for bed in joined(inside):
        middle = _heart(bed)
        shapes = [blossom(2)] if len(bed) > 5 else []
        found |= first_fit(lot, [*shapes, {(0, 0, 0): ("shrub", "ball")}], [middle], found)
        flowers = poisson(bed - {middle}, 2, lot.draw.at("flowers", middle))
        found |= {(*c, 0): ("bloom", "tuft") for c in flowers}
    return found


def _heart(bed: Collection[Cell]) -> Cell:
    """The cell nearest to the middle of a bed."""
    xs, ys = sorted(x for x, _ in bed), sorted(y for _, y in bed)
    sx, sy = xs[0] + xs[-1], ys[0] + ys[-1]
    return min(bed, key=lambda c: (abs(2 * c[0] - sx) + abs(2 * c[1] - sy), c))
