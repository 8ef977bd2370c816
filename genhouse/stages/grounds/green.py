"""Yards where things grow: orchards, beds, gardens, greens; and the court before the gate."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from itertools import pairwise

from genhouse.core.box import Rect
from genhouse.core.draw import Draw
from genhouse.stages.court import KINDS, gardens
from genhouse.stages.gardens.lot import Cell, Lot, Pieces, away_from, noise_over
from genhouse.stages.gardens.planting import (
    Shape,
    blossom,
    great_maple,
    maple,
    pine,
    planted,
    poisson,
)
from genhouse.stages.grounds.places import Ground
from genhouse.stages.grounds.things import Look
from genhouse.stages.grounds.work import covered, first, sheds
from genhouse.traditions.plan import PlanRule

ROW = 4
"""Cells from tree to tree in an orchard."""
BED, PATH = 2, 1
"""Cells of a bed and of a path between beds, across."""
LONGEST = 6
"""Cells of a bed, along."""

CROPS: tuple[tuple[Look, ...], ...] = (
    (("shrub", "ball"),),
    (("shrub", "ball"), ("bloom", "tuft")),
    (("bloom", "tuft"), ("fern", "tuft")),
    (("culm", "stakes"),),
    (("fern", "tuft"), ("fruit", "dome"), ("fern", "tuft")),
    (("straw", "sheaf"),),
)
"""What grows in a bed, row by row."""


def fruit_tree(draw: Draw) -> Shape:
    """A small round crown with fruit in it."""
    sides = draw.shuffled([(1, 0), (-1, 0), (0, 1), (0, -1)], "fruit")
    found: Shape = {(0, 0, z): ("trunk", "post") for z in (0, 1)}
    found |= {(*s, 2): ("fruit" if n == 0 else "foliage", "ball") for n, s in enumerate(sides)}
    return found | {(0, 0, 2): ("foliage", "whole"), (0, 0, 3): ("foliage", "ball")}


def orchard(yard: Ground, draw: Draw) -> Pieces:
    """Trees of one kind in rows."""
    kind = draw.choice(("blossom", "fruit", "maple"), "tree", (3, 4, 1))
    g, pieces = yard.widest, dict[tuple[int, int, int], Look]()
    shifts = [((side - 3) % ROW) // 2 for side in (g.width, g.depth)]
    for x in range(g.x0 + 1 + shifts[0], g.x1 - 1, ROW):
        for y in range(g.y0 + 1 + shifts[1], g.y1 - 1, ROW):
            at = draw.at(x - g.x0, y - g.y0)
            trees = {"blossom": blossom(2), "fruit": fruit_tree(at), "maple": maple(2)}
            pieces |= _tree(yard, pieces, trees[kind], [(x, y)])
    pieces |= first(
        yard, pieces, ({(*c, 0): ("wicker", "basket")} for c in yard.widest.grown(-1).cells())
    )
    return covered(yard, pieces, "moss")


def _tree(yard: Ground, pieces: Pieces, shape: Shape, feet: Iterable[Cell]) -> Pieces:
    """A tree at the first of some feet where its crown stays over its yard and clear of all else."""
    taken = {(x, y) for x, y, z in pieces if z >= 0}
    for foot in feet:
        tree = planted(shape, foot)
        crown = {(x, y) for x, y, _ in tree}
        if all(yard.widest.has(*c) for c in crown) and not crown & taken and foot not in yard.kept:
            return tree
    return {}


def kitchen_garden(yard: Ground, draw: Draw) -> Pieces:
    """Beds with paths between, each with its crop, and a shed where there is room."""
    pieces: Pieces = {}
    if yard.widest.area >= 50 and yard.least > 4:
        pieces |= sheds(yard, pieces, draw)
    hut = {(x + i, y + j) for x, y, _ in pieces for i in (-1, 0, 1) for j in (-1, 0, 1)}
    inner = yard.widest.grown(-1)
    start = draw.below(len(CROPS), "crop")
    for n, bed in enumerate(_beds(inner)):
        crop = CROPS[(start + n) % len(CROPS)]
        for k, (x, y) in enumerate(c for c in bed.cells() if c not in hut and c not in yard.kept):
            pieces |= {(x, y, -1): ("garden-soil", "whole"), (x, y, 0): crop[k % len(crop)]}
    return covered(yard, pieces, "garden-gravel")


def _beds(ground: Rect) -> Iterator[Rect]:
    """Rows along the longer way, each in as many beds as it is long for."""
    a0, b0, a1, b1 = ground.lie(ground.longer)
    count = -(-(a1 - a0 + PATH) // (LONGEST + PATH))
    ends = [a0 + (a1 - a0 + PATH) * k // count for k in range(count + 1)]
    for b in range(b0, b1, BED + PATH):
        for low, high in pairwise(ends):
            yield Rect(low, b, high - PATH, min(b + BED, b1)).lie(ground.longer)


def garden(yard: Ground, draw: Draw, rule: PlanRule, *, seen: Collection[str]) -> Pieces:
    """A garden as courts have them, of a kind that none of these is."""
    fit = gardens(rule, yard.least)
    fresh = {name: w for name, w in fit.items() if name not in seen and name != rule.working}
    weights = fresh or fit
    kind = draw.choice(list(weights), "kind", list(weights.values()))
    lot = Lot(
        ground=yard.widest,
        steps=(),
        gate=yard.ways,
        low=Rect(0, 0, 0, 0),
        walls=(),
        noise=noise_over(yard.widest, draw.below(256, "noise")),
        draw=draw.at(kind),
    )
    return covered(yard, KINDS[kind][0](lot).pieces, "moss")


def green(yard: Ground, draw: Draw) -> Pieces:
    """Grass, a tree where there is room for one, and shrubs here and there along its edge."""
    inner = yard.widest.grown(-1)
    feet = sorted(inner.cells(), key=lambda c: -away_from(c, yard.ways, 0))
    pieces = _tree(yard, {}, great_maple(3), feet) or _tree(yard, {}, blossom(2), feet)
    free = [c for c in inner.cells() if (*c, 0) not in pieces and c not in yard.kept]
    shrubs = poisson(free, ROW, draw.at("shrubs"))
    return covered(yard, {(*c, 0): ("shrub", "ball") for c in shrubs} | pieces, "moss")


def forecourt(yard: Ground, draw: Draw) -> Pieces:
    """Gravel, a paved way to the entry, and a pine on either side of it."""
    pieces: Pieces = {(*c, -1): ("path", "whole") for c in yard.kept}
    g, shift = yard.widest, draw.below(2, "taller")
    ends = (((-1, 0), range(g.x0, g.x1)), ((1, 0), range(g.x1 - 1, g.x0, -1)))
    for n, (lean, xs) in enumerate(ends):
        feet = ((x, y) for x in xs for y in range(g.y0, g.y1))
        pieces |= _tree(yard, pieces, pine(4 + (n + shift) % 2, (lean, (0, 1))), feet)
    return covered(yard, pieces, "garden-gravel")
