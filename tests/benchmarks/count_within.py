"""How unlike the houses of one tradition are, inside and outside, beside the floors of both.

    python -m tests.benchmarks.count_within 0:60 siheyuan hanok     all traditions where none is named

Of each house how far it is from the one most like it: at the median and at the tenth percentile, and how
many are nearer than a floor, so that a choice would leave them out.
"""

from __future__ import annotations

from collections.abc import Sequence

import click
import numpy as np

from genhouse.many import distinct, outside
from genhouse.many.distinct import Features
from genhouse.many.gather import gather
from genhouse.model.brief import Brief, Recipe
from genhouse.traditions.shelf import names
from tests.benchmarks.counting import seeds_of


def outer(a: Features, b: Features) -> float:
    """How far apart two are outside: in their heights."""
    return float(outside.outside(a.look.heights, b.look.heights))


DISTANCES = {
    "outside": (outer, float(outside.ALIKE)),
    "inside": (distinct.distance, distinct.ALIKE),
}
"""Distances, and what is too near."""


def nearest(houses: Sequence[Features], name: str) -> list[float]:
    """How far each is from the one most like it."""
    apart = np.full((len(houses), len(houses)), np.inf)
    for m, one in enumerate(houses):
        for n, other in enumerate(houses[:m]):
            apart[m, n] = apart[n, m] = DISTANCES[name][0](one, other)
    return [float(row.min()) for row in apart]


@click.command()
@click.argument("seeds", default="0:60")
@click.argument("traditions", nargs=-1)
@click.option("--jobs", default=1, help="Processes.")
def main(seeds: str, traditions: tuple[str, ...], jobs: int) -> None:
    """Count and print."""
    print("tradition   houses  distance   median  tenth  least  too near  colours")
    for tradition in traditions or names():
        recipes = [Recipe(seed=n, brief=Brief(tradition=tradition)) for n in seeds_of(seeds)]
        ideas, refusals = gather(recipes, processes=jobs)
        houses = [idea.features for idea in ideas]
        dressed = {(one.look.roof, one.look.walls) for one in houses}
        for name, (_, least) in DISTANCES.items():
            near = nearest(houses, name)
            tenth, half = np.percentile(near, [10, 50])
            print(
                f"{tradition:12}{len(houses):5}   {name:9} {half:7.3f} {tenth:6.3f} {min(near):6.3f}"
                f" {sum(n < least for n in near):9} {len(dressed):8}"
            )
        for refused in refusals:
            print(f"{refused.recipe.seed}: {refused.reason}")


if __name__ == "__main__":
    main()
