"""A bench: one process that does the table's work, and keeps what it made of the last houses."""

from __future__ import annotations

import multiprocessing
from collections import OrderedDict
from collections.abc import Callable
from concurrent.futures import Future
from contextlib import ExitStack, suppress
from functools import partial
from typing import Any, Protocol

from genhouse.core.errors import StoppedError
from genhouse.core.workers import pooled
from genhouse.desk.made import FEW
from genhouse.desk.task import Task
from genhouse.desk.works import done
from genhouse.model.brief import Recipe


class Bench(Protocol):
    """Does one task at a time.  knows: recipes of which it has made something, the last of them last."""

    knows: OrderedDict[Recipe, None]

    def begin(self, number: int, task: Task) -> Future[Any]: ...
    def overtake(self, number: int) -> None:
        """The task of this number, and all before it, are wanted no longer."""

    def renew(self) -> None:
        """It was lost: another takes its place."""

    def close(self) -> None: ...


def learnt(bench: Bench, recipe: Recipe) -> None:
    """A bench has made something of a recipe."""
    bench.knows[recipe] = None
    bench.knows.move_to_end(recipe)
    while len(bench.knows) > FEW:
        bench.knows.popitem(last=False)


class ProcessBench:
    """A process of its own, which knows nothing of this one and ends with it."""

    def __init__(self) -> None:
        self._stop: Any = multiprocessing.get_context("spawn").Value("Q", 0, lock=False)
        self._open()

    def _open(self) -> None:
        self.knows: OrderedDict[Recipe, None] = OrderedDict()
        self._stack = ExitStack()
        self._begin: Callable[[tuple[int, Task]], Future[Any]] = self._stack.enter_context(
            pooled(partial(done, self._stop), 1, fresh=True)
        )

    def begin(self, number: int, task: Task) -> Future[Any]:
        learnt(self, task.recipe)
        return self._begin((number, task))

    def overtake(self, number: int) -> None:
        self._stop.value = max(self._stop.value, number)

    def renew(self) -> None:
        self.close()
        self._open()

    def close(self) -> None:
        """At once: whatever it does is not waited for."""
        error = StoppedError("the desk was closed")
        with suppress(StoppedError):
            self._stack.__exit__(StoppedError, error, None)
        del self._stack, self._begin  # with all that the system lent for them


class OwnBench:
    """Work that is done here and now."""

    def __init__(self) -> None:
        self.knows: OrderedDict[Recipe, None] = OrderedDict()
        self.value = 0

    def begin(self, number: int, task: Task) -> Future[Any]:
        learnt(self, task.recipe)
        future: Future[Any] = Future()
        try:
            future.set_result(done(self, (number, task)))
        except Exception as error:
            future.set_exception(error)
        return future

    def overtake(self, number: int) -> None:
        self.value = max(self.value, number)

    def renew(self) -> None:
        self.knows.clear()

    def close(self) -> None:
        """Nothing is open."""
