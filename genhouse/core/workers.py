"""Work for many processes: the one place where they start, and where they end with this one.

Workers ignore an interrupt: the process that started them hears it too, and they end with that one,
however it ends.  A worker starts no workers: what it would share out, it does itself.
"""

from __future__ import annotations

import gc
import multiprocessing
import os
import signal
import threading
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Executor, Future, ProcessPoolExecutor, ThreadPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from contextvars import ContextVar
from typing import Any, TypeVar

from genhouse.core.errors import StoppedError
from genhouse.core.progress import told
from genhouse.core.system import end_with

A = TypeVar("A")
B = TypeVar("B")

_task: list[Callable[[Any], Any]] = []
"""What this process does, where it is a worker."""
_serving: ContextVar[bool] = ContextVar("serving", default=False)
"""Whether this thread does a worker's work, in a process that others started."""


def cores() -> int:
    """How many processes this one may keep busy."""
    if _is_worker():
        return 1
    usable = getattr(os, "sched_getaffinity", None)
    return len(usable(0)) if usable else os.cpu_count() or 1


def spread_out(
    work: Callable[[A], B],
    tasks: Sequence[A],
    processes: int | None = None,
    chunk: int = 1,
    what: str = "tasks",
) -> list[B]:
    """The results in the order of the tasks, whichever process made them.

    what: they are called to whoever watches how far the work has come.
    work: a function of a module, perhaps with some arguments given, so that it can be sent.
    processes: as many as there are cores, if not given.  Raises what the work raises, and StoppedError
    where a worker was ended from outside.
    """
    count = min(processes or cores(), len(tasks))
    if count <= 1 or _is_worker():
        return list(told(what, map(work, tasks), len(tasks)))
    with _ended(ProcessPoolExecutor(count, _context(), _enlist, (work, os.getpid()))) as pool:
        done = pool.map(_do, tasks, chunksize=chunk)
        return list(told(what, done, len(tasks)))


@contextmanager
def helped(
    work: Callable[[A], B], tasks: Sequence[A], helpers: int, what: str = "tasks"
) -> Iterator[Callable[[], list[B]]]:
    """Begin the tasks beside this process, where helpers cost next to nothing to call.

    Gives what waits for all results, in the order of the tasks, and does here, the last first, what no
    helper has begun.  Helpers are processes that start with all this one has read; threads where it
    has threads already, or where the system forks none.
    """
    if _is_worker():
        yield lambda: list(told(what, map(work, tasks), len(tasks)))
    elif _can_fork():
        pool = ProcessPoolExecutor(helpers, _context(), _enlist, (work, os.getpid()))
        with _ended(pool):
            begun = [pool.submit(_do, task) for task in tasks]
            yield lambda: _finished(work, tasks, begun, what)
    else:
        with _ended(ThreadPoolExecutor(helpers)) as threads:
            begun = [threads.submit(work, task) for task in tasks]
            yield lambda: _finished(work, tasks, begun, what)


@contextmanager
def pooled(
    work: Callable[[A], B], processes: int, *, fresh: bool = False
) -> Iterator[Callable[[A], Future[B]]]:
    """Gives what begins a task in one of some processes, which end with this.

    fresh: they know nothing of this process, as they must where it has threads, or will have some.
    Raises StoppedError where a worker was ended from outside.
    """
    context = multiprocessing.get_context("spawn") if fresh else _context()
    with _ended(ProcessPoolExecutor(processes, context, _enlist, (work, os.getpid()))) as pool:
        yield lambda task: pool.submit(_do, task)


def alone(work: Callable[[A], B], task: A) -> B:
    """Work that starts no workers: whoever calls this is one."""
    before = _serving.set(True)
    try:
        return work(task)
    finally:
        _serving.reset(before)


def _is_worker() -> bool:
    return bool(_task) or _serving.get()


def _finished(
    work: Callable[[A], B], tasks: Sequence[A], begun: Sequence[Future[B]], what: str
) -> list[B]:
    last_first = (
        work(task) if future.cancel() else future.result()
        for task, future in zip(reversed(tasks), reversed(begun), strict=True)
    )
    return list(told(what, last_first, len(tasks)))[::-1]


def _can_fork() -> bool:
    return "fork" in multiprocessing.get_all_start_methods() and threading.active_count() == 1


def _context() -> multiprocessing.context.BaseContext:
    return multiprocessing.get_context("fork" if _can_fork() else "spawn")


@contextmanager
def _ended(pool: Executor) -> Iterator[Executor]:
    """On the way out of an error nothing more is begun, and no process is waited for."""
    try:
        yield pool
    except BaseException as error:
        for process in list((getattr(pool, "_processes", None) or {}).values()):
            process.kill()
        pool.shutdown(wait=True, cancel_futures=True)
        if isinstance(error, BrokenProcessPool):
            raise StoppedError(
                "a worker was ended from outside, perhaps for want of memory; nothing was written"
            ) from error
        raise
    pool.shutdown()


def _enlist(work: Callable[[Any], Any], parent: int) -> None:
    """A worker begins: it ends with its parent, and starts no workers of its own."""
    end_with(parent)
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    signal.signal(signal.SIGTERM, signal.SIG_DFL)
    # What the parent holds stays; a copy would be looked through for garbage time and again.
    gc.freeze()
    _task.append(work)


def _do(task: Any) -> Any:
    return _task[-1](task)
