"""Work for engines and workers, some of which ends the process that does it."""

from __future__ import annotations

import os
import signal
import time
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import TypeVar

from genhouse.core.workers import cores

A = TypeVar("A")


def noted(items: Iterable[A], taken: list[A]) -> Iterator[A]:
    """The items; those asked for so far stand in a list."""
    for item in items:
        taken.append(item)
        yield item


def later(task: float) -> float:
    time.sleep(task)
    return task


def cores_here(_task: int) -> tuple[int, int]:
    return os.getpid(), cores()


def ends(_task: int) -> int:
    """Its process is ended from outside, though not before whoever began it knows that it runs."""
    time.sleep(0.3)
    os.kill(os.getpid(), signal.SIGKILL)
    return 0


def ends_once(place: str, task: int) -> int:
    """The square; at task 5, the first time, its process is ended from outside."""
    mark = Path(place) / "ended"
    if task == 5 and not mark.exists():
        mark.touch()
        ends(task)
    return task * task
