"""A house against its own picture: design and inspection in units of one PNG encoding.

    python -m tests.benchmarks.bench_house

One design plus inspection, without files, may take twice as long as Pillow's default encoding of that
house's 1000 x 900 picture.  Both are timed in turn in one run; minima are compared, since they hold
steady under a busy neighbour.  Prints ratios; asserts nothing about time.
"""

from __future__ import annotations

import io
from collections.abc import Callable
from time import perf_counter

from genhouse.house import House, make
from genhouse.model.brief import Brief, Recipe

ROUNDS = 12
RECIPES = (
    Recipe(seed=7),
    Recipe(seed=7, brief=Brief(plot=(23, 32))),
    Recipe(seed=7, brief=Brief(plot=(45, 61))),
)


def best(*works: Callable[[], object]) -> list[float]:
    """The least time of each, in seconds, taken in turn."""
    least = [float("inf")] * len(works)
    for _ in range(ROUNDS):
        for n, work in enumerate(works):
            start = perf_counter()
            work()
            least[n] = min(least[n], perf_counter() - start)
    return least


def ratio(recipe: Recipe) -> tuple[float, float, float]:
    """Design, inspection and encoding of one house, in seconds."""
    house: House = make(recipe)
    picture = house.picture(size=(1000, 900))
    design, inspection, encoding = best(
        lambda: make(recipe), house.inspect, lambda: picture.save(io.BytesIO(), "PNG")
    )
    return design, inspection, encoding


def test_the_benchmark_runs() -> None:
    design, inspection, encoding = ratio(RECIPES[1])
    assert min(design, inspection, encoding) > 0


def main() -> None:
    for recipe in RECIPES:
        design, inspection, encoding = ratio(recipe)
        print(
            f"plot {recipe.brief.plot or 'by seed'}: design {design * 1e3:.0f} ms, inspection"
            f" {inspection * 1e3:.0f} ms, Pillow's PNG {encoding * 1e3:.0f} ms:"
            f" {(design + inspection) / encoding:.2f} encodings"
        )


if __name__ == "__main__":
    main()
