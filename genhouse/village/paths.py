"""Ways on foot: the shortest of all, and that from a gate to the lane."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Iterator

from genhouse.core.axes import STEP, Side
from genhouse.village.surface import APRON, OPEN, TRODDEN, Surface

Cell = tuple[int, int]

REACH = 40
"""Cells from a gate within which there is a lane."""


def shortest(
    start: Cell, ends: Callable[[Cell], bool], after: Callable[[Cell], Iterable[Cell]]
) -> list[Cell]:
    """From a cell to the first at which a way may end, both included; none where there is no way.

    after: where one may go from a cell; of equally short ways that which goes first where it is told first.
    """
    before: dict[Cell, Cell | None] = {start: None}
    row = deque([start])
    while row:
        at = row.popleft()
        if ends(at):
            way = [at]
            while (last := before[way[-1]]) is not None:
                way.append(last)
            return way[::-1]
        for to in after(at):
            if to not in before:
                before[to] = at
                row.append(to)
    return []


def way_out(surface: Surface, door: Cell, gate: Side) -> tuple[Cell, ...]:
    """The shortest way from before a gate to what is trodden, that included, straight on where it can be;
    none where there is no way.  It leaves the strip about its own plot, and never enters another's."""
    dx, dy = STEP[gate]
    turns = ((dx, dy), (dy, dx), (-dy, -dx), (-dx, -dy))

    def after(at: Cell) -> Iterator[Cell]:
        for i, j in turns:
            to = (at[0] + i, at[1] + j)
            near = abs(to[0] - door[0]) + abs(to[1] - door[1]) < REACH
            inside = 0 <= to[0] < surface.shape[0] and 0 <= to[1] < surface.shape[1]
            if near and inside:
                leaving = surface.use[to] == surface.use[at] == APRON
                if leaving or surface.use[to] in (OPEN, *TRODDEN):
                    yield to

    start = (door[0] + dx, door[1] + dy)
    return tuple(shortest(start, lambda at: surface.use[at] in TRODDEN, after))
