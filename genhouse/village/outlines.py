"""Regions of cells as polygons: outer rings counter-clockwise, holes clockwise, straight runs whole."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np
import numpy.typing as npt

Ring = list[tuple[int, int]]
Polygon = list[Ring]
"""An outer ring, then its holes; the last corner is not said twice."""


def polygons(labels: npt.NDArray[np.integer[Any]]) -> Iterator[tuple[int, Polygon]]:
    """The polygon of each region of cells that hang together by sides with one label that is not 0; with
    that label, in the order of their first cells."""
    from scipy.ndimage import find_objects, label

    for value in np.unique(labels[labels != 0]).tolist():
        parts, _ = label(labels == value)
        for n, part in enumerate(find_objects(parts), 1):
            yield value, _polygon(parts[part] == n, part[0].start, part[1].start)


def _polygon(cells: npt.NDArray[np.bool_], x: int, y: int) -> Polygon:
    """Of cells whose low corner is at x, y."""
    rings = sorted(_rings(cells), key=lambda ring: _area(ring) < 0)  # one is no hole
    return [[(a + x, b + y) for a, b in ring] for ring in rings]


def _rings(cells: npt.NDArray[np.bool_]) -> list[Ring]:
    """Walk round with the cells to the left; where two corners touch, keep to the same cell."""
    wide = np.pad(cells, 1)
    inner = wide[1:-1, 1:-1]
    after: dict[tuple[int, int], list[tuple[int, int]]] = {}
    for (di, dj), (a, b) in {
        (0, -1): ((0, 0), (1, 0)),
        (1, 0): ((1, 0), (1, 1)),
        (0, 1): ((1, 1), (0, 1)),
        (-1, 0): ((0, 1), (0, 0)),
    }.items():
        beside = wide[1 + di : 1 + di + cells.shape[0], 1 + dj : 1 + dj + cells.shape[1]]
        for x, y in np.argwhere(inner & ~beside).tolist():
            after.setdefault((x + a[0], y + a[1]), []).append((x + b[0], y + b[1]))
    rings = []
    for start in sorted(after):
        while after[start]:
            ring, at = [start], after[start].pop()
            while at != start:
                ring.append(at)
                at = _on(after[at], ring[-2], at)
            rings.append(_straight(ring))
    return rings


def _on(
    ways: list[tuple[int, int]], before: tuple[int, int], at: tuple[int, int]
) -> tuple[int, int]:
    """The next corner: of two ways the one to the left."""
    dx, dy = at[0] - before[0], at[1] - before[1]
    left = (at[0] - dy, at[1] + dx)
    chosen = left if left in ways else ways[0]
    ways.remove(chosen)
    return chosen


def _straight(ring: Ring) -> Ring:
    """Only the corners at which it turns."""
    rows = zip((*ring[-1:], *ring[:-1]), ring, (*ring[1:], *ring[:1]), strict=True)
    return [b for a, b, c in rows if (b[0] - a[0], b[1] - a[1]) != (c[0] - b[0], c[1] - b[1])]


def _area(ring: Ring) -> int:
    """Twice the area, positive where it runs counter-clockwise."""
    return sum(a[0] * b[1] - a[1] * b[0] for a, b in zip(ring, (*ring[1:], *ring[:1]), strict=True))
