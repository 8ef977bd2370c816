"""The table: turns, bounds, what is overtaken, what is kept, and a bench that is lost.

The benches here do nothing by themselves: the test says when one is done, and with what.
"""

from __future__ import annotations

import asyncio
from collections import OrderedDict
from collections.abc import Callable, Coroutine
from concurrent.futures import Future
from concurrent.futures.process import BrokenProcessPool
from typing import Any

from genhouse.desk.table import FAULT, FULL, LATE, LOST, Table
from genhouse.desk.task import BUSY, Answer, Task
from genhouse.model.brief import Recipe


class Idle:
    """A bench that waits to be told."""

    def __init__(self) -> None:
        self.knows: OrderedDict[Recipe, None] = OrderedDict()
        self.begun: list[tuple[int, Task, Future[Any]]] = []
        self.stopped = self.renewed = 0

    def begin(self, number: int, task: Task) -> Future[Any]:
        self.knows[task.recipe] = None
        self.begun.append((number, task, Future()))
        return self.begun[-1][2]

    def done(self, body: bytes = b"x") -> None:
        self.begun[-1][2].set_result(Answer(body))

    def overtake(self, number: int) -> None:
        self.stopped = number

    def renew(self) -> None:
        self.renewed += 1

    def close(self) -> None: ...

    @property
    def seeds(self) -> list[int]:
        return [task.recipe.seed for _, task, _ in self.begun]


def task(seed: int, work: str = "picture") -> Task:
    return Task(work, Recipe(seed=seed))


Play = Callable[[Table, list[Idle]], Coroutine[Any, Any, Any]]


def played(play: Play, benches: int = 1, **more: int) -> Any:
    async def whole() -> Any:
        idle = [Idle() for _ in range(benches)]
        return await asyncio.wait_for(play(Table(idle, **more), idle), 5)

    return asyncio.run(whole())


async def settled() -> None:
    for _ in range(5):
        await asyncio.sleep(0)


def test_visitors_are_served_by_turns() -> None:
    async def play(table: Table, benches: list[Idle]) -> list[int]:
        asked = [asyncio.ensure_future(table.ask(task(n), "first")) for n in (1, 2, 3)]
        asked += [asyncio.ensure_future(table.ask(task(n), "second")) for n in (11, 12)]
        for _ in asked:
            await settled()
            benches[0].done()
        await asyncio.gather(*asked)
        return benches[0].seeds

    assert played(play) == [1, 2, 11, 3, 12]


def test_the_same_task_is_done_once_and_kept() -> None:
    async def play(table: Table, benches: list[Idle]) -> Any:
        both = asyncio.gather(table.ask(task(1), "a"), table.ask(task(1), "b"))
        await settled()
        benches[0].done(b"one")
        first, second = await both
        third = await table.ask(task(1), "c")
        return len(benches[0].begun), {first.body, second.body, third.body}

    assert played(play) == (1, {b"one"})


def test_a_newer_wish_of_a_kind_overtakes_the_older_that_waits() -> None:
    async def play(table: Table, benches: list[Idle]) -> Any:
        asked = [asyncio.ensure_future(table.ask(task(n), "a", "picture")) for n in range(1, 6)]
        await settled()
        benches[0].done()
        await settled()
        benches[0].done()
        return await asyncio.gather(*asked), benches[0].seeds

    answers, seeds = played(play)
    assert answers[:4] == [LATE] * 4
    assert answers[4].body == b"x"
    assert seeds == [1, 5]


def test_what_is_overtaken_under_way_is_stopped() -> None:
    async def play(table: Table, benches: list[Idle]) -> int:
        old = asyncio.ensure_future(table.ask(task(1), "a", "picture"))
        await settled()
        new = asyncio.ensure_future(table.ask(task(2), "a", "picture"))
        await settled()
        number = benches[0].begun[0][0]
        assert benches[0].stopped == number
        benches[0].done()
        await settled()
        benches[0].done()
        await asyncio.gather(old, new)
        return table.waits

    assert played(play) == 0


def test_another_who_waits_for_the_same_keeps_it_going() -> None:
    async def play(table: Table, benches: list[Idle]) -> Any:
        mine = asyncio.ensure_future(table.ask(task(1), "a", "picture"))
        other = asyncio.ensure_future(table.ask(task(1), "b", "picture"))
        await settled()
        newer = asyncio.ensure_future(table.ask(task(2), "a", "picture"))
        await settled()
        assert benches[0].stopped == 0
        benches[0].done(b"one")
        await settled()
        benches[0].done(b"two")
        return await asyncio.gather(mine, other, newer)

    mine, other, newer = played(play)
    assert (mine, other.body, newer.body) == (LATE, b"one", b"two")


def test_beyond_the_bound_one_is_told_so_at_once() -> None:
    async def play(table: Table, benches: list[Idle]) -> Any:
        asked = [asyncio.ensure_future(table.ask(task(n), f"{n % 2}")) for n in range(7)]
        await settled()
        full = await table.ask(task(99), "third")
        for _ in range(5):
            benches[0].done()
            await settled()
        return full, await asyncio.gather(*asked)

    full, answers = played(play, most=4, each=3)
    assert full == FULL
    assert full.status == BUSY
    assert answers.count(FULL) == 2


def test_slow_work_never_has_all_benches() -> None:
    async def play(table: Table, benches: list[Idle]) -> Any:
        slow = [asyncio.ensure_future(table.ask(task(n, "zip"), "a")) for n in range(4)]
        await settled()
        quick = asyncio.ensure_future(table.ask(task(50), "a"))
        await settled()
        begun = sorted(n for bench in benches for n in bench.seeds)
        for _ in range(5):
            for bench in benches:
                if bench.begun and not bench.begun[-1][2].done():
                    bench.done()
            await settled()
        await asyncio.gather(*slow, quick)
        return begun

    assert played(play, benches=3) == [0, 1, 50]


def test_a_house_goes_to_the_bench_that_knows_it() -> None:
    async def play(table: Table, benches: list[Idle]) -> Any:
        for seed in (1, 2):
            asked = asyncio.ensure_future(table.ask(task(seed), "a"))
            await settled()
            next(b for b in benches if b.begun and not b.begun[-1][2].done()).done()
            await asked
        knows = next(b for b in benches if 1 in b.seeds)
        asked = asyncio.ensure_future(table.ask(task(1, "about"), "a"))
        await settled()
        knows.done()
        await asked
        return knows.begun[-1][1].work

    assert played(play, benches=2) == "about"


def test_a_lost_bench_is_replaced_and_said() -> None:
    async def play(table: Table, benches: list[Idle]) -> Any:
        asked = asyncio.ensure_future(table.ask(task(1), "a"))
        await settled()
        benches[0].begun[-1][2].set_exception(BrokenProcessPool("gone"))
        lost = await asked
        again = asyncio.ensure_future(table.ask(task(1), "a"))
        await settled()
        benches[0].done()
        return lost, (await again).body, benches[0].renewed

    assert played(play) == (LOST, b"x", 1)


def test_a_fault_in_the_work_is_told_from_a_lost_bench() -> None:
    async def play(table: Table, benches: list[Idle]) -> Any:
        asked = asyncio.ensure_future(table.ask(task(1), "a"))
        await settled()
        benches[0].begun[-1][2].set_exception(ZeroDivisionError("a slip"))
        return await asked, benches[0].renewed, len(table.kept)

    assert played(play) == (FAULT, 0, 0)


def test_answers_are_kept_up_to_a_bound(monkeypatch: Any) -> None:
    from genhouse.desk import table as tables

    monkeypatch.setattr(tables, "KEPT", 25)

    async def play(table: Table, benches: list[Idle]) -> Any:
        for seed in range(5):
            asked = asyncio.ensure_future(table.ask(task(seed), "a"))
            await settled()
            benches[0].done(b"0123456789")
            await asked
        return len(table.kept), table.bytes

    assert played(play) == (2, 20)
