"""What scripts that count over many houses have alike."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor
from typing import TypeVar

from genhouse.generate import layout, recipe
from genhouse.house import House, make
from genhouse.model.brief import Recipe

A = TypeVar("A")
B = TypeVar("B")


def seeds_of(words: str) -> range:
    """The seeds that some words mean, from the first to before the last.

    >>> seeds_of("0:400")
    range(0, 400)
    """
    first, _, last = words.partition(":")
    return range(int(first), int(last))


def counted_over(work: Sequence[A], counted: Callable[[A], B], jobs: int) -> list[B]:
    """What is counted of each, in its order, by so many processes."""
    with ProcessPoolExecutor(jobs) as pool:
        return list(pool.map(counted, work, chunksize=8))


def anew(some: Recipe) -> House:
    """A house as if asked for for the first time: seatings and a shell that a process keeps for a while are
    forgotten."""
    layout._seating.cache_clear()
    recipe._closed.cache_clear()
    return make(some)
