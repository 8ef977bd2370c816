"""A bench of its own process: it answers, stops when overtaken, and one that is killed is replaced."""

from __future__ import annotations

import asyncio
import os
import signal
from typing import Any

import pytest

from genhouse.desk.bench import OwnBench, ProcessBench, learnt
from genhouse.desk.made import FEW
from genhouse.desk.table import LOST, Table
from genhouse.desk.task import OVERTAKEN, Task
from genhouse.model.brief import Brief, Recipe, Wish

MANY = (Wish(kind="study", count=6, area=(12, 20)),)
NEVER = Recipe(seed=5, brief=Brief(plot=(17, 19), storeys=1, rooms=MANY))


def process(bench: ProcessBench) -> Any:
    """The process of a bench."""
    pool = bench._begin.__closure__[0].cell_contents  # type: ignore[attr-defined]
    return next(iter(pool._processes.values()))


@pytest.mark.skipif(os.name != "posix", reason="it is killed by a signal")
def test_a_bench_that_is_killed_is_replaced() -> None:
    bench = ProcessBench()

    async def play() -> tuple[Any, Any]:
        table = Table([bench])
        small = (("size", "small"),)
        assert (await table.ask(Task("picture", Recipe(seed=7), small))).status == 200
        waiting = asyncio.ensure_future(table.ask(Task("picture", NEVER)))
        await asyncio.sleep(0.2)
        os.kill(process(bench).pid, signal.SIGKILL)
        lost = await waiting
        again = await table.ask(Task("picture", Recipe(seed=8), small))
        table.close()
        return lost, again

    lost, again = asyncio.run(play())
    assert lost == LOST
    assert again.body[:2] == b"\xff\xd8"


def test_a_table_is_closed_over_work_without_a_word() -> None:
    said: list[Any] = []

    async def play() -> Any:
        asyncio.get_running_loop().set_exception_handler(lambda _, what: said.append(what))
        table = Table([ProcessBench()])
        waiting = asyncio.ensure_future(table.ask(Task("picture", NEVER)))
        await asyncio.sleep(0.2)
        table.close()
        return await asyncio.wait_for(waiting, 30)

    assert asyncio.run(play()) == LOST
    assert said == []


def test_what_is_overtaken_is_given_up() -> None:
    """Why a brief has no answer is searched for long; a newer wish ends it."""
    bench = OwnBench()
    bench.overtake(5)
    assert bench.begin(5, Task("picture", NEVER)).result().status == OVERTAKEN
    assert bench.begin(6, Task("picture", NEVER)).result().status == 422


def test_a_bench_knows_the_last_houses() -> None:
    bench = OwnBench()
    for seed in range(FEW + 3):
        learnt(bench, Recipe(seed=seed))
    learnt(bench, Recipe(seed=FEW - 1))
    assert [recipe.seed for recipe in bench.knows][-1] == FEW - 1
    assert len(bench.knows) == FEW
