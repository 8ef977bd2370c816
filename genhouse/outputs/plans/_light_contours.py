"""Contours of a field that is known at the middles of a rectangle's cells: marching squares.

The field is carried level to the rectangle's edge, where every contour closes.  Method: W. Lorensen
and H. Cline, "Marching cubes", SIGGRAPH 1987, in the plane; a saddle is parted by its mean.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Point = tuple[float, float]
Loop = tuple[Point, ...]
Loops = tuple[Loop, ...]
Edge = tuple[int, int, int]
"""A side of a square: the node at its low end, and 0 along x or 1 along y."""


def bands(field: Floats, level: float) -> Loops:
    """Closed loops round where the field [W, D] reaches a level.

    Points in cells from the rectangle's corner, which lie on its edge where the field is high there.
    The loops bound the area under the rule that counts crossings (even-odd).
    """
    if not (field >= level).any():
        return ()
    nodes = np.pad(np.pad(field, 1, mode="edge"), 1, constant_values=-np.inf)
    follows: dict[Edge, list[Edge]] = {}
    for a, b in _steps(nodes, level):
        follows.setdefault(a, []).append(b)
        follows.setdefault(b, []).append(a)
    return tuple(_loops(follows, nodes.tolist(), level))


def _steps(nodes: Floats, level: float) -> Iterator[tuple[Edge, Edge]]:
    """In each square, the sides between which a contour runs."""
    whole = nodes >= level
    mixed = whole[:-1, :-1].astype(int) + whole[1:, :-1] + whole[:-1, 1:] + whole[1:, 1:]
    high = whole.tolist()
    for x, y in np.argwhere((mixed > 0) & (mixed < 4)).tolist():
        ring: tuple[Edge, ...] = ((x, y, 0), (x + 1, y, 1), (x, y + 1, 0), (x, y, 1))
        corners = (high[x][y], high[x + 1][y], high[x + 1][y + 1], high[x][y + 1])
        cut = [ring[n] for n in range(4) if corners[n] != corners[(n + 1) % 4]]
        if len(cut) == 4:
            middle = nodes[x : x + 2, y : y + 2].mean() >= level
            cut = cut if middle != corners[0] else cut[1:] + cut[:1]
            yield cut[3], cut[0]
            yield cut[1], cut[2]
        else:
            yield cut[0], cut[1]


def _loops(
    follows: dict[Edge, list[Edge]], nodes: list[list[float]], level: float
) -> Iterator[Loop]:
    left = dict(follows)
    while left:
        start = here = min(left)
        loop = []
        while here in left:
            loop.append(here)
            ways = left.pop(here)
            here = next((n for n in ways if n in left), start)
        yield tuple(_crossing(edge, nodes, level) for edge in loop)


def _crossing(edge: Edge, nodes: list[list[float]], level: float) -> Point:
    """Where along a side the field passes the level; on the rectangle's edge past its last node."""
    x, y, way = edge
    p, q = (x + 1, y) if way == 0 else (x, y + 1)
    a, b = nodes[x][y], nodes[p][q]
    part = 0.0 if b == -math.inf else 1.0 if a == -math.inf else (level - a) / (b - a)
    wide, deep = len(nodes) - 4.0, len(nodes[0]) - 4.0
    px, py = _place(x, wide), _place(y, deep)
    return (px + part * (_place(p, wide) - px), py + part * (_place(q, deep) - py))


def _place(n: int, size: float) -> float:
    """A node's place in cells: middles of cells, the edge twice."""
    return min(max(n - 1.5, 0.0), size)
