"""How much has been searched, in whole numbers that hang on nothing but what was searched for."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from typing import TypeVar

A = TypeVar("A")
_done: ContextVar[int] = ContextVar("done", default=0)
_most: ContextVar[float] = ContextVar("most", default=float("inf"))


class SpentError(Exception):
    """All that may be tried has been tried."""


def add(steps: int) -> None:
    """Count so many steps, each about as dear as a cell of plot to lay out.  Raises SpentError."""
    _done.set(_done.get() + steps)
    if _done.get() > _most.get():
        raise SpentError


@contextmanager
def at_most(steps: int) -> Iterator[None]:
    """Whatever is searched within ends with SpentError once it took more steps.

    >>> with at_most(3):
    ...     add(3)
    """
    before = _most.set(min(_most.get(), _done.get() + steps))
    try:
        yield
    finally:
        _most.reset(before)


def counted(work: Callable[[], A]) -> tuple[A, int]:
    """What comes of some work, and its steps.

    >>> counted(lambda: add(3))
    (None, 3)
    """
    before = _done.get()
    return work(), _done.get() - before
