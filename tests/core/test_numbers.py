"""Numbers of drawn words: many at once are the same as one by one."""

from __future__ import annotations

import numpy as np

from genhouse.core.draw import nth
from genhouse.core.numbers import nths, numbers

WORDS = (0, 1, 0x9E3779B97F4A7C15, (1 << 63) - 1, (1 << 64) - 1)
WHICH = (0, 1, 7, 100, 115)


def test_many_numbers_of_many_words_are_those_of_each() -> None:
    assert nths(WORDS, WHICH) == [[nth(word, n) for n in WHICH] for word in WORDS]


def test_the_numbers_are_the_published_ones() -> None:
    """The first of seed 1234567, as published for the generator of Steele, Lea and Flood (from memory)."""
    first = numbers(np.full(5, 1234567, dtype=np.uint64), np.arange(5, dtype=np.uint64))
    assert first.tolist() == [
        6457827717110365317,
        3203168211198807973,
        9817491932198370423,
        4593380528125082431,
        16408922859458223821,
    ]
