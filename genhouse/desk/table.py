"""The table: who waits for what, and which bench does it.

Visitors are served by turns, so that none blocks another.  A visitor's newer wish of one kind overtakes
the older: what nobody waits for any longer is dropped, or stopped.  The same task is done once however
many wait for it, and its answer is kept, up to a bound.  Where too much waits, one is told so at once.
"""

from __future__ import annotations

import asyncio
import logging
from collections import OrderedDict, deque
from collections.abc import Iterator, Sequence
from concurrent.futures import Future
from concurrent.futures.process import BrokenProcessPool
from typing import Any

from genhouse.desk.bench import Bench
from genhouse.desk.task import BUSY, OVERTAKEN, STUMBLED, Answer, Task, sentence
from genhouse.desk.works import SLOW

MOST, EACH = 96, 32
"""Tasks that wait, of all visitors and of one."""
KEPT = 96 << 20
"""Bytes of answers that are kept."""
REFUSAL = 4096
"""What is taken for the size of an answer that has no body."""
FULL = sentence("The desk is busy with others; try again in a moment.", BUSY)
LOST = sentence("The bench was lost, perhaps for want of memory; try again.", BUSY)
FAULT = sentence("The desk stumbled over a fault of its own; another house may do.", STUMBLED)
LATE = sentence("A newer wish came.", OVERTAKEN)


class Wish:
    """A task under way, and those who wait for it.  number: rises.  bench: that does it."""

    def __init__(self, number: int, task: Task, visitor: str) -> None:
        self.number, self.task, self.visitor = number, task, visitor
        self.waiting: set[asyncio.Future[Any]] = set()
        self.bench: Bench | None = None

    @property
    def slow(self) -> bool:
        return self.task.work in SLOW

    def tell(self, answer: Any) -> None:
        for future in self.waiting:
            if not future.done():
                future.set_result(answer)


class Table:
    """Belongs to one event loop, in which alone it is used."""

    def __init__(self, benches: Sequence[Bench], most: int = MOST, each: int = EACH) -> None:
        self.benches, self.most, self.each = tuple(benches), most, each
        self.idle = list(self.benches)
        self.queues: OrderedDict[str, deque[Wish]] = OrderedDict()
        self.wishes: dict[str, Wish] = {}
        self.newest: dict[tuple[str, str], tuple[Wish, asyncio.Future[Any]]] = {}
        self.kept: OrderedDict[str, Any] = OrderedDict()
        self.bytes = self.number = 0
        self.closed = False

    async def ask(self, task: Task, visitor: str = "", kind: str = "") -> Any:
        """The answer, or why there is none.  kind: a newer wish of it overtakes an older."""
        if kind:
            self._overtake((visitor, kind))
        key = task.key
        if key in self.kept:
            self.kept.move_to_end(key)
            return self.kept[key]
        wish = self.wishes.get(key) or self._queued(key, task, visitor)
        if wish is None:
            return FULL
        future: asyncio.Future[Any] = asyncio.get_running_loop().create_future()
        wish.waiting.add(future)
        if kind:
            self.newest[visitor, kind] = wish, future
        self._hand_out()
        try:
            return await future
        finally:
            self._leave(wish, future)
            if kind and self.newest.get((visitor, kind), (None, None))[1] == future:
                del self.newest[visitor, kind]

    def close(self) -> None:
        self.closed = True
        for bench in self.benches:
            bench.close()

    @property
    def waits(self) -> int:
        """Tasks that no bench has begun."""
        return sum(map(len, self.queues.values()))

    def _queued(self, key: str, task: Task, visitor: str) -> Wish | None:
        queue = self.queues.get(visitor, ())
        if self.waits >= self.most or len(queue) >= self.each:
            return None
        self.number += 1
        wish = self.wishes[key] = Wish(self.number, task, visitor)
        self.queues.setdefault(visitor, deque()).append(wish)
        return wish

    def _overtake(self, place: tuple[str, str]) -> None:
        if place in self.newest:
            wish, future = self.newest.pop(place)
            if not future.done():
                future.set_result(LATE)
            self._leave(wish, future)

    def _leave(self, wish: Wish, future: asyncio.Future[Any]) -> None:
        """One waits no longer; what nobody waits for is dropped, or stopped where that can be."""
        wish.waiting.discard(future)
        if wish.waiting or self.wishes.get(wish.task.key) != wish:
            return
        if wish.bench:
            wish.bench.overtake(wish.number)
            del self.wishes[wish.task.key]
        else:
            self._dropped(wish)

    def _dropped(self, wish: Wish) -> None:
        del self.wishes[wish.task.key]
        queue = self.queues[wish.visitor]
        queue.remove(wish)
        if not queue:
            del self.queues[wish.visitor]

    def _hand_out(self) -> None:
        """Idle benches begin what comes next."""
        while self.idle and (wish := next(self._next(), None)):
            self._begin(wish)

    def _next(self) -> Iterator[Wish]:
        """What may be begun, visitor by visitor, the one who was served last at the end."""
        slow = sum(w.slow for w in self.wishes.values() if w.bench)
        for queue in self.queues.values():
            yield from (w for w in queue if not w.slow or slow < max(1, len(self.benches) - 1))

    def _begin(self, wish: Wish) -> None:
        queue = self.queues.pop(wish.visitor)
        queue.remove(wish)
        if queue:
            self.queues[wish.visitor] = queue
        bench = next((b for b in self.idle if wish.task.recipe in b.knows), self.idle[0])
        self.idle.remove(bench)
        wish.bench = bench
        loop = asyncio.get_running_loop()
        try:
            begun = bench.begin(wish.number, wish.task)
        except BrokenProcessPool as error:
            begun = Future()
            begun.set_exception(error)
        begun.add_done_callback(
            lambda done: loop.call_soon_threadsafe(self._ended, wish, bench, done)
        )

    def _ended(self, wish: Wish, bench: Bench, done: Future[Any]) -> None:
        """Tell all who wait, keep the answer, and go on."""
        if self.closed:
            wish.tell(LOST)
            return
        error = done.exception()
        if isinstance(error, BrokenProcessPool):
            bench.renew()
        self.idle.append(bench)
        if self.wishes.get(wish.task.key) == wish:
            del self.wishes[wish.task.key]
        answer = done.result() if error is None else self._lost(wish.task, error)
        if not (isinstance(answer, Answer) and answer.status in (BUSY, OVERTAKEN, STUMBLED)):
            self._keep(wish.task, answer)
        wish.tell(answer)
        self._hand_out()

    def _lost(self, task: Task, error: BaseException) -> Answer:
        """What is said where a bench was lost, or the work has a fault: the log tells which."""
        if isinstance(error, BrokenProcessPool):
            return LOST
        logging.getLogger(__name__).error("%s of %s: %r", task.work, task.recipe, error)
        return FAULT

    def _keep(self, task: Task, answer: Any) -> None:
        if task.work == "save":
            return
        self.kept[task.key] = answer
        self.bytes += _size(answer)
        while self.bytes > KEPT:
            _, oldest = self.kept.popitem(last=False)
            self.bytes -= _size(oldest)


def _size(answer: Any) -> int:
    return len(answer.body) if isinstance(answer, Answer) else REFUSAL
