"""Groundwork that all gardens share: what walks cost, what covers the ground, planting along walls."""

from __future__ import annotations

from collections.abc import Collection

from genhouse.core.axes import Side
from genhouse.core.box import Rect
from genhouse.core.noise import UNIT
from genhouse.stages.gardens.lot import Cell, Lot, Pieces, away_from, ring, walk
from genhouse.stages.gardens.planting import Shape, bamboo, fits, pine, planted, poisson

LEANS: tuple[tuple[Cell, Cell], ...] = (
    ((1, 0), (0, 1)),
    ((0, 1), (-1, 0)),
    ((-1, 0), (0, -1)),
    ((0, -1), (1, 0)),
)


def standing(pieces: Pieces) -> set[Cell]:
    """Cells in which something stands on the ground."""
    return {(x, y) for x, y, z in pieces if z == 0}


def open_cells(lot: Lot, *taken: Collection[Cell]) -> set[Cell]:
    """Cells on which something may still stand: not where one comes in."""
    return set(lot.ground.cells()).difference(lot.starts, *taken)


def ground_cost(
    lot: Lot, *, near_edge: bool = False, closed: Collection[Cell] = ()
) -> dict[Cell, int]:
    """What a step costs: less where the noise is low, so that walks wind; less at the edge if asked.

    The foot of a garden wall is dear: it is for planting.
    """
    inner = lot.ground.grown(-1)
    foot = {c for side in lot.walls for c in foot_of_wall(lot.ground, side).cells()}
    return {
        c: 2
        + (n > 0)
        + (n > UNIT // 3)
        + (3 if near_edge and inner.has(*c) else 0)
        + 5 * (c in foot)
        for c, n in lot.noise.items()
        if c not in closed
    }


def foot_of_wall(g: Rect, side: Side) -> Rect:
    """The row of ground along one side."""
    match side:
        case "south":
            return Rect(g.x0, g.y0, g.x1, g.y0 + 1)
        case "north":
            return Rect(g.x0, g.y1 - 1, g.x1, g.y1)
        case "west":
            return Rect(g.x0, g.y0, g.x0 + 1, g.y1)
        case _:
            return Rect(g.x1 - 1, g.y0, g.x1, g.y1)


def view_of(lot: Lot, heart: Collection[Cell]) -> tuple[Cell, ...]:
    """The cell from which one looks at what a garden is about: beside it, nearest to a way in."""
    close = [c for c in ring(heart) if lot.ground.has(*c)]
    return tuple(sorted(close, key=lambda c: (away_from(c, lot.starts), c))[:1])


def stepping(cells: Collection[Cell], lot: Lot) -> Pieces:
    """Stones of a walk, level with the ground; the one below a shoe stone is left out."""
    return {(*c, -1): ("stepping-stone", "stepping stone") for c in cells if c not in lot.steps}


def laid_walk(
    lot: Lot,
    goals: Collection[Cell] = (),
    *,
    near_edge: bool = False,
    closed: Collection[Cell] = (),
) -> tuple[frozenset[Cell], set[Cell], Pieces]:
    """How most gardens begin: a walk past some goals, the cells left free, the stones of the walk."""
    way = walk(lot, goals, ground_cost(lot, near_edge=near_edge, closed=closed))
    return way, open_cells(lot, way), stepping(way, lot)


def cover(lot: Lot, pieces: Pieces, moss: Collection[Cell], rest: str) -> Pieces:
    """The ground itself, wherever nothing lies in it yet."""
    return {
        (*c, -1): ("moss" if c in moss else rest, "whole")
        for c in lot.ground.cells()
        if (*c, -1) not in pieces
    }


def a_pine(lot: Lot) -> Shape:
    """A pine that leans to two sides."""
    return pine(6, lot.draw.choice(LEANS, "lean"))


def along_walls(lot: Lot, free: Collection[Cell], pieces: Pieces) -> Pieces:
    """Bamboo and shrubs against the garden's walls."""
    found: Pieces = {}
    for side in lot.walls:
        row = foot_of_wall(lot.ground, side)
        strip = [c for c in row.cells() if c in free and (*c, 0) not in found]
        for n, c in enumerate(poisson(strip, 2, lot.draw.at("wall", side))):
            culm = bamboo(lot.draw.between(3, 5, f"culm {c}"))
            tall = n % 3 != 2 and fits(lot, culm, c, pieces | found)
            found |= planted(culm if tall else {(0, 0, 0): ("shrub", "ball")}, c)
    return found
