"""How soon the desk answers, by the processor's time, and how eight visitors at once fare.

python -m tests.benchmarks.bench_desk [SEED]

A dragged slider is to show a new outside picture within 150 ms, a new model within 250 ms, medians, on two
cores that do nothing else; the processor's time of the work says so on any machine, however busy it is.
"""

from __future__ import annotations

import asyncio
import sys
from collections.abc import Iterable
from dataclasses import replace
from statistics import median
from time import perf_counter, process_time

from genhouse.desk.bench import OwnBench, ProcessBench
from genhouse.desk.table import Table
from genhouse.desk.task import Task
from genhouse.model.brief import Brief, Recipe

SKETCH = (("size", "sketch"),)
VISITORS, EACH = 8, 6


def sized(seed: int, deep: int, widths: Iterable[int] = range(20, 36)) -> list[Recipe]:
    return [Recipe(seed=seed, brief=Brief(plot=(wide, deep))) for wide in widths]


def measured(what: str, tasks: Iterable[Task]) -> None:
    bench, spent = OwnBench(), []
    for number, task in enumerate(tasks, 1):
        start = process_time()
        bench.begin(number, task).result()
        spent.append(1000 * (process_time() - start))
    row = sorted(spent)
    print(
        f"{what:44s} median {median(row):4.0f} ms, nine in ten {row[len(row) * 9 // 10 - 1]:4.0f}"
    )


async def crowded(seed: int) -> None:
    """Each visitor drags a slider of another house: how long each waits for a sketch."""
    table = Table([ProcessBench(), ProcessBench(), ProcessBench()])
    await asyncio.gather(*(table.ask(Task("begin", Recipe(seed=n))) for n in range(3)))

    async def visitor(number: int) -> list[float]:
        waited = []
        for recipe in sized(seed + number, 30, range(20, 20 + EACH)):
            start = perf_counter()
            await table.ask(Task("picture", recipe, SKETCH), f"{number}")
            waited.append(1000 * (perf_counter() - start))
        return waited

    found = await asyncio.gather(*map(visitor, range(VISITORS)))
    table.close()
    medians = sorted(map(median, found))
    worst = max(map(max, found))
    span = f"medians {medians[0]:.0f} to {medians[-1]:.0f} ms, worst {worst:.0f}"
    print(f"{VISITORS} at once, a sketch each: {span}")


def main(seed: int) -> None:
    measured("(a bench begins)", [Task("begin", Recipe(seed=seed))])
    measured("sketch, the plot dragged", (Task("picture", r, SKETCH) for r in sized(seed, 30)))
    (one,) = sized(seed, 31, [25])
    lit = [replace(one, brief=replace(one.brief, light=n)) for n in range(5, 20)]
    measured("sketch, the light dragged", (Task("picture", r, SKETCH) for r in lit))
    measured("whole picture, another plot", (Task("picture", r) for r in sized(seed, 32)))
    kinds = ("pond", "moss", "gravel", "grove", "well")
    gardens = [replace(one, brief=replace(one.brief, garden=kind)) for kind in kinds]
    measured("whole picture, another garden", (Task("picture", r) for r in gardens))
    measured("model, another plot", (Task("model", r) for r in sized(seed, 33)))
    asyncio.run(crowded(seed))


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 100)
