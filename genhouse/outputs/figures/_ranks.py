"""Ranks, and whether two orders agree."""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction


def ranks(values: Sequence[float | Fraction]) -> tuple[Fraction, ...]:
    """The rank of each value from 1 (the least); equal values share the mean of their ranks.

    >>> [float(rank) for rank in ranks([30, 10, 30])]
    [2.5, 1.0, 2.5]
    """
    order = sorted(values)
    first = {value: n for n, value in reversed(list(enumerate(order, 1)))}
    last = {value: n for n, value in enumerate(order, 1)}
    return tuple(Fraction(first[value] + last[value], 2) for value in values)


def agreement(a: Sequence[float | Fraction], b: Sequence[float | Fraction]) -> float:
    """Spearman's rank correlation, -1 to 1: the correlation of the ranks (C. Spearman 1904).

    0 where either order has nothing to tell apart.
    """
    x, y = (_centred(ranks(values)) for values in (a, b))
    spread = sum((u * u for u in x), Fraction(0)) * sum((v * v for v in y), Fraction(0))
    if not spread:
        return 0.0
    shared = sum((u * v for u, v in zip(x, y, strict=True)), Fraction(0))
    return float(shared) / math.sqrt(spread)


def _centred(values: Sequence[Fraction]) -> tuple[Fraction, ...]:
    mean = sum(values, Fraction(0)) / max(1, len(values))
    return tuple(value - mean for value in values)
