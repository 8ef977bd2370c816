"""Lanes: a graph of junctions, each lane a smooth line with its length and grade, and how high it lies."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import networkx as nx
import numpy as np
import numpy.typing as npt

from genhouse.village.curves import FINE, Points, rounded
from genhouse.village.grids import Field
from genhouse.village.land import PITCH
from genhouse.village.net import Net
from genhouse.village.water import Watered
from genhouse.village.ways import Place

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


def lay_lanes(net: Net, watered: Watered, raised: Sequence[int] = ()) -> Lanes:
    """The lanes of a net, on the ground.  raised: of each, half cells over where it would lie by itself."""
    chains = _chains(_links(net), net.shape)
    ends = sorted({chain[n] for chain, _ in chains for n in (0, -1)})
    number = {place: n for n, place in enumerate(ends)}
    lines = [_line(chain, net.shape) for chain, _ in chains]
    pairs = [(number[chain[0]], number[chain[-1]]) for chain, _ in chains]
    wet = [_at(watered.level, line) for line in lines]
    raw = [_at(watered.ground, line) for line in lines]
    decks = [
        np.where(level > 0, 2 * level + (DECK if kind == "road" else STONES), -1)
        for level, (_, kind) in zip(wet, chains, strict=True)
    ]
    lifts = raised or (0,) * len(raw)
    lifted = [h + lift for h, lift in zip(raw, lifts, strict=True)]
    high = graded(lifted, decks, pairs, len(ends))
    lanes = tuple(
        Lane(ends=pair, kind=kind, points=line, high=h, over=level > 0)
        for pair, (_, kind), line, h, level in zip(pairs, chains, lines, high, wet, strict=True)
    )
    return Lanes(junctions=tuple((i * PITCH, j * PITCH) for i, j in ends), lanes=lanes)


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
    while near := [(a, b) for a, b in graph.edges if min(graph.degree(a), graph.degree(b)) > 2]:
        a, b = min((min(link), max(link)) for link in near)
        nx.contracted_nodes(graph, a, b, self_loops=False, copy=False)
    while ends := [p for p in graph if graph.degree(p) < 2 and not _edge(p, shape)]:
        graph.remove_nodes_from(ends)


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


def graded(
    raw: Sequence[Field], decks: Sequence[Field], pairs: Sequence[tuple[int, int]], count: int
) -> list[Field]:
    """Heights along lanes that rise by at most one half cell a cell, as near the ground as can be.

    Half-way between the highest line below the ground and the lowest above it that do so: what is cut and
    what is filled are about the same.  decks: no lower than this, where it is not negative.
    """
    over = _bounded(raw, pairs, count, 1)
    under = _bounded([-h for h in raw], pairs, count, 1)
    middle = [(a - b) >> 1 for a, b in zip(over, under, strict=True)]
    least = _bounded([-np.where(d < 0, -(1 << 20), d) for d in decks], pairs, count, 1)
    return [np.maximum(m, -d) for m, d in zip(middle, least, strict=True)]


def _bounded(
    lines: Sequence[Field], pairs: Sequence[tuple[int, int]], count: int, rise: int
) -> list[Field]:
    """The highest lines not over these that rise at most so much in two points, alike where they meet."""
    found = [line.copy() for line in lines]
    ends = np.full(count, 1 << 40, dtype=np.int64)
    while True:
        before = ends.copy()
        for line, (a, b) in zip(found, pairs, strict=True):
            line[0], line[-1] = min(line[0], ends[a]), min(line[-1], ends[b])
            line[:] = _slack(_slack(line, rise)[::-1], rise)[::-1]
            ends[a], ends[b] = min(ends[a], line[0]), min(ends[b], line[-1])
        if (ends == before).all():
            return found


def _slack(line: Field, rise: int) -> Field:
    """Rising at most so much in two points, going on."""
    run = np.arange(len(line)) * rise
    return np.asarray((np.minimum.accumulate(2 * line - run) + run) // 2)
