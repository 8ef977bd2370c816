"""Profiles: how a slope rises from the wall to the ridge, exactly and in half cells.

A course is one row of roof pieces, a cell wide; course 0 lies over the wall, the last at the ridge.
Exact heights are fractions of half cells at the middle of each course; a course is laid with level
pieces or with steps, whichever strays least, and its middle is never more than a quarter of a cell
from the exact curve (RULE 10).
"""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from math import floor

from genhouse.traditions.roofs import Profile

Pair = tuple[int, int]
"""Heights of a course's outer and inner half, in half cells over the course above the wall."""

HALF = Fraction(1, 2)


@cache
def exact(span: int, profile: Profile, *, steep: bool = False) -> tuple[Fraction, ...]:
    """Heights of the courses of one slope over the first, in half cells, wall to ridge.

    span: wall line to wall line, even.  steep: whether a steepening slope steepens here.
    """
    run = span // 2
    if profile.kind == "curve":
        return tuple(2 * h for h in raised(run, Fraction(span * profile.rise[0], profile.rise[1])))
    rises = [Fraction(profile.sun, 5)] * run
    if profile.kind == "steepening" and steep and run > 3:
        rises[-3:-1] = [Fraction(profile.steep, 5)] * 2
    return tuple(sum(rises[:n], Fraction()) for n in range(run + 1))


def raised(rafters: int, rise: Fraction) -> tuple[Fraction, ...]:
    """Purlin heights of a raised and depressed roof, eaves to ridge, in the unit of ``rise``.

    Each purlin from the ridge down lies below the straight line from the one above it to the eaves, by
    a tenth of the rise, then a twentieth, a fortieth, and so on.
    Li Jie, Yingzao fashi (1103), juan 5, ju zhe.
    """
    heights = [rise]
    for n in range(1, rafters):
        left = rafters - n + 1
        straight = heights[-1] * Fraction(left - 1, left)
        heights.append(straight - rise / (10 * 2 ** (n - 1)))
    return (Fraction(0), *reversed(heights))


@cache
def laid(courses: tuple[Fraction, ...]) -> tuple[Pair, ...]:
    """The courses in half cells, a level or a stepped piece each, the ridge level.

    Of the pieces whose middle lies within a quarter of a cell of the exact one, that which strays
    least from the slope over its two halves; a step where a level piece does as well.
    """
    pairs: list[Pair] = []
    for n, middle in enumerate(courses[:-1]):
        below = courses[max(0, n - 1)]
        outer = middle - (middle - below) / 4
        inner = middle + (courses[n + 1] - middle) / 4
        pairs.append(_nearest(middle, outer, inner) if n else (0, 0))
    ridge = courses[-1] - (courses[-1] - courses[-2]) / 4
    level = max(_rounded(ridge), pairs[-1][1])
    return (*pairs, (level, level))


@cache
def even(run: int, rise: Fraction) -> tuple[Fraction, ...]:
    """Heights of the courses of a straight slope, wall to wall."""
    return tuple(rise * n / run for n in range(run + 1))


@cache
def continued(courses: tuple[Fraction, ...], height: Fraction) -> tuple[Pair, ...]:
    """A slope laid on past its ridge, at the pitch it ends with, up to a height."""
    rise, heights = courses[-1] - courses[-2], list(courses)
    while heights[-1] < height:
        heights.append(heights[-1] + rise)
    return laid(tuple(heights))


def _nearest(middle: Fraction, outer: Fraction, inner: Fraction) -> Pair:
    low = floor(middle)
    options = [(h, h) for h in (low, low + 1)]
    options += [(h, h + 1) for h in (low - 1, low, low + 1) if h % 2]
    close = [p for p in options if abs(Fraction(sum(p), 2) - middle) <= HALF]
    return min(close, key=lambda p: (abs(p[0] - outer) + abs(p[1] - inner), -p[1] + p[0], p))


def _rounded(value: Fraction) -> int:
    """To the nearest whole number, halves down."""
    return -floor(HALF - value)


@cache
def slope(span: int, profile: Profile, *, steep: bool = False) -> tuple[Pair, ...]:
    """What is laid over one half of a wing, wall to ridge."""
    return laid(exact(span, profile, steep=steep))
