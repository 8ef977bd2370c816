"""What a house of each way of building costs, a solid cell, beside one of the first: time and memory.

    python -m tests.benchmarks.bench_traditions 0:8

Design and inspection of default houses of these seeds, all of them in turn, round after round; of each
house the least time of the processor is taken, which holds under a busy neighbour.  Memory is the most
that one such work holds at once, as tracemalloc counts it.  Prints ratios; asserts nothing of them.
"""

from __future__ import annotations

import tracemalloc
from collections.abc import Sequence
from time import process_time

import click

from genhouse.model.brief import Brief, Recipe
from genhouse.traditions.shelf import names
from tests.benchmarks.counting import anew, seeds_of

ROUNDS = 5


def built(recipe: Recipe) -> int:
    """Solid cells of a house that is designed and inspected."""
    house = anew(recipe)
    house.inspect()
    return int((house.voxels.form > 0).sum())


def costs(recipes: Sequence[Recipe], rounds: int) -> list[tuple[int, float, int]]:
    """Of each house: its cells, the least seconds, the most bytes."""
    cells = [built(recipe) for recipe in recipes]  # and fills what is kept between houses
    least, most = [float("inf")] * len(recipes), [0] * len(recipes)
    for _ in range(rounds):
        for n, recipe in enumerate(recipes):
            start = process_time()
            built(recipe)
            least[n] = min(least[n], process_time() - start)
    tracemalloc.start()
    for n, recipe in enumerate(recipes):
        tracemalloc.reset_peak()
        before = tracemalloc.get_traced_memory()[0]
        built(recipe)
        most[n] = tracemalloc.get_traced_memory()[1] - before
    tracemalloc.stop()
    return list(zip(cells, least, most, strict=True))


def test_the_benchmark_runs() -> None:
    ((cells, seconds, peak),) = costs([Recipe(seed=7)], 1)
    assert min(cells, seconds, peak) > 0


@click.command()
@click.argument("seeds", default="0:8")
@click.option("--rounds", default=ROUNDS)
def main(seeds: str, rounds: int) -> None:
    """Measure and print."""
    first = Brief().tradition
    shown = [first, *(name for name in names() if name != first)]
    numbers = seeds_of(seeds)
    recipes = [Recipe(seed=n, brief=Brief(tradition=name)) for n in numbers for name in shown]
    found = costs(recipes, rounds)
    unit = (1.0, 1.0)
    for k, name in enumerate(shown):
        some = found[k :: len(shown)]
        cells = sum(one[0] for one in some)
        each = sum(one[1] for one in some) / cells, sum(one[2] for one in some) / cells
        unit = each if name == first else unit
        print(
            f"{name:>10}: {cells // len(some):6} cells, {1e6 * each[0]:.1f} us a cell"
            f" ({each[0] / unit[0]:.2f}), {each[1]:.0f} bytes a cell ({each[1] / unit[1]:.2f})"
        )


if __name__ == "__main__":
    main()
