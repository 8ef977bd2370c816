"""How far work has come, told to whoever watches; where nobody does, it costs and changes nothing."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from typing import TypeVar

A = TypeVar("A")
Watcher = Callable[[str, int, int], None]
"""Told what is being done, how much of it is done, and of how much (0: nobody knows)."""

_watcher: ContextVar[Watcher | None] = ContextVar("watcher", default=None)


@contextmanager
def watched(watcher: Watcher) -> Iterator[None]:
    """Have the work within told to a watcher."""
    before = _watcher.set(watcher)
    try:
        yield
    finally:
        _watcher.reset(before)


def tell(what: str, done: int, total: int = 0) -> None:
    """Tell that so much of something is done."""
    if (watcher := _watcher.get()) is not None:
        watcher(what, done, total)


def told(what: str, items: Iterable[A], total: int) -> Iterator[A]:
    """The items, each told as done when the next is asked for.

    >>> seen = []
    >>> with watched(lambda *step: seen.append(step)):
    ...     list(told("houses", "ab", 2))
    ['a', 'b']
    >>> seen
    [('houses', 0, 2), ('houses', 1, 2), ('houses', 2, 2)]
    """
    tell(what, 0, total)
    for done, item in enumerate(items, 1):
        yield item
        tell(what, done, total)
