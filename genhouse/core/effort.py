"""How much has been searched, in whole numbers that hang on nothing but what was searched for."""

from __future__ import annotations

from collections.abc import Callable
from contextvars import ContextVar
from typing import TypeVar

A = TypeVar("A")
_done: ContextVar[int] = ContextVar("done", default=0)


def add(steps: int) -> None:
    """Count so many steps, each about as dear as a cell of plot to lay out."""
    _done.set(_done.get() + steps)


def counted(work: Callable[[], A]) -> tuple[A, int]:
    """What comes of some work, and its steps.

    >>> counted(lambda: add(3))
    (None, 3)
    """
    before = _done.get()
    return work(), _done.get() - before
