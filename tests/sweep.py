"""The wide sweep: many seeds, plots and briefs, judged by the inspector and by the outside checker.

    python -m tests.sweep 0:2000           seeds on plots of their own choice
    python -m tests.sweep --briefs 0:500   whole random briefs, by number (``tests.briefs``)
    python -m tests.sweep --plots          every plot from 17 x 19 to 45 x 61, one seed each
    python -m tests.sweep 0:50 --plots --step 7 --gates
    python -m tests.sweep --plots --step 4 --arrangement lookout
    python -m tests.sweep 0:150 --outlines plots of random outlines, every third a shape by name
    python -m tests.sweep 0:1000 --tradition timber     any of these in one way of building

Prints each kind of finding with the first house that has it, and the line that remakes each house at
fault; exit code 1 where there is any.  A house that was drawn anew, because its first draw was unsound, is
told of too.  What no house can answer is counted, and is at fault where it is
answered by anything but a refusal, or too late.
"""

from __future__ import annotations

import time
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace

import click
from rich.console import Console
from rich.progress import track

from genhouse.core.axes import SIDES
from genhouse.core.draw import Draw
from genhouse.core.errors import GenhouseError
from genhouse.model.bounds import LARGEST_PLOT, SMALLEST_PLOT
from genhouse.model.brief import Brief, Recipe
from genhouse.model.shapes import SHAPES
from genhouse.sound import sound
from tests.benchmarks.counting import seeds_of
from tests.briefs import line, recipe
from tests.houses import arrays
from tests.outlines import corners
from tests.outside.checker import check_arrays

SLOW = 2.0
"""Seconds of work within which a refusal has to come."""
ANEW = "drawn anew: "
"""Before a fault that the house itself is without: told, but the house is sound."""


def faults(recipe: Recipe) -> tuple[Recipe, list[str], str]:
    """What either judge finds in one house or in draws before it; and why it was refused, if it was."""
    begun = time.process_time()
    try:
        house = sound(recipe)
    except GenhouseError as error:
        took = time.process_time() - begun
        return recipe, [f"refused after {took:.1f} s"] if took > SLOW else [], str(error)
    except Exception as error:
        return recipe, [f"{type(error).__name__}: {error}"], ""
    found = [f"{ANEW}{fault}" for fault in house.faults]
    outside = check_arrays(arrays(house.voxels), recipe.brief.light, house.plan.outline)
    return recipe, found + [f"outside: {finding}" for finding in outside], ""


def recipes(seeds: range, plots: bool, step: int, gates: bool, asked: Brief) -> Iterator[Recipe]:
    """Seeds alone, or every plot with a seed of its own."""
    if not plots:
        yield from (Recipe(seed=seed, brief=asked) for seed in seeds)
        return
    for width in range(SMALLEST_PLOT[0], LARGEST_PLOT[0] + 1, step):
        for depth in range(SMALLEST_PLOT[1], LARGEST_PLOT[1] + 1, step):
            for gate in SIDES if gates else (None,):
                brief = replace(asked, plot=(width, depth), gate=gate)
                yield Recipe(seed=width * 1000 + depth, brief=brief)


def outlined(numbers: range, asked: Brief) -> Iterator[Recipe]:
    """A random outline a number, by its corners or, every third, by the name of a shape."""
    for n in numbers:
        here = Draw(n).at("outline")
        shape = here.choice(tuple(SHAPES), "shape") if n % 3 == 0 else corners(here)
        yield Recipe(seed=n, brief=replace(asked, outline=shape))


@click.command()
@click.argument("seeds", default="0:2000")
@click.option("--briefs", is_flag=True, help="Whole random briefs by these numbers.")
@click.option("--outlines", is_flag=True, help="A random outline a seed.")
@click.option("--plots", is_flag=True, help="Every plot instead of seeds.")
@click.option("--step", default=1, help="Every so many cells of plot.")
@click.option("--gates", is_flag=True, help="Each plot with its gate on all four sides.")
@click.option("--arrangement", help="Of all of them.")
@click.option("--tradition", default=Brief().tradition, help="The way of building of all of them.")
@click.option("--jobs", default=2, help="Processes.")
def main(
    seeds: str,
    briefs: bool,
    outlines: bool,
    plots: bool,
    step: int,
    gates: bool,
    arrangement: str | None,
    tradition: str,
    jobs: int,
) -> None:
    """Sweep and report."""
    numbers = seeds_of(seeds)
    asked = Brief(tradition=tradition, arrangement=arrangement)
    some = recipes(numbers, plots, step, gates, asked)
    mixed = (recipe(n, tradition) for n in numbers)
    work = list(mixed if briefs else outlined(numbers, asked) if outlines else some)
    kinds: dict[str, tuple[int, str]] = {}
    bad = refused = 0
    console = Console(stderr=True)
    with ProcessPoolExecutor(jobs) as pool:
        done = track(pool.map(faults, work, chunksize=8), total=len(work), console=console)
        for made, found, refusal in done:
            bad += any(not sentence.startswith(ANEW) for sentence in found)
            refused += bool(refusal)
            if found:
                click.echo(f"{line(made)}  # {found[0]}")
            for sentence in found:
                kind = "".join(c for c in sentence if not c.isdigit())[:90]
                count, example = kinds.get(kind, (0, f"{sentence}: {line(made)}"))
                kinds[kind] = (count + 1, example)
    for count, example in sorted(kinds.values(), reverse=True):
        click.echo(f"{count:6} {example}")
    share = 300 / len(work)
    click.echo(f"{len(work) - bad - refused} passed, {refused} refused, {bad} failed")
    if not bad:
        click.echo(
            f"no fault in {len(work)} recipes: under {share:.2g} % have one, at 95 % confidence"
        )
    raise SystemExit(1 if bad else 0)


if __name__ == "__main__":
    main()
