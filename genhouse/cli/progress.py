"""A line on a terminal that says how far long work has come, and how long it will still take."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from time import monotonic
from typing import TYPE_CHECKING

from genhouse.core.progress import watched

if TYPE_CHECKING:
    from rich.progress import Progress, TaskID

PATIENCE = 1.0
"""Seconds that go by before anything is shown."""


class _Line:
    """Shown once work has lasted, and gone when it ends; a terminal is asked for by who makes it."""

    def __init__(self) -> None:
        self.began = monotonic()
        self.progress: Progress | None = None
        self.tasks: dict[str, TaskID] = {}

    def __call__(self, what: str, done: int, total: int) -> None:
        if self.progress is None:
            if monotonic() - self.began < PATIENCE:
                return
            self.progress = _shown()
        if what not in self.tasks:
            self.tasks[what] = self.progress.add_task(what, total=total or None)
        self.progress.update(self.tasks[what], completed=done)

    def gone(self) -> None:
        if self.progress is not None:
            self.progress.stop()


def _shown() -> Progress:
    from rich.console import Console
    from rich.progress import (
        BarColumn,
        MofNCompleteColumn,
        Progress,
        TextColumn,
        TimeRemainingColumn,
    )

    progress = Progress(
        TextColumn("{task.description}"),
        BarColumn(),
        MofNCompleteColumn(),
        TimeRemainingColumn(),
        console=Console(stderr=True),
        transient=True,
    )
    progress.start()
    return progress


@contextmanager
def progress_shown() -> Iterator[None]:
    """Show how far the work within has come, where someone looks at a terminal."""
    if not sys.stderr.isatty():
        yield
        return
    line = _Line()
    try:
        with watched(line):
            yield
    finally:
        line.gone()
