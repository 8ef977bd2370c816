"""The rhythm of a row of bays."""

from __future__ import annotations

from itertools import accumulate

from genhouse.core.draw import Draw

LEAST, MOST = 4, 6
"""Post line to post line over a bay of 3 to 5 clear cells."""


def divisible(length: int) -> bool:
    """Whether a distance between two wall lines can be cut into bays.

    >>> [n for n in range(13) if divisible(n)]
    [4, 5, 6, 8, 9, 10, 11, 12]
    """
    return length >= LEAST and -(-length // MOST) <= length // LEAST


def divide(length: int, draw: Draw) -> tuple[int, ...]:
    """Cut a distance into bays of 4 to 6 cells, line to line: symmetrical, or deliberately not.

    Raises ValueError where it is not divisible.
    """
    counts = range(-(-length // MOST), length // LEAST + 1)
    if length < LEAST or not counts:
        raise ValueError(f"{length} cells cannot be cut into bays of 3 to 5 clear cells")
    lively = [n for n in counts if LEAST * n < length] or list(counts)
    count = draw.choice(lively, "bays", weights=[1 + n for n in range(len(lively))])
    extra = length - LEAST * count
    bays = [LEAST] * count
    order = draw.shuffled(range(count), "wide bays")
    if draw.chance(1, 2, "symmetry"):
        order = _from_middle(count) if draw.chance(2, 3, "wide middle") else _from_ends(count)
    for i in range(extra):
        bays[order[i % count]] += 1
    return tuple(bays)


def _from_middle(count: int) -> list[int]:
    return sorted(range(count), key=lambda i: (abs(2 * i - count + 1), i))


def _from_ends(count: int) -> list[int]:
    return _from_middle(count)[::-1]


def lines(start: int, bays: tuple[int, ...]) -> tuple[int, ...]:
    """Post lines from the first one on.

    >>> lines(2, (4, 4, 5))
    (2, 6, 10, 15)
    """
    return tuple(accumulate(bays, initial=start))
