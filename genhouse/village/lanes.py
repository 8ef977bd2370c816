"""Lanes: a graph of junctions, each lane a smooth line with its length and grade, and how high it lies."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from heapq import heapify, heappop, heappush
from itertools import pairwise
from typing import Any

import networkx as nx
import numpy as np
import numpy.typing as npt

from genhouse.village.curves import FINE, Points, rounded
from genhouse.village.grids import Field
from genhouse.village.land import PITCH
from genhouse.village.net import Net
from genhouse.village.water import Watered
from genhouse.village.ways import Place

NOWHERE = -(1 << 20)
"""Half cells below all there is."""
SMOOTHED = 160
"""Times that the ground along a lane is smoothed: bumps shorter than some twelve cells go."""
DECK, STONES = 3, 0
"""Half cells over the water of a bridge's deck, and of a ford's stones."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Lane:
    """ends: numbers of its junctions.  kind: road or lane.  points: its middle, in sixteenths, half a cell
    apart.  high: half cells at each.  over: at each point, whether there is water below."""

    ends: tuple[int, int]
    kind: str
    points: Points
    high: Field
    over: npt.NDArray[np.bool_]

    @property
    def length(self) -> int:
        """Cells."""
        return len(self.points) // 2

    @property
    def grade(self) -> int:
        """The steepest, over ten cells: cells up in a hundred."""
        high, step = self.high, min(20, len(self.high) - 1)
        rise = int(np.abs(high[step:] - high[:-step]).max()) if step else 0
        return rise * 100 // max(1, step)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Lanes:
    """junctions: where lanes meet, or leave the map, in cells."""

    junctions: tuple[Place, ...]
    lanes: tuple[Lane, ...]

    def graph(self) -> nx.MultiGraph:
        """Junctions by number, with ``x``, ``y``; lanes with ``kind``, ``length`` and ``grade``."""
        graph = nx.MultiGraph()
        for n, (x, y) in enumerate(self.junctions):
            graph.add_node(n, x=x, y=y)
        for n, lane in enumerate(self.lanes):
            graph.add_edge(*lane.ends, key=n, kind=lane.kind, length=lane.length, grade=lane.grade)
        return graph


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Course:
    """Lanes before their heights.

    pairs: of each, the numbers of its junctions.  nodes: of each, the numbers of its points; those of its
    ends are its junctions'.  even: half cells of the ground, or water, by node, without its bumps.  least:
    by node, below which no deck lies; far below all where there is none.
    """

    junctions: tuple[Place, ...]
    kinds: tuple[str, ...]
    lines: tuple[Points, ...]
    pairs: tuple[tuple[int, int], ...]
    over: tuple[npt.NDArray[np.bool_], ...]
    nodes: tuple[Field, ...]
    even: Field
    least: Field


def lay_course(net: Net, watered: Watered) -> Course:
    """The lines that the lanes of a net take."""
    chains = _chains(_links(net), net.shape)
    ends = sorted({chain[n] for chain, _ in chains for n in (0, -1)})
    number = {place: n for n, place in enumerate(ends)}
    pairs = tuple((number[chain[0]], number[chain[-1]]) for chain, _ in chains)
    lines = tuple(_line(chain, net.shape) for chain, _ in chains)
    nodes = _nodes(lines, pairs, len(ends))
    count = max(int(row.max()) for row in nodes) + 1
    raw, least = np.zeros(count, dtype=np.int64), np.full(count, NOWHERE, dtype=np.int64)
    over = []
    for row, line, (_, kind) in zip(nodes, lines, chains, strict=True):
        level = _at(watered.level, line)
        deck = np.where(level > 0, 2 * level + (DECK if kind == "road" else STONES), NOWHERE)
        raw[row] = np.maximum(_at(watered.ground, line), 2 * level)
        least[row] = np.maximum(least[row], deck)
        over.append(level > 0)
    return Course(
        junctions=tuple((i * PITCH, j * PITCH) for i, j in ends),
        kinds=tuple(kind for _, kind in chains),
        lines=lines,
        pairs=pairs,
        over=tuple(over),
        nodes=nodes,
        even=_smoothed(raw, nodes),
        least=least,
    )


def lay_lanes(course: Course, raised: Sequence[int] = ()) -> Lanes:
    """Lanes on the ground.  raised: of each, half cells over where it would lie by itself."""
    wanted = course.even.copy()
    for row, lift in zip(course.nodes, raised, strict=False):
        wanted[row[1:-1]] += lift
    high = graded(wanted, course.least, course.nodes)
    made = zip(course.pairs, course.kinds, course.lines, course.nodes, course.over, strict=True)
    lanes = tuple(
        Lane(ends=pair, kind=kind, points=line, high=high[row], over=over)
        for pair, kind, line, row, over in made
    )
    return Lanes(junctions=course.junctions, lanes=lanes)


def _nodes(
    lines: Sequence[Points], pairs: Sequence[tuple[int, int]], count: int
) -> tuple[Field, ...]:
    """Numbers of the points of all lanes: first the junctions', then lane by lane those between."""
    found = []
    for line, (a, b) in zip(lines, pairs, strict=True):
        inner = np.arange(count, count + len(line) - 2)
        found.append(np.concatenate(([a], inner, [b])))
        count += len(inner)
    return tuple(found)


def _links(net: Net) -> dict[tuple[Place, Place], str]:
    """Each step between two places that some way takes, lower place first, and its kind."""
    links: dict[tuple[Place, Place], str] = {}
    for way, kind in zip(net.ways, net.kinds, strict=True):
        for a, b in pairwise(way):
            link = (min(a, b), max(a, b))
            links[link] = "road" if kind == "road" else links.get(link, kind)
    return links


def _chains(
    links: dict[tuple[Place, Place], str], shape: tuple[int, ...]
) -> list[tuple[list[Place], str]]:
    """Ways between junctions; what ends nowhere is left out, and of two that run together the longer."""
    graph = nx.Graph()
    for (a, b), kind in sorted(links.items()):
        graph.add_edge(a, b, kind=kind)
    _pruned(graph, shape)
    found = []
    for start in sorted(p for p in graph if graph.degree(p) != 2):
        for step in sorted(graph[start]):
            chain = [start, step]
            while graph.degree(chain[-1]) == 2:
                chain.append(next(p for p in sorted(graph[chain[-1]]) if p != chain[-2]))
            if (chain[0], chain[1]) <= (chain[-1], chain[-2]):
                found.append((chain, graph.edges[start, step]["kind"]))
    return found


def _pruned(graph: nx.Graph, shape: tuple[int, ...]) -> None:
    """Small eyes are shut, and meetings next to each other are one.  Then what ends nowhere goes."""
    for a, b in sorted(graph.edges):
        if a[0] != b[0] and a[1] != b[1] and set(graph[a]) & set(graph[b]):
            graph.remove_edge(a, b)
    waiting = [(min(link), max(link)) for link in graph.edges]
    heapify(waiting)
    while waiting:
        a, b = heappop(waiting)
        if graph.has_edge(a, b) and min(graph.degree(a), graph.degree(b)) > 2:
            nx.contracted_nodes(graph, a, b, self_loops=False, copy=False)
            for beside in graph[a]:
                heappush(waiting, (min(a, beside), max(a, beside)))
    ends = sorted(graph)
    while ends:
        at = ends.pop()
        if at in graph and graph.degree(at) < 2 and not _edge(at, shape):
            ends.extend(graph[at])
            graph.remove_node(at)


def _edge(place: Place, shape: tuple[int, ...]) -> bool:
    return any(at in (0, size - 1) for at, size in zip(place, shape, strict=True))


def _line(chain: Sequence[Place], shape: tuple[int, ...]) -> Points:
    """As cells; a lane that leaves the map goes on to its last cell."""
    cells = [(i * PITCH, j * PITCH) for i, j in chain]
    for n in (0, -1):
        if _edge(chain[n], shape):
            i, j = chain[n]
            out = tuple(
                size * PITCH - 1 if at == size - 1 else at * PITCH
                for at, size in zip((i, j), shape, strict=True)
            )
            cells.insert(0 if n == 0 else len(cells), (out[0], out[1]))
    return rounded(cells)


def _at(field: npt.NDArray[np.int16], line: Points) -> Field:
    x, y = (np.clip(line[:, n] // FINE, 0, field.shape[n] - 1) for n in (0, 1))
    return field[x, y].astype(np.int64)


def graded(wanted: Field, least: Field, nodes: Sequence[Field]) -> Field:
    """Heights by node that rise by at most one half cell a cell, as near those that are wanted as can be.

    Half-way between the highest line below them and the lowest above them that do so: what is cut and what
    is filled are about the same.  least: no lower than this.
    """
    middle = (_lowered(wanted, nodes) - _lowered(-wanted, nodes)) >> 1
    return np.asarray(np.maximum(middle, -_lowered(-least, nodes)))


def _lowered(most: Field, nodes: Sequence[Field]) -> Field:
    """The highest line not over this that rises by at most half a half cell from point to point."""
    from scipy.sparse.csgraph import dijkstra

    # Half a cell of rise costs 2 on the way from where the line is lowest: a node beyond all others leads
    # to each of them at what its own height costs.
    count, low = len(most), int(most.min())
    a, b = _steps(nodes)
    ends = np.concatenate([a, np.full(count, count)]), np.concatenate([b, np.arange(count)])
    costs = np.concatenate([np.ones(len(a)), np.minimum(2 * (most - low), -NOWHERE) + 1])
    far = dijkstra(_matrix(costs, ends, count + 1), directed=True, indices=count)[:count]
    return np.asarray(((far.astype(np.int64) - 1) >> 1) + low)


def _smoothed(raw: Field, nodes: Sequence[Field]) -> Field:
    """The ground along all lanes without its bumps: each point time and again the mean with those next to
    it."""
    count, (a, b) = len(raw), _steps(nodes)
    beside = _matrix(np.ones(len(a), dtype=np.int64), (a, b), count)
    many = np.bincount(a, minlength=count)
    found = raw * FINE
    for _ in range(SMOOTHED):
        found = (beside @ found + (found + 1) * many) // (2 * many)
    return np.asarray((found + FINE // 2) // FINE)


def _steps(nodes: Sequence[Field]) -> tuple[Field, Field]:
    """From each point to the next, and back."""
    on = np.concatenate([row[:-1] for row in nodes]), np.concatenate([row[1:] for row in nodes])
    return np.concatenate(on), np.concatenate(on[::-1])


def _matrix(values: npt.NDArray[Any], ends: tuple[Field, Field], count: int) -> Any:
    from scipy.sparse import coo_array

    narrow = tuple(end.astype(np.int32) for end in ends)  # wider ones are refused by scipy 1.13
    return coo_array((values, narrow), shape=(count, count)).tocsr()
