"""The room graph as a justified graph: outside at the foot, each room as high as it is deep.

As B. Hillier and J. Hanson draw it in *The Social Logic of Space* (1984), chapter 4.
"""

from __future__ import annotations

from collections.abc import Iterator

from genhouse.model.design import Design
from genhouse.model.room import OUTSIDE
from genhouse.outputs.document._room_graph import ways
from genhouse.outputs.figures._tables import Figures
from genhouse.outputs.plans._pen import CARD, INK, SOFT
from genhouse.outputs.plans._sketch import Dot, Shape, Sketch, Stroke, Word
from genhouse.outputs.plans.diagram import tints

RADIUS = 10.0
NARROW = 0.44
"""Radius of a node in parts of the distance between two, where they are close."""
LINE = "#9d907c"
SWEEPS = 6
"""How often the rows are put in order, upward and downward in turn."""

Edge = tuple[int, int]
Points = dict[int, tuple[float, float]]


def justified(design: Design, figures: Figures, width: float, height: float) -> Sketch:
    """The graph on a sheet of this size; rooms have a ring more for each storey up."""
    depth = {OUTSIDE: 0} | {room.id: room.depth for room in figures.rooms}
    edges = sorted({(w.low, w.high) for w in ways(design)})
    rows = _rows(depth, edges)
    apart = (width - 2 * RADIUS) / max(map(len, rows))
    radius = min(RADIUS, NARROW * apart)
    places = _places(rows, width, height, min(5 * RADIUS, apart))
    lines = [_line(places[a], places[b]) for a, b in edges]
    colours = tints(figures) | {OUTSIDE: CARD}
    lowest = min(room.level for room in figures.rooms)
    up = {room.id: room.level - lowest for room in figures.rooms} | {OUTSIDE: 0}
    nodes = [s for n in sorted(places) for s in _node(n, places[n], colours[n], up[n], radius)]
    return Sketch(width, height, "Room graph, outside at the foot", (*lines, *nodes))


def _rows(depth: dict[int, int], edges: list[Edge]) -> list[list[int]]:
    """The places of each depth from left to right, near to what they are joined to."""
    near: dict[int, list[int]] = {n: [] for n in depth}
    for a, b in edges:
        near[a].append(b)
        near[b].append(a)
    rows = [sorted(n for n in depth if depth[n] == d) for d in range(max(depth.values()) + 1)]
    for sweep in range(SWEEPS):
        step = -1 if sweep % 2 == 0 else 1
        at = {n: (k + 1) / (len(row) + 1) for row in rows for k, n in enumerate(row)}
        for row in rows[::-step]:
            pulls = {
                n: [at[m] for m in near[n] if depth[m] in (depth[n] + step, depth[n])] for n in row
            }
            row.sort(key=lambda n: (sum(pulls[n]) / len(pulls[n]) if pulls[n] else at[n], n))
            at |= {n: (k + 1) / (len(row) + 1) for k, n in enumerate(row)}
    return rows


def _places(rows: list[list[int]], width: float, height: float, apart: float) -> Points:
    """Rows evenly up the sheet, and each spread about its middle."""
    rise = (height - 4 * RADIUS) / max(1, len(rows) - 1)
    return {
        n: (width / 2 + apart * (k - (len(row) - 1) / 2), height - 2 * RADIUS - rise * d)
        for d, row in enumerate(rows)
        for k, n in enumerate(row)
    }


def _line(a: tuple[float, float], b: tuple[float, float]) -> Stroke:
    """Straight between rows; a low bow between places of one row."""
    if a[1] != b[1]:
        return Stroke((a, b), LINE, 1)
    bow = min(1.7 * RADIUS, 6 + abs(a[0] - b[0]) / 8)
    steps = [n / 8 for n in range(9)]
    return Stroke(
        tuple((a[0] + (b[0] - a[0]) * t, a[1] - 4 * bow * t * (1 - t)) for t in steps), LINE, 1
    )


def _node(n: int, at: tuple[float, float], fill: str, up: int, radius: float) -> Iterator[Shape]:
    yield Dot(*at, radius, fill, INK if n else SOFT, 0.9)
    for ring in range(1, up + 1):
        yield Dot(*at, (0.9 - 0.1 * ring) * radius, fill, SOFT, 0.6)
    size = 0.95 * radius
    yield Word(*at, str(n) if n else "out", size if n else 0.8 * size, INK)
