"""The wide sweep: many seeds and plots, judged by the inspector and by the outside checker.

    python -m tests.sweep 0:2000           seeds on plots of their own choice
    python -m tests.sweep --plots          every plot from 17 x 19 to 45 x 61, one seed each
    python -m tests.sweep 0:50 --plots --step 7 --gates

Prints each kind of finding with the first house that has it; exit code 1 where there is any.
"""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor

import click
import numpy as np
from rich.progress import track

from genhouse.core.axes import SIDES
from genhouse.house import make
from genhouse.model.brief import LARGEST_PLOT, SMALLEST_PLOT, Brief, Recipe
from genhouse.outputs.arrays import about_json
from tests.outside.checker import check_arrays


def faults(recipe: Recipe) -> tuple[Recipe, list[str]]:
    """What either judge finds in one house."""
    try:
        house = make(recipe)
    except Exception as error:
        return recipe, [f"{type(error).__name__}: {error}"]
    found = [str(finding) for finding in house.inspect().findings]
    v = house.voxels
    arrays = {"material": v.material, "form": v.form, "stage": v.stage, "room": v.room}
    arrays |= {"shapes": v.shapes, "about": np.array(about_json(v.about))}
    return recipe, found + [f"outside: {finding}" for finding in check_arrays(arrays)]


def recipes(seeds: range, plots: bool, step: int, gates: bool) -> Iterator[Recipe]:
    """Seeds alone, or every plot with a seed of its own."""
    if not plots:
        yield from (Recipe(seed=seed) for seed in seeds)
        return
    for width in range(SMALLEST_PLOT[0], LARGEST_PLOT[0] + 1, step):
        for depth in range(SMALLEST_PLOT[1], LARGEST_PLOT[1] + 1, step):
            for gate in SIDES if gates else (None,):
                brief = Brief(plot=(width, depth), gate=gate)
                yield Recipe(seed=width * 1000 + depth, brief=brief)


@click.command()
@click.argument("seeds", default="0:2000")
@click.option("--plots", is_flag=True, help="Every plot instead of seeds.")
@click.option("--step", default=1, help="Every so many cells of plot.")
@click.option("--gates", is_flag=True, help="Each plot with its gate on all four sides.")
@click.option("--jobs", default=2, help="Processes.")
def main(seeds: str, plots: bool, step: int, gates: bool, jobs: int) -> None:
    """Sweep and report."""
    first, _, last = seeds.partition(":")
    work = list(recipes(range(int(first), int(last)), plots, step, gates))
    kinds: dict[str, tuple[int, str]] = {}
    bad = 0
    with ProcessPoolExecutor(jobs) as pool:
        for recipe, found in track(pool.map(faults, work, chunksize=8), total=len(work)):
            bad += bool(found)
            for sentence in found:
                kind = "".join(c for c in sentence if not c.isdigit())[:90]
                count, example = kinds.get(
                    kind, (0, f"{recipe.seed} {recipe.brief.plot}: {sentence}")
                )
                kinds[kind] = (count + 1, example)
    for count, example in sorted(kinds.values(), reverse=True):
        click.echo(f"{count:6} {example}")
    share = 300 / len(work)
    click.echo(f"{len(work) - bad} passed, {bad} failed")
    if not bad:
        click.echo(
            f"no fault in {len(work)} houses: under {share:.2g} % have one, at 95 % confidence"
        )
    raise SystemExit(1 if bad else 0)


if __name__ == "__main__":
    main()
