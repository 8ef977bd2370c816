"""Stopping at once: what is under way is undone, and the process ends, without a word in between.

A signal may come anywhere, also where an exception would be lost or would wait for a worker; so none
is raised.  Workers end with the process that started them (``system.end_with``).
"""

from __future__ import annotations

import os
import signal
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from types import FrameType

_undo: list[Callable[[], None]] = []
"""What is undone when this process is stopped, the last first."""

HARD_END = 128
"""A shell adds it to the number of the signal by which a command ended."""


@contextmanager
def undone_by(undo: Callable[[], None]) -> Iterator[None]:
    """While this lasts, a stop first calls what undoes it."""
    _undo.append(undo)
    try:
        yield
    finally:
        _undo.remove(undo)


def stop_at_once() -> None:
    """From now on an interrupt, or a wish that this process end, is followed at once.

    The exit code is 130 for an interrupt and 143 for a termination, as a shell has it.  A signal that
    is ignored stays ignored.
    """
    owner = os.getpid()

    def stop(number: int, _frame: FrameType | None) -> None:
        if os.getpid() == owner:
            for undo in reversed(_undo):
                with suppress(OSError):
                    undo()
        os._exit(HARD_END + number)

    for name in ("SIGINT", "SIGTERM", "SIGHUP"):
        number = getattr(signal, name, None)
        if number is not None and signal.getsignal(number) is not signal.SIG_IGN:
            signal.signal(number, stop)
