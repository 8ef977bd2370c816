"""Space syntax on a plain graph: how deep a place lies and how near it is to all the others.

B. Hillier and J. Hanson, *The Social Logic of Space*, Cambridge 1984: depth and relative asymmetry
pp. 108-109, D-values and real relative asymmetry pp. 111-113, control p. 109.

A graph is the neighbours of each of its k places, which are numbered from 0.  Fractions are exact;
only D-values, and what is divided by them, are not whole-number ratios.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction
from functools import lru_cache

Graph = tuple[tuple[int, ...], ...]


def linked(places: int, edges: Sequence[tuple[int, int]]) -> Graph:
    """The graph of these edges, each place's neighbours once and in order.

    >>> linked(3, [(0, 1), (1, 2), (2, 1)])
    ((1,), (0, 2), (1,))
    """
    found: list[set[int]] = [set() for _ in range(places)]
    for a, b in edges:
        if a != b:
            found[a].add(b)
            found[b].add(a)
    return tuple(tuple(sorted(near)) for near in found)


def depths(graph: Graph, root: int) -> tuple[int, ...]:
    """How many steps each place is from the root.  Raises ValueError where one is out of reach."""
    steps, reached = {root: 0}, [root]
    for place in reached:
        for near in graph[place]:
            if near not in steps:
                steps[near] = steps[place] + 1
                reached.append(near)
    if len(steps) < len(graph):
        raise ValueError("a place of the graph is out of reach")
    return tuple(steps[n] for n in range(len(graph)))


def mean_depth(graph: Graph, root: int) -> Fraction:
    """MD = TD / (k - 1), the total depth of all the others shared among them."""
    return Fraction(sum(depths(graph, root)), len(graph) - 1)


@lru_cache(maxsize=256)  # each figure of a place is worked from it
def relative_asymmetry(graph: Graph, root: int) -> Fraction:
    """RA = 2 (MD - 1) / (k - 2): 0 at the hub of a star, 1 at the end of a path."""
    return 2 * (mean_depth(graph, root) - 1) / (len(graph) - 2)


def d_value(k: int) -> float:
    """D_k = 2 {k [log2((k + 2) / 3) - 1] + 1} / ((k - 1)(k - 2)): RA at the root of a diamond.

    The closed form is that of M. Kruger as given by H. Teklenburg et al.  k: 3 places or more.
    """
    return 2 * (k * (math.log2((k + 2) / 3) - 1) + 1) / ((k - 1) * (k - 2))


def real_relative_asymmetry(graph: Graph, root: int) -> float:
    """RRA = RA / D_k, which compares graphs of unlike size; under 1 is near, over 1 is far."""
    return float(relative_asymmetry(graph, root)) / d_value(len(graph))


def integration(graph: Graph, root: int) -> float:
    """1 / RRA: the greater, the nearer a place is to all others; infinite at the hub of a star."""
    asymmetry = real_relative_asymmetry(graph, root)
    return 1 / asymmetry if asymmetry else math.inf


def control(graph: Graph) -> tuple[Fraction, ...]:
    """Each place shares 1 among its neighbours; what a place gets.  The sum over all is k."""
    return tuple(sum((Fraction(1, len(graph[b])) for b in near), Fraction(0)) for near in graph)


def difference_factor(values: Sequence[Fraction | float]) -> float:
    """H* = (H - ln 2) / (ln 3 - ln 2) of the least, mean and greatest of some asymmetries.

    H = - sum (x / t) ln(x / t), t their total: 1 where all places are alike, 0 where they differ
    as much as they can.  B. Hillier, J. Hanson and H. Graham, "Ideas are in things", Environment
    and Planning B 14 (1987) 363-385 (from memory).
    """
    three = (float(min(values)), float(sum(values)) / len(values), float(max(values)))
    whole = sum(three)
    if not whole:
        return 1.0
    entropy = -sum(x / whole * math.log(x / whole) for x in three if x)
    return (entropy - math.log(2)) / (math.log(3) - math.log(2))
