"""Ranks: of the lines of each room, the best few and none twice.

``best`` sorts words into which room, value and line are packed, and tells lines apart by their values;
``plainly`` is its law, and answers where a word is too small or two different lines have one value.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from genhouse.core.kept import fixed

Ints = npt.NDArray[np.int64]
Told = Callable[[Ints], Ints]
"""Of some lines, rows that are equal exactly where two lines of one room are the same."""

ROOM, VALUE, LINE = 6, 40, 17
"""Bits of a word: the room, highest, so that its lines lie together; the value; the line."""
ROOMS, LINES = 1 << ROOM, 1 << LINE
HALF = 1 << VALUE - 1
TOPS = fixed((np.arange(ROOMS) << VALUE) + HALF)
"""Of each room: the word of what is worth nothing, less its line."""


def best(value: Ints, ends: Sequence[int], width: int, told: Told) -> tuple[Ints, list[int]]:
    """The best lines of each room, best first, and how many each room has.

    value: of each line [N], equal where two of one room are the same.  ends: where the lines of each
    room end.  width: how many of a room at most.  Of equal value, and of the same, the first is first.
    """
    starts = (0, *ends)
    fits = len(ends) <= ROOMS and len(value) <= LINES
    if not (fits and value.min(initial=0) > -HALF and value.max(initial=0) < HALF):
        return plainly(value, ends, width, told)
    word = TOPS[: len(ends)].repeat([b - a for a, b in pairwise(starts)])
    word -= value
    word <<= LINE
    word |= np.arange(len(word))
    word.sort()
    line, alike = word & LINES - 1, word >> LINE
    new = np.ones(len(word), dtype=bool)
    np.not_equal(alike[1:], alike[:-1], out=new[1:])
    first = new.nonzero()[0]
    runs = pairwise(first.searchsorted(starts).tolist())
    found = [first[a : min(a + width, b)] for a, b in runs]
    if len(first) < len(word):
        last = [
            some[-1] + 1 if len(some) == width else end
            for some, end in zip(found, ends, strict=True)
        ]
        again = (~new).nonzero()[0]
        again = again[again < np.array(last).take(np.searchsorted(ends, again, side="right"))]
        same = told(line.take(np.concatenate((again, again - 1))))
        if not np.array_equal(same[: len(again)], same[len(again) :]):
            return plainly(value, ends, width, told)
    return line.take(np.concatenate(found)), list(map(len, found))


def plainly(value: Ints, ends: Sequence[int], width: int, told: Told) -> tuple[Ints, list[int]]:
    """``best``, line by line."""
    values, rows = value.tolist(), list(map(tuple, told(np.arange(len(value))).tolist()))
    found: list[int] = []
    kept: list[int] = []
    for start, end in pairwise((0, *ends)):
        ranked = sorted(range(start, end), key=lambda line: (-values[line], line))
        of_each = {rows[line]: line for line in reversed(ranked)}
        ranked = [line for line in ranked if of_each[rows[line]] == line][:width]
        found += ranked
        kept.append(len(ranked))
    return np.array(found, dtype=np.int64), kept
