"""Gardens without water: raked gravel, moss, a grove, a tree with a bench about it."""

from __future__ import annotations

from collections.abc import Collection

from genhouse.core.box import Rect
from genhouse.core.noise import UNIT
from genhouse.stages.gardens.groundwork import (
    a_pine,
    along_walls,
    cover,
    laid_walk,
    standing,
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
    from_farthest,
    mixed,
    near,
)
from genhouse.stages.gardens.planting import (
    bamboo,
    blossom,
    first_fit,
    fits,
    great_maple,
    maple,
    planted,
    poisson,
)
from genhouse.stages.gardens.stones import farthest, group, lanterns, raked


def gravel(lot: Lot) -> Sketch:
    """Groups of stones in raked gravel, the walk along the edge, one pine with moss about it."""
    way, free, pieces = laid_walk(lot, near_edge=True)
    stones = _groups(lot, free, way)
    rocks = standing(stones)
    pieces |= stones
    if lot.ground.area >= 60:
        pieces |= _pine_apart(lot, free, rocks | way, pieces)
    pieces |= along_walls(lot, free - standing(pieces), pieces)
    plants = standing(pieces) - rocks
    if lot.ground.area >= 40:
        pieces |= lanterns(lot, free - standing(pieces), (), way)
    skirts = {c for c in near(plants) if lot.noise.get(c, 0) > -UNIT // 6}
    skirts |= {c for p in plants for c in beside(p)}
    skirts |= {c for r in rocks for c in beside(r) if lot.noise.get(c, 0) > 0}
    mossy = plants | rocks | (skirts & free)
    pieces |= raked(lot, set(lot.ground.cells()) - way - mossy, rocks)
    return Sketch(walk=way, pieces=pieces | cover(lot, pieces, mossy, "garden-gravel"))


def _group_sizes(lot: Lot) -> tuple[int, ...]:
    """Odd groups and a pair: fewer and smaller in small gardens."""
    area = lot.ground.area
    if lot.least < 3:
        return (1,)
    if area < 30:
        return (2,)
    return (3, 2) if area < 100 else (5, 3, 2) if area < 300 else (5, 3, 2, 3, 1)


def _groups(lot: Lot, free: Collection[Cell], way: Collection[Cell]) -> Pieces:
    """The leading group at the focal point, each other as far from the rest as it can be."""
    inner = set(lot.ground.grown(-1).cells()) & set(free)
    field = inner - near(way) or inner or set(free)
    place = focus(lot, 1, 1, 2) or focus(lot, 1, 1)
    stones: Pieces = {}
    leads: set[Cell] = set()
    for n, size in enumerate(_group_sizes(lot)):
        room = field - near(standing(stones))
        first = (place.x0, place.y0) if place and n == 0 else None
        lead = first if first in room else farthest(room, leads | set(way), lot.draw.at("lead", n))
        if lead is not None:
            leads.add(lead)
            stones |= group(lead, size, room, lot.draw.at("group", n))
    return stones


def _pine_apart(lot: Lot, free: Collection[Cell], taken: set[Cell], pieces: Pieces) -> Pieces:
    """A pine where most room is left."""
    inner = lot.ground.grown(-1)
    feet = mixed((c for c in set(free) - near(taken) if inner.has(*c)), lot.draw, "pine")
    feet = from_farthest(feet, taken)
    return first_fit(lot, [a_pine(lot)], feet[:8], pieces)


def moss(lot: Lot) -> Sketch:
    """Hillocks of moss, a walk of stepping stones, one group of stones with a maple behind it."""
    place = focus(lot, 2, 2, 2) or focus(lot, 1, 1)
    heart = set(place.cells()) if place else set()
    way, free, pieces = laid_walk(lot, view_of(lot, heart), closed=heart)
    if place:
        size = 3 if lot.ground.area >= 30 else 1
        pieces |= group((place.x0, place.y0), size, near(heart) & free, lot.draw.at("stones"))
    pieces |= _behind(lot, heart, pieces, free)
    pieces |= along_walls(lot, free - standing(pieces), pieces)
    pieces |= lanterns(lot, free - standing(pieces), standing(pieces), way)
    left = free - standing(pieces) - near(way)
    ferns = poisson(left & near(heart, 2), 3, lot.draw.at("ferns"))
    pieces |= {(*c, 0): ("fern", "tuft") for c in ferns}
    pieces |= _hillocks(lot, left.difference(ferns))
    mossy = {c for c, n in lot.noise.items() if n > -UNIT // 3}
    return Sketch(walk=way, pieces=pieces | cover(lot, pieces, mossy, "garden-soil"))


def _behind(lot: Lot, heart: Collection[Cell], pieces: Pieces, free: Collection[Cell]) -> Pieces:
    """A tree by the focal point, on the side away from where one comes in."""
    feet = mixed([c for c in free if (*c, 0) not in pieces], lot.draw, "tree")
    feet.sort(key=lambda c: (abs(away_from(c, heart, 0) - 2), -away_from(c, lot.starts, 0)))
    small = [blossom(2), bamboo(4)]
    tall = [maple(lot.draw.between(3, 4, "tall"))] if lot.least > 4 else []
    return first_fit(lot, [*tall, *small], feet, pieces)


def _hillocks(lot: Lot, free: Collection[Cell]) -> Pieces:
    """Moss a quarter and a half of a cell high, by the lie of the noise."""
    high = {c for c in free if lot.noise[c] > UNIT // 8}
    top = {c for c in high if lot.noise[c] > UNIT // 4 and all(b in high for b in beside(c))}
    return {(*c, 0): ("moss", "half course" if c in top else "sheet") for c in sorted(high)}


def grove(lot: Lot) -> Sketch:
    """Maples, flowering trees and bamboo about a clearing, and a walk that winds between them."""
    place = focus(lot, 1, 1)
    way, free, pieces = laid_walk(lot, view_of(lot, set(place.cells()) if place else ()))
    pieces |= _wood(lot, free, pieces)
    pieces |= along_walls(lot, free - standing(pieces), pieces)
    shade = near(standing(pieces))
    bare = {c for c in free - shade if lot.noise[c] < 0}
    for c in poisson(bare, 6, lot.draw.at("bamboo")):
        culm = bamboo(lot.draw.between(3, 5, f"culm {c}"))
        pieces |= planted(culm, c) if fits(lot, culm, c, pieces) else {}
    pieces |= lanterns(lot, free - standing(pieces), (), way)
    mossy = {c for c, n in lot.noise.items() if n > 0 or c in shade}
    return Sketch(walk=way, pieces=pieces | cover(lot, pieces, mossy, "garden-soil"))


def _wood(lot: Lot, free: Collection[Cell], pieces: Pieces) -> Pieces:
    """Trees of unlike heights where the noise is high; every third is a flowering one."""
    inner = lot.ground.grown(-1)
    wood = [c for c in free if inner.has(*c) and (lot.noise[c] > -UNIT // 6 or lot.least < 6)]
    found: Pieces = {}
    apart = 4 if lot.ground.area < 150 else 5
    for n, c in enumerate(poisson(wood, apart, lot.draw.at("trees"))):
        tall = [maple(lot.draw.between(2, 5, f"tall {c}"))] if n % 3 else []
        found |= first_fit(lot, [*tall, blossom(2)], [c], pieces | found)
    return found


def tree(lot: Lot) -> Sketch:
    """One large tree with a bench about it, on open gravel."""
    place = focus(lot, 3, 3) if lot.least > 4 else focus(lot, 1, 1)
    seat = set(place.cells()) if place else set()
    way, free, pieces = laid_walk(lot, view_of(lot, seat), closed=seat)
    if place:
        pieces |= _tree_and_bench(lot, place, free, pieces)
    pieces |= along_walls(lot, free - standing(pieces), pieces)
    pieces |= lanterns(lot, free - standing(pieces), seat, way)
    left = free - standing(pieces) - near(seat, 2) - near(way)
    bed = {c for c in left if lot.noise[c] > 0}
    pieces |= {(*c, 0): ("shrub", "ball") for c in poisson(bed, 4, lot.draw.at("shrubs"))}
    paved = near(seat)
    mossy = {c for c, n in lot.noise.items() if n > 0 and c not in paved}
    return Sketch(walk=way, pieces=pieces | cover(lot, pieces, mossy, "garden-gravel"))


def _tree_and_bench(lot: Lot, place: Rect, free: Collection[Cell], pieces: Pieces) -> Pieces:
    """The largest tree that has room, a seat all round it or, in a small garden, on one side."""
    foot = (place.x0 + place.width // 2, place.y0 + place.depth // 2)
    shapes = [great_maple(4), maple(4), maple(3), blossom(2), bamboo(4)]
    found = first_fit(lot, shapes, [foot], pieces)
    one_side = mixed(set(beside(foot)) & set(free), lot.draw, "seat")[:1]
    bench = set(place.cells()) - {foot} or set(one_side)
    return found | {(*c, 0): ("garden-bench", "low table") for c in sorted(bench)}
