"""The order of building and the layer sheets replayed over many houses, by readers from outside.

    python -m tests.replay 0:500             steps.csv of every seed on ground of every outline
    python -m tests.replay --sheets 0:50     the sheets as they are drawn, with their printed key
    python -m tests.replay --words 0:50      the sentences that say what repeats

Prints what does not end in the arrays, and the line that remakes each house at fault; at the end the fewest
and most steps, and the most temporary supports.  Exit code 1 where anything is found.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import NamedTuple

import click
import numpy as np

from genhouse.core.draw import Draw
from genhouse.core.errors import GenhouseError
from genhouse.house import House, make
from genhouse.model.brief import Brief, Recipe
from genhouse.model.shapes import SHAPES
from genhouse.outputs.document.document import document
from genhouse.outputs.even.told import even
from genhouse.outputs.setting_out import heights
from genhouse.outputs.sheets.sheet import Sheets
from genhouse.outputs.steps.steps import Steps, building_steps
from genhouse.outputs.steps.table import steps_csv
from genhouse.traditions.shelf import names
from tests.benchmarks.counting import seeds_of
from tests.briefs import line
from tests.houses import arrays
from tests.outlines import corners
from tests.outside.cells import House as Cells
from tests.outside.repeats import astray
from tests.outside.sheets import read_sheets
from tests.outside.steps import pieces, replayed


class Told(NamedTuple):
    """What is said of one house.  steps: how many; none where its brief is refused."""

    found: tuple[str, ...] = ()
    steps: int = 0
    propped: int = 0


def recipes(seeds: range) -> Iterator[Recipe]:
    """Every seed on every ground, and once more in one of the other traditions in turn."""
    ways = [name for name in names() if name != Brief().tradition]
    for seed in seeds:
        yield Recipe(seed=seed, brief=Brief(tradition=ways[seed % len(ways)]))
        yield Recipe(seed=seed)
        for shape in SHAPES:
            yield Recipe(seed=seed, brief=Brief(outline=shape))
        yield Recipe(seed=seed, brief=Brief(outline=corners(Draw(seed).at("outline"))))


def as_told(house: House, steps: Steps, folder: Path) -> tuple[str, ...]:
    """What steps.csv leads to that is not as the arrays have it."""
    path = folder / "steps.csv"
    path.write_bytes(steps_csv(steps))
    return tuple(map(str, replayed(path, Cells(arrays(house.voxels)))))


def as_drawn(house: House, steps: Steps, folder: Path) -> tuple[str, ...]:
    """What the sheets show that is not as the arrays have it."""
    sheets, about = Sheets(house.plan, house.voxels, steps), house.voxels.about
    for z in sheets.levels:
        (folder / f"{z}.svg").write_text(sheets.sheet(z), "utf-8")
    high = max(sheets.levels) + 1
    for read, table, name in zip(
        read_sheets(folder), (about.materials, about.forms), ("material", "form"), strict=True
    ):
        called = np.array(["", *(entry.name for entry in table[1:])], dtype=object)
        wrong = np.argwhere(read != called[getattr(house.voxels, name)[:, :, :high]])
        if len(wrong):
            return (f"{name} of {len(wrong)} cells, first at {wrong[0].tolist()}",)
    return ()


def as_said(house: House, steps: Steps, folder: Path) -> tuple[str, ...]:
    """What the guide says of even work that is not as steps.csv has it."""
    path, ground = folder / "steps.csv", heights(house.plan).ground
    path.write_bytes(steps_csv(steps))
    sentences = even(house.plan, house.voxels, steps, ground)
    said = [
        (step.number, line)
        for step, lines in zip(steps.steps, sentences, strict=True)
        for line in lines
    ]
    found = astray(said, pieces(path), json.loads(document(house.plan, house.voxels, ())))
    return tuple(map(str, found))


def told(recipe: Recipe, what: str) -> Told:
    try:
        house = make(recipe)
    except GenhouseError:
        return Told()
    except Exception as error:
        return Told((f"{type(error).__name__}: {error}",))
    steps = building_steps(house.plan, house.voxels)
    with TemporaryDirectory() as folder:
        look = {"steps": as_told, "sheets": as_drawn, "words": as_said}[what]
        return Told(look(house, steps, Path(folder)), len(steps.steps), steps.propped)


@click.command()
@click.argument("seeds", default="0:500")
@click.option(
    "--sheets", "what", flag_value="sheets", help="What is drawn instead of what is listed."
)
@click.option("--words", "what", flag_value="words", help="What is said of even work.")
@click.option("--jobs", default=2, help="Processes.")
def main(seeds: str, what: str | None, jobs: int) -> None:
    """Replay and report."""
    work = list(recipes(seeds_of(seeds)))
    counts, propped, bad = [], [], 0
    with ProcessPoolExecutor(jobs) as pool:
        for recipe, one in zip(
            work, pool.map(partial(told, what=what or "steps"), work), strict=True
        ):
            if one.found:
                bad += 1
                click.echo(f"{line(recipe)}  # {one.found[0]}")
            if one.steps:
                counts.append(one.steps)
                propped.append(one.propped)
    click.echo(
        f"{len(counts)} replayed, {len(work) - len(counts)} refused, {bad} at fault; "
        f"{min(counts)} to {max(counts)} steps, at most {max(propped)} temporary supports"
    )
    raise SystemExit(1 if bad else 0)


if __name__ == "__main__":
    main()
