"""A lot: the ground that a garden is composed on, and the walk across it."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from heapq import heappop, heappush

import numpy as np

from genhouse.core.axes import Side
from genhouse.core.box import Rect
from genhouse.core.draw import WORD, Draw
from genhouse.core.noise import gradients

Cell = tuple[int, int]
Spot = tuple[int, int, int]
"""x, y and layer: 0 is the first above the ground, -1 lies in it."""

Pieces = dict[Spot, tuple[str, str]]
"""Role and form by spot."""

TURN = 5
"""What a bend in a walk costs; a cell of ground costs 2 to 4."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lot:
    """A garden's ground and what bounds it.

    steps: shoe stones below the verandas.  gate: cells inside a garden gate.  low: where nothing
    may rise over a person's head.  walls: the sides that a garden wall closes.
    noise: gradient noise by cell, in whole numbers.  rails: where a gallery's balustrade runs above.
    """

    ground: Rect
    steps: tuple[Cell, ...]
    gate: tuple[Cell, ...]
    low: Rect
    walls: tuple[Side, ...]
    noise: Mapping[Cell, int]
    draw: Draw
    rails: frozenset[Cell] = frozenset()

    @property
    def starts(self) -> tuple[Cell, ...]:
        """Where one comes in."""
        return self.steps + self.gate

    @property
    def least(self) -> int:
        return min(self.ground.width, self.ground.depth)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sketch:
    """A composed garden: its walk, the shoe stones left out, and all its pieces but those stones."""

    walk: frozenset[Cell]
    pieces: Pieces


def noise_over(ground: Rect, layer: int) -> dict[Cell, int]:
    """Gradient noise by cell, one lattice step to four cells; patches run on between courts."""
    return gradients(ground.cells(), layer=layer)


def around(cell: Cell) -> tuple[Cell, ...]:
    """The eight neighbours."""
    x, y = cell
    w, e, s, n = x - 1, x + 1, y - 1, y + 1
    return (e, y), (e, n), (x, n), (w, n), (w, y), (w, s), (x, s), (e, s)


def beside(cell: Cell) -> tuple[Cell, ...]:
    """The four neighbours, in the order of SIDES."""
    x, y = cell
    return (x + 1, y), (x, y + 1), (x - 1, y), (x, y - 1)


def reached(starts: Iterable[Cell], ground: Collection[Cell]) -> set[Cell]:
    """Some cells, and all of a ground to which one comes from them, side by side."""
    edge = [*starts]
    found = set(edge)
    while edge:
        for cell in beside(edge.pop()):
            if cell in ground and cell not in found:
                found.add(cell)
                edge.append(cell)
    return found


def joined(cells: Collection[Cell]) -> Iterator[set[Cell]]:
    """Cells by what hangs together by its sides, the lowest first."""
    ground, done = frozenset(cells), set[Cell]()
    for start in sorted(ground):
        if start not in done:
            found = reached([start], ground)
            done |= found
            yield found


def ring(cells: Iterable[Cell]) -> set[Cell]:
    """All that touches a set of cells by a side or a corner."""
    inside = set(cells)
    return {n for c in inside for n in around(c)} - inside


def near(cells: Iterable[Cell], moves: int = 1) -> set[Cell]:
    """Some cells and all within so many king's moves of them."""
    found = set(cells)
    edge = found
    for _ in range(moves):
        edge = {n for c in edge for n in around(c)} - found
        found = found | edge
    return found


def away_from(cell: Cell, others: Collection[Cell], most: int = 99) -> int:
    """King's moves to the nearest of some cells, ``most`` where there are none."""
    x, y = cell
    far = [(abs(x - i), abs(y - j)) for i, j in others]
    return min([a if a > b else b for a, b in far], default=most)


def moves(cells: Sequence[Cell], others: Collection[Cell], most: int = 99) -> list[int]:
    """``away_from`` of each of many cells, in their order."""
    if not cells or not others:
        return [most] * len(cells)
    (x, y), (i, j) = np.array(cells).T, np.array(list(others)).T
    far = np.maximum(np.abs(x[:, None] - i), np.abs(y[:, None] - j))
    found: list[int] = far.min(axis=1).tolist()
    return found


def from_farthest(cells: Sequence[Cell], others: Collection[Cell]) -> list[Cell]:
    """Cells that lie farther from some others first, as they come where they lie as far."""
    far = dict(zip(cells, moves(cells, others), strict=True))
    return sorted(cells, key=far.__getitem__, reverse=True)


def _off(cell: Cell, rect: Rect) -> int:
    """King's moves to the nearest cell of a rectangle."""
    x, y = cell
    return max(rect.x0 - x, x - rect.x1 + 1, rect.y0 - y, y - rect.y1 + 1, 0)


def mixed(cells: Iterable[Cell], draw: Draw, purpose: str) -> list[Cell]:
    """Cells in an order that one draw decides."""
    word = draw.word(purpose) | 1
    return sorted(cells, key=lambda c: (c[0] * 0x9E3779B1 + c[1] * 0x85EBCA77 + 1) * word & WORD)


def focus(lot: Lot, width: int, depth: int, margin: int = 1) -> Rect | None:
    """A place for what a garden is about: off the middle, away from where one comes in.

    None where the ground, less a margin on each side, has no room for it.
    """
    inner = lot.ground.grown(-margin)
    if inner.width < width or inner.depth < depth:
        return None
    spots = sorted(
        {
            (
                _within(lot.ground.x0, lot.ground.width * i // 8, width, inner.x0, inner.x1),
                _within(lot.ground.y0, lot.ground.depth * j // 8, depth, inner.y0, inner.y1),
            )
            for i in (3, 5)
            for j in (3, 5)
        }
    )
    middle = [(x + width // 2, y + depth // 2) for x, y in spots]
    liking = [away_from(c, lot.starts, 1) ** 2 for c in middle]
    if lot.low.area:
        liking = [n * _off(c, lot.low) for n, c in zip(liking, middle, strict=True)]
    if not any(liking):
        liking = [1] * len(spots)
    x, y = lot.draw.choice(spots, "focus", liking)
    return Rect(x, y, x + width, y + depth)


def _within(start: int, offset: int, size: int, low: int, high: int) -> int:
    return min(max(start + offset - size // 2, low), high - size)


def walk(lot: Lot, goals: Collection[Cell], cost: Mapping[Cell, int]) -> frozenset[Cell]:
    """Stones from where one comes in to every other way in, and past each goal.

    cost: of each cell that may be walked on; what is missing is closed.  The first way in is joined
    to the nearest of the rest, then the nearest to any of that walk, until all hang together.
    """
    cells = sorted(cost)
    number = {c: n for n, c in enumerate(cells)}
    priced = {c: (4 * n, cost[c]) for c, n in number.items()}
    beyond = [
        [(at[0] + turn, at[1]) for turn, at in enumerate(map(priced.get, beside(c))) if at]
        for c in cells
    ]
    ways = [number[c] for c in dict.fromkeys((*lot.starts, *sorted(goals))) if c in number]
    done, left = set(ways[:1]), set(ways[1:])
    while left:
        path = _route(done, left, beyond)
        if not path:
            break
        done |= path
        left -= path
    return frozenset(cells[n] for n in done)


def _route(
    sources: set[int], targets: set[int], beyond: Sequence[Sequence[tuple[int, int]]]
) -> set[int]:
    """The cheapest path (Dijkstra 1959) with bends at a price; empty where there is none.

    A state is four times a cell's number and the way it was come by; heap keys hold cost and state.
    beyond: of each cell, the states that one step leads to, with their prices.
    From a source one may set out any way, at no price for a bend.  Whoever comes to a cell later than
    another by the price of a bend is not followed: that one goes on anywhere at no more cost.
    """
    bits = (4 * len(beyond)).bit_length()
    best = [1 << 30] * (4 * len(beyond))
    late = [1 << 30] * len(beyond)
    came = [-1] * len(best)
    here: list[int] = []
    for n in sources:
        late[n] = 0
    for n in sorted(sources):
        for new, price in beyond[n]:
            if price < best[new] and price < late[new >> 2]:
                best[new] = price
                came[new] = 4 * n + (new & 3)
                heappush(here, price << bits | new)
    while here:
        key = heappop(here)
        state = key & (1 << bits) - 1
        cell, way, spent = state >> 2, state & 3, key >> bits
        if cell in targets:
            return _back(state, came)
        if spent > best[state] or spent >= late[cell]:
            continue
        late[cell] = min(late[cell], spent + TURN)
        for new, price in beyond[cell]:
            total = spent + price if new & 3 == way else spent + price + TURN
            if total < late[new >> 2] and total < best[new]:
                best[new] = total
                came[new] = state
                heappush(here, total << bits | new)
    return set()


def _back(state: int, came: Sequence[int]) -> set[int]:
    path = set()
    while state >= 0:
        path.add(state // 4)
        state = came[state]
    return path
