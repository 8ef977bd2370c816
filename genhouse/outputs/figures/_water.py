"""Where the rain on a roof goes: every column drained over the surface, to an eaves or into a court.

Columns drain to the steepest lower neighbour of eight (D8: J. O'Callaghan and D. Mark, "The
extraction of drainage networks from digital elevation data", 1984); level ones along the way the
flood from the edges came (R. Barnes, C. Lehman and D. Mulla, "Priority-Flood", Computers &
Geosciences 62, 2014).  A pit is a column that the flood has to fill.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from heapq import heappop, heappush

import numpy as np
import numpy.typing as npt

from genhouse.core.box import Rect
from genhouse.outputs.figures._tables import Drained

Tops = npt.NDArray[np.int32]
Cell = tuple[int, int]
NEIGHBOURS = ((1, 0), (1, -1), (0, -1), (-1, -1), (-1, 0), (-1, 1), (0, 1), (1, 1))
DIAGONAL = 70
"""A drop over a diagonal, for one of 100 along a side: near enough 1 / sqrt(2), and whole."""
OPEN = 0


def flooded(tops: Tops) -> tuple[Tops, dict[Cell, Cell]]:
    """The surface with its pits filled, and for each column the one its water would reach first.

    tops: heights, 0 where nothing is: there, and past the edge, water is gone.
    """
    filled = tops.copy()
    waiting = {(x, y): int(tops[x, y]) for x, y in np.argwhere(tops != OPEN).tolist()}
    source: dict[Cell, Cell] = {}
    edge = [(OPEN, x - 1, y - 1) for x, y in np.argwhere(np.pad(tops, 1) == OPEN).tolist()]
    while edge:
        level, x, y = heappop(edge)
        for dx, dy in NEIGHBOURS:
            height = waiting.pop((x + dx, y + dy), None)
            if height is not None:
                filled[x + dx, y + dy] = max(level, height)
                source[x + dx, y + dy] = (x, y)
                heappush(edge, (max(level, height), x + dx, y + dy))
    return filled, source


def steepest(tops: Tops) -> dict[Cell, Cell]:
    """For each column the neighbour to which it falls most, where it falls at all; of equals the first."""
    high, (x, y) = np.pad(tops, 1), tops.shape
    drops = np.stack(
        [
            (tops - high[1 + dx : 1 + dx + x, 1 + dy : 1 + dy + y])
            * (DIAGONAL if dx and dy else 100)
            for dx, dy in NEIGHBOURS
        ]
    )
    falls = np.argwhere((tops != OPEN) & (drops.max(axis=0) > 0)).tolist()
    way = drops.argmax(axis=0)
    return {(i, j): (i + NEIGHBOURS[n][0], j + NEIGHBOURS[n][1])
            for i, j in falls for n in (int(way[i, j]),)}  # fmt: skip


def outlets(filled: Tops, source: dict[Cell, Cell]) -> dict[Cell, Cell]:
    """The open column into which each column's water drops at last, over what ``flooded`` gives."""
    down = source | steepest(filled)
    last: dict[Cell, Cell] = {}
    for cell in source:
        path = []
        while cell in down and cell not in last:
            path.append(cell)
            cell = down[cell]
        last |= dict.fromkeys(path, last.get(cell, cell))
    return last


def drained(tops: Tops, courts: Sequence[Rect]) -> Drained:
    """The catchment of each side's eaves and of each court, in cells of plan."""
    filled, source = flooded(tops)
    ends = outlets(filled, source).values()
    counts = Counter(_name(place, tops.shape, courts) for place in ends)
    return Drained(
        pits=int(np.count_nonzero(filled != tops)),
        catchment={name: counts[name] for name in _names(len(courts)) if counts[name]},
    )


def _names(courts: int) -> Iterator[str]:
    yield from ("east", "north", "west", "south")
    yield from (f"court {n + 1}" for n in range(courts))


def _name(place: Cell, size: tuple[int, ...], courts: Sequence[Rect]) -> str:
    """The court that a column lies in, else the side of the plot it lies nearest to."""
    x, y = place
    for n, court in enumerate(courts):
        if court.has(x, y):
            return f"court {n + 1}"
    distance = {"east": size[0] - 1 - x, "north": size[1] - 1 - y, "west": x, "south": y}
    return min(distance, key=lambda side: distance[side])
