"""Yards for work: of the kitchen, for drying, of a workshop, for wood."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

from genhouse.core.axes import SIDES
from genhouse.core.box import Rect
from genhouse.core.draw import Draw
from genhouse.stages.gardens.lot import Cell, Pieces, mixed
from genhouse.stages.grounds.places import Ground
from genhouse.stages.grounds.things import (
    Lie,
    Look,
    ground_of,
    hut,
    jars,
    logs,
    shelter,
    stack,
    washing,
    well,
)

LOWS: tuple[Look, ...] = (("tub", "barrel"), ("wicker", "basket"), ("", ""), ("tub", "tub"))
TOOLS: tuple[Look, ...] = (("firewood-dark", "sawbuck x"), ("tub", "barrel"), ("wicker", "basket"))


def lies(yard: Ground) -> list[Lie]:
    """Its widest part seen with each side at the back where the boundary stands, the longest first; with
    any where none does."""
    sides = yard.bound or SIDES
    return sorted((Lie(yard.widest, side) for side in sides), key=lambda lie: -lie.length)


def covered(yard: Ground, pieces: Pieces, role: str) -> Pieces:
    """The pieces over ground of one kind, wherever nothing lies in it yet."""
    free = {(*c, -1): (role, "whole") for c in yard.cells if (*c, -1) not in pieces}
    return pieces | free


def first(yard: Ground, pieces: Pieces, tries: Iterable[Pieces]) -> Pieces:
    """The first thing that stands clear of all others, of where one comes in, and leaves a way round it."""
    taken = ground_of(pieces, 9)
    for thing in tries:
        cells = {(x, y) for x, y, _ in thing}
        about = {(x + i, y + j) for x, y in cells for i in (-1, 0, 1) for j in (-1, 0, 1)}
        inside = all(yard.widest.has(*c) for c in cells)
        if inside and cells.isdisjoint(yard.kept) and about.isdisjoint(taken):
            return thing
    return {}


def along(
    yard: Ground, draw: Draw, sizes: Iterable[int], thing: Callable[[Lie, int, int], Pieces]
) -> Iterator[Pieces]:
    """A thing of some length, tried along the backs of a yard from either end, the longest first."""
    for n in sizes:
        for lie in lies(yard):
            starts = (0, lie.length - n)
            turned = draw.below(2, f"end {lie.back}")
            yield from (thing(lie, a, n) for a in (starts[turned], starts[1 - turned]) if a >= 0)


def amid(yard: Ground, draw: Draw, margin: int) -> list[Cell]:
    """Cells of its widest part so far from its edge, in an order that is drawn."""
    inner = yard.widest.grown(-margin)
    return mixed(inner.cells(), draw, "amid") if inner.area else []


def _low(yard: Ground, pieces: Pieces, draw: Draw, looks: Iterable[Look]) -> Pieces:
    """Things that stand about, a cell each, clear of all else."""
    for role, form in looks:
        spots = amid(yard, draw.at(form), 1)
        pieces = pieces | first(yard, pieces, ({(*c, 0): (role, form)} for c in spots))
    return pieces


def kitchen_yard(yard: Ground, draw: Draw, *, wells: bool) -> Pieces:
    """A well where the house has no other, wood under a roof, what waits to be washed or carried in."""
    pieces: Pieces = {}
    if wells:
        middles = sorted(amid(yard, draw.at("well"), 2), key=lambda c: _off(c, yard.widest))
        pieces |= first(yard, pieces, map(well, middles))
        heads = {(x, y) for x, y, z in pieces if z == 0}
        paved = {(x + i, y + j) for x, y in heads for i in (-1, 0, 1) for j in (-1, 0, 1)}
        pieces |= {
            (*c, -1): ("path", "whole") for c in paved if c in yard.cells and (*c, -1) not in pieces
        }
    pieces |= first(yard, pieces, along(yard, draw.at("wood"), (6, 5, 4, 3), stack))
    if yard.least > 4:
        keeps = along(yard, draw.at("shed"), (5, 4), lambda lie, a, n: shelter(lie, a, n, LOWS))
        pieces |= first(yard, pieces, keeps)
    pieces = _low(
        yard, pieces, draw, (("firewood-dark", "barrel"), ("tub", "barrel"), ("tub", "tub"))
    )
    return covered(yard, pieces, "garden-soil")


def _off(cell: Cell, rect: Rect) -> int:
    """Twice how far a cell lies from the middle."""
    return abs(2 * cell[0] + 1 - rect.x0 - rect.x1) + abs(2 * cell[1] + 1 - rect.y0 - rect.y1)


def drying_ground(yard: Ground, draw: Draw) -> Pieces:
    """Lines between posts, side by side on the grass, and a basket."""
    pieces: Pieces = {}
    lie = lies(yard)[0]
    length = min(lie.length - 2, 9)
    for b in range(1, max(lie.depth - 1, 2), 2 if lie.depth < 7 else 3):
        at = draw.at("line", b)
        shifts = (1, lie.length - 1 - length)
        tries = (washing(lie, a, b, n, at) for n in (length, length - 2) if n > 3 for a in shifts)
        pieces |= _beside(yard, pieces, tries)
    pieces = _low(yard, pieces, draw, (("wicker", "basket"), ("garden-bench", "trestle x")))
    return covered(yard, pieces, "moss")


def _beside(yard: Ground, pieces: Pieces, tries: Iterable[Pieces]) -> Pieces:
    """The first thing clear of where one comes in and of all others: one may stand in line with another."""
    taken = ground_of(pieces)
    for thing in tries:
        cells = ground_of(thing)
        if all(yard.widest.has(*c) for c in cells) and not cells & (taken | yard.kept):
            return thing
    return {}


def work_yard(yard: Ground, draw: Draw) -> Pieces:
    """Logs, an open shed with tools, a saw horse, trestles with a board, on packed earth."""
    pieces: Pieces = {}
    keeps = along(yard, draw.at("shed"), (6, 5, 4), lambda lie, a, n: shelter(lie, a, n, TOOLS))
    pieces |= first(yard, pieces, keeps)
    pieces |= first(yard, pieces, along(yard, draw.at("logs"), (5, 4, 3), logs))
    pieces = _low(
        yard, pieces, draw, (("firewood-dark", "sawbuck x"), ("garden-bench", "trestle y"))
    )
    pieces |= first(yard, pieces, along(yard, draw.at("wood"), (5, 4, 3), stack))
    return covered(yard, pieces, "garden-soil")


def jar_terrace(yard: Ground, draw: Draw) -> Pieces:
    """A step of stone along the back, and on it rows of jars under their lids, the tall ones behind."""
    pieces = first(yard, {}, along(yard, draw.at("terrace"), (7, 6, 5, 4, 3), jars))
    pieces |= first(yard, pieces, along(yard, draw.at("wood"), (5, 4, 3), stack))
    pieces = _low(yard, pieces, draw, (("wicker", "basket"), ("tub", "tub")))
    return covered(yard, pieces, "garden-soil")


def wood_store(yard: Ground, draw: Draw) -> Pieces:
    """Stack beside stack, and the block on which they split it."""
    pieces: Pieces = {}
    for n in range(3):
        pieces |= first(yard, pieces, along(yard, draw.at("wood", n), (7, 6, 5, 4, 3), stack))
    pieces |= first(yard, pieces, along(yard, draw.at("logs"), (4, 3), logs))
    pieces = _low(yard, pieces, draw, (("firewood-dark", "barrel"), ("firewood-dark", "sawbuck y")))
    return covered(yard, pieces, "garden-soil")


def sheds(yard: Ground, pieces: Pieces, draw: Draw) -> Pieces:
    """A shed for tools in a corner, where there is room for one."""
    return first(yard, pieces, along(yard, draw.at("hut"), (3,), lambda lie, a, _: hut(lie, a)))
