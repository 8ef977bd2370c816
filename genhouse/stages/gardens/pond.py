"""The pond garden.

Water fills a cell of the ground to its top and a quarter of the cell above, where a rim of stones or
moss holds it: fish have a cell and a quarter.  Where it is shallow, only the upper quarter is water.
"""

from __future__ import annotations

import heapq
from collections.abc import Collection

from genhouse.core.box import Rect
from genhouse.core.noise import UNIT
from genhouse.stages.gardens.groundwork import (
    a_pine,
    along_walls,
    cover,
    ground_cost,
    laid_walk,
    open_cells,
    standing,
    stepping,
    view_of,
)
from genhouse.stages.gardens.lot import (
    Cell,
    Lot,
    Pieces,
    Sketch,
    away_from,
    beside,
    focus,
    mixed,
    near,
    ring,
    walk,
)
from genhouse.stages.gardens.planting import blossom, first_fit, maple, poisson
from genhouse.stages.gardens.stones import lanterns

LARGEST_POND = 56


def pond(lot: Lot) -> Sketch:
    """A stone-edged pond with a shallow shore; the walk keeps to its edge and may bridge it."""
    if lot.least < 5:
        return _pool(lot)
    water = _pond_cells(lot)
    rim = ring(water)
    cost = ground_cost(lot) | dict.fromkeys(rim, 1) | dict.fromkeys(water, 4)
    way = walk(lot, view_of(lot, water), cost)
    pieces = _rim(lot, rim, way)
    pieces |= _water(water, way, {c for c in rim if pieces[*c, 0][0] == "garden-gravel"})
    pieces |= stepping(way - rim - water, lot)
    free = open_cells(lot, way, water, rim)
    pieces |= _by_the_water(lot, rim, free, pieces)
    pieces |= along_walls(lot, free - standing(pieces), pieces)
    pieces |= lanterns(lot, free - standing(pieces), rim, way)
    bed = {c for c in free - standing(pieces) - near(way) if lot.noise[c] > -UNIT // 8}
    pieces |= {(*c, 0): ("shrub", "ball") for c in poisson(bed, 4, lot.draw.at("shrubs"))}
    mossy = {c for c, n in lot.noise.items() if n > -UNIT // 3}
    return Sketch(walk=way, pieces=pieces | cover(lot, pieces, mossy, "garden-gravel"))


def _pond_cells(lot: Lot) -> set[Cell]:
    """Grown cell by cell from the focal point, longer than wide, its shore bent by noise."""
    inner = lot.ground.grown(-2)
    start = focus(lot, 1, 1, 2) or inner
    cx, cy = start.x0, start.y0
    wanted = max(1, min(lot.ground.area // 5, LARGEST_POND))

    def rank(c: Cell) -> tuple[int, Cell]:
        dx, dy = c[0] - cx, c[1] - cy
        far = (dx * dx * inner.depth + dy * dy * inner.width) * 16 // (inner.width + inner.depth)
        return far + 24 * lot.noise[c] // UNIT, c

    edge = [rank((cx, cy))]
    found: set[Cell] = set()
    seen = {(cx, cy)}
    while edge and len(found) < wanted:
        c = heapq.heappop(edge)[1]
        found.add(c)
        for b in beside(c):
            if inner.has(*b) and b not in seen:
                seen.add(b)
                heapq.heappush(edge, rank(b))
    return _smooth(found, inner)


def _smooth(water: set[Cell], inner: Rect) -> set[Cell]:
    """No inlet one cell wide, no water with but one neighbour."""
    bays = {b for c in water for b in beside(c) if inner.has(*b)} - water
    water = water | {c for c in bays if sum(b in water for b in beside(c)) > 2}
    kept = {c for c in water if sum(b in water for b in beside(c)) > 1}
    return kept if len(kept) > 3 else water


def _rim(lot: Lot, rim: Collection[Cell], way: Collection[Cell]) -> Pieces:
    """Flat stones where one walks, a few that stand up, a gravel shore, moss between."""
    free = set(rim) - set(way)
    stones = poisson(free, 5, lot.draw.at("rim"))
    shore = near(mixed(free, lot.draw, "shore")[:1]) if len(rim) > 14 else set()
    found: Pieces = {(*c, 0): ("pond-edge", "half course") for c in sorted(rim)}
    for c in sorted(free - set(stones)):
        if c in shore:
            found[*c, 0] = ("garden-gravel", "sheet")
        elif lot.noise[c] > -UNIT // 8:
            found[*c, 0] = ("moss", "sheet")
    return found | {
        (*c, 0): ("bank-stone", "dome" if n % 2 else "rock") for n, c in enumerate(stones)
    }


def _water(water: set[Cell], way: Collection[Cell], shore: Collection[Cell]) -> Pieces:
    """Deep water with its surface, shallow water by the shore, planks where the walk goes over."""
    shallow = water & near(shore) if len(water) > 6 else set()
    found: Pieces = {}
    for c in sorted(water):
        bridged = c in way
        bed = c in shallow and not bridged
        found[*c, -1] = ("garden-gravel", "whole") if bed else ("deep-water", "whole")
        found[*c, 0] = ("shallows" if bed else "water", "sheet")
        if bridged:
            found[*c, 0] = ("bridge", "half course")
    return found


def _by_the_water(
    lot: Lot, rim: Collection[Cell], free: Collection[Cell], pieces: Pieces
) -> Pieces:
    """A tree that reaches over the pond, on the side away from where one comes in."""
    feet = mixed(free, lot.draw, "tree")
    bank = near(rim)
    feet.sort(key=lambda c: (c not in bank, -away_from(c, lot.starts, 0)))
    tall = [lot.draw.choice((a_pine(lot), maple(3)), "by the water")]
    return first_fit(lot, [*tall[: lot.ground.area // 42], blossom(2)], feet, pieces)


def _pool(lot: Lot) -> Sketch:
    """In a small garden, a pool half a cell deep, one stone and a fern by it."""
    inner = set(lot.ground.grown(-1).cells()) if lot.least > 2 else set(lot.ground.cells())
    way, free, pieces = laid_walk(lot, closed=inner if lot.least > 2 else ())
    inside = mixed(free & inner, lot.draw, "pool")
    water = set(inside[:1])
    while len(water) < min(6, lot.ground.area // 5):
        more = [c for c in inside if c not in water and any(b in water for b in beside(c))]
        if not more:
            break
        water.add(more[0])
    pieces |= {(*c, -1): ("water", "half course") for c in sorted(water)}
    left = free - water
    shore = mixed(ring(water) & left, lot.draw, "stone")
    for c, look in zip(shore, (("boulder", "dome"), ("fern", "tuft")), strict=False):
        pieces[*c, 0] = look
    pieces |= along_walls(lot, left - standing(pieces), pieces)
    return Sketch(walk=way, pieces=pieces | cover(lot, pieces, left, "garden-gravel"))
