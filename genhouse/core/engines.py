"""Where pure work over many tasks is done: here, in a pool of processes, or on a Dask cluster.

Whichever does it, results come in the order of the tasks and hang on the tasks alone, and only so many
are begun ahead of what is taken: neither tasks nor results pile up, however many there are.  What a
lost worker had begun is begun again elsewhere.
"""

from __future__ import annotations

import logging
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import CancelledError, Future
from concurrent.futures.process import BrokenProcessPool
from contextlib import ExitStack, contextmanager, suppress
from functools import partial
from itertools import count, islice
from typing import TYPE_CHECKING, Any, Protocol, TypeVar

from genhouse.core.errors import BriefError, StoppedError
from genhouse.core.sentences import quoted
from genhouse.core.workers import alone, cores, pooled

if TYPE_CHECKING:
    from distributed import Client, LocalCluster

A = TypeVar("A")
B = TypeVar("B")

HERE, POOL, DASK = "here", "pool", "dask"
ENGINES = (HERE, POOL, DASK)
SCHEMES = ("tcp://", "tls://", "ws://", "wss://")
"""How the address of a scheduler begins."""
AHEAD = 8
"""Tasks begun for each worker: they keep the others busy while the slowest is waited for."""
LOSSES = 3
"""How often in a row a pool may be lost before its task is at fault."""
ROLL_CALL = 64
"""Results after which a cluster's workers are counted again."""
ANSWER = 10
"""Seconds that a scheduler has to answer."""
LOST = "workers were ended from outside again and again, perhaps for want of memory"


class Engine(Protocol):
    """Does work that hangs on nothing but its task."""

    def map(self, work: Callable[[A], B], tasks: Iterable[A]) -> Iterator[B]:
        """Results in the order of the tasks, which are taken as they are needed.

        work: a function of a module, perhaps with some arguments given, so that it can be sent.
        Raises what the work raises, and StoppedError where workers are lost again and again.
        """


def check_engine(words: str) -> None:
    """Raises BriefError where there is no such engine."""
    if words not in ENGINES and not words.startswith(SCHEMES):
        raise BriefError(
            f"engine: {quoted(words)} is none; it is {', '.join(ENGINES)} or the address of a Dask "
            "scheduler, such as tcp://127.0.0.1:8786"
        )


@contextmanager
def opened(words: str = POOL, processes: int | None = None) -> Iterator[Engine]:
    """An engine, for as long as this lasts.

    words: ``here``; ``pool``; ``dask``, a cluster of this machine; or a scheduler's address.
    processes: of the pool or of this machine's cluster; as many as there are cores, if not given.
    Raises BriefError.

    >>> with opened("here") as engine:
    ...     list(engine.map(abs, [-3, 2]))
    [3, 2]
    """
    check_engine(words)
    many = processes or cores()
    if words == HERE or (words == POOL and many == 1):
        yield _Here()
    elif words == POOL:
        with ExitStack() as stack:
            yield _Pool(many, stack)
    else:
        with ExitStack() as stack:
            yield _Cluster(_client(stack, words, many), own=words == DASK)


class _Here:
    def map(self, work: Callable[[A], B], tasks: Iterable[A]) -> Iterator[B]:
        return map(work, tasks)


class _Pool:
    """Processes, which stay for whoever asks for the same work again."""

    def __init__(self, processes: int, stack: ExitStack) -> None:
        self.processes = processes
        self._open = stack.enter_context(ExitStack())
        self._begin: tuple[Any, Any] = None, None

    def map(self, work: Callable[[A], B], tasks: Iterable[A]) -> Iterator[B]:
        waiting: deque[A] = deque()
        left, losses = iter(tasks), 0
        while losses < LOSSES:
            try:
                for result in _in_order(self._begun(work), waiting, left, lambda: self.processes):
                    losses = 0
                    yield result
                return
            except BrokenProcessPool as error:
                self._begin = None, None
                with suppress(StoppedError):
                    self._open.__exit__(type(error), error, error.__traceback__)
                losses += 1
        raise StoppedError(LOST)

    def _begun(self, work: Callable[[A], B]) -> Callable[[A], Future[B]]:
        if self._begin[0] != work:
            self._open.close()
            self._begin = work, self._open.enter_context(pooled(work, self.processes))
        begin: Callable[[A], Future[B]] = self._begin[1]
        return begin


class _Cluster:
    """A Dask cluster: its scheduler begins anew elsewhere what a lost worker had begun."""

    def __init__(self, client: Client, *, own: bool) -> None:
        self.client, self.own = client, own

    def map(self, work: Callable[[A], B], tasks: Iterable[A]) -> Iterator[B]:
        from distributed.comm import CommClosedError
        from distributed.scheduler import KilledWorker

        begin = partial(self.client.submit, partial(alone, work), pure=False)
        try:
            yield from _in_order(begin, deque(), iter(tasks), self._workers, self._awaited)
        except KilledWorker as error:
            raise StoppedError(LOST) from error
        except (CancelledError, CommClosedError) as error:
            raise StoppedError("the scheduler was lost") from error

    def _awaited(self, begun: Future[B]) -> B:
        """Its result.  Of a cluster that started with us, whose workers are gone for good, none comes."""
        while True:
            try:
                return begun.result(timeout=ANSWER)
            except TimeoutError:
                if begun.done():
                    raise
                if self.own and not self._workers():
                    raise StoppedError(LOST) from None

    def _workers(self) -> int:
        """How many there are now: some may have come or gone."""
        return sum(self.client.nthreads().values())


def _in_order(
    begin: Callable[[A], Future[B]],
    waiting: deque[A],
    left: Iterator[A],
    workers: Callable[[], int],
    awaited: Callable[[Future[B]], B] = Future.result,
) -> Iterator[B]:
    """Results of the tasks that wait, then of those that are left.  Waiting: not yet answered."""
    begun = deque(map(begin, waiting))
    for done in count():
        if done % ROLL_CALL == 0:
            ahead = AHEAD * max(1, workers())
        for task in islice(left, ahead - len(begun)):
            waiting.append(task)
            begun.append(begin(task))
        if not begun:
            return
        result = awaited(begun.popleft())
        waiting.popleft()
        yield result


def _closed(cluster: LocalCluster) -> None:
    """End a cluster: one that has just lost a worker may wait for it without end."""
    with suppress(TimeoutError):
        cluster.close(timeout=ANSWER)


def _client(stack: ExitStack, words: str, processes: int) -> Client:
    try:
        from distributed import Client, LocalCluster
    except ImportError as error:
        raise BriefError(
            "engine: Dask is not installed here; pip install 'genhouse[dask]' brings it"
        ) from error
    where: Any = words
    try:
        if words == DASK:
            where = LocalCluster(
                n_workers=processes,
                threads_per_worker=1,
                host="127.0.0.1",
                dashboard_address=None,
                silence_logs=logging.CRITICAL,
            )
            stack.callback(_closed, where)
        client = stack.enter_context(Client(where, timeout=ANSWER, set_as_default=False))
    except (OSError, ValueError) as error:
        raise BriefError(f"engine: no Dask scheduler answers at {quoted(words)}") from error
    try:
        client.run(cores)
    except Exception as error:  # whatever a worker says that lacks what it is to run
        raise BriefError(
            f"engine: the workers at {quoted(words)} cannot run genhouse; install it there too"
        ) from error
    return client
