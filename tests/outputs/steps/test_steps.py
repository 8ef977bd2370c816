"""The order of building ends in the house, for any of them, and nothing is ever set in the air."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from genhouse.core.draw import Draw
from genhouse.core.errors import GenhouseError
from genhouse.generate import recipe as recipes
from genhouse.house import House, design, make
from genhouse.model.brief import Brief, Recipe
from genhouse.model.raster import raster
from genhouse.model.shapes import SHAPES
from genhouse.outputs.steps.steps import building_steps
from genhouse.outputs.steps.table import steps_csv
from genhouse.traditions.shelf import ARRANGEMENTS, lend, names, tables
from tests.houses import anyhow, arrays
from tests.outlines import Corners, corners
from tests.outside.cells import House as Cells
from tests.outside.steps import replayed
from tests.outside.tables import Finding
from tests.traditions.brick import BRICK, masonry

FEWEST, MOST = 12, 25
"""Steps of a guide, as it was asked for."""


def findings(house: House, folder: Path) -> list[Finding]:
    steps = building_steps(house.plan, house.voxels)
    path = folder / "steps.csv"
    path.write_bytes(steps_csv(steps))
    assert FEWEST <= len(steps.steps) <= MOST
    assert steps.propped == 0
    assert sum(step.pieces for step in steps.steps) == np.count_nonzero(house.voxels.form)
    return list(replayed(path, Cells(arrays(house.voxels))))


@pytest.mark.parametrize("seed", range(16))
def test_replayed_it_is_the_house(seed: int, tmp_path: Path) -> None:
    assert findings(anyhow(seed), tmp_path) == []


PLOTS = {
    **dict.fromkeys(("aside", "walled-garden"), (26, 50)),
    **dict.fromkeys(("garden-range", "side-range"), (42, 54)),
    "garden-wing": (34, 54),
    **dict.fromkeys(("deep-halls", "flanked-halls", "backed-flanked-halls"), (42, 54)),
}
"""Where 32 x 44 has no room for an arrangement."""


@pytest.mark.parametrize("arrangement", ARRANGEMENTS)
def test_so_it_is_however_wings_are_arranged(arrangement: str, tmp_path: Path) -> None:
    """In a tradition that builds so."""
    tradition = next(
        n for n in ("timber", *names()) if arrangement in tables(n)["plan"]["arrangements"]
    )
    plot = PLOTS.get(arrangement, (32, 44))
    brief = Brief(plot=plot, arrangement=arrangement, tradition=tradition)
    assert findings(make(Recipe(seed=5, brief=brief)), tmp_path) == []


@pytest.mark.parametrize("storeys", [1, 2, 3])
def test_so_it_is_on_any_number_of_storeys(storeys: int, tmp_path: Path) -> None:
    assert findings(make(Recipe(seed=4, brief=Brief(storeys=storeys))), tmp_path) == []


@pytest.mark.parametrize("outline", [*SHAPES, corners(Draw(1).at("outline"))], ids=str)
def test_so_it_is_on_a_plot_of_any_outline(outline: str | Corners, tmp_path: Path) -> None:
    assert findings(make(Recipe(seed=6, brief=Brief(outline=outline))), tmp_path) == []


@pytest.mark.wide
def test_so_it_is_for_a_hundred_seeds(tmp_path: Path) -> None:
    """Of 500; ``python -m tests.replay 0:500`` takes each, in every tradition."""
    for seed in range(0, 500, 5):
        try:
            house = design(seed, {"arrangement": ARRANGEMENTS[seed % len(ARRANGEMENTS)]})
        except GenhouseError:
            house = design(seed)
        assert findings(house, tmp_path) == [], seed


def test_runs_go_along_rows_from_the_corner() -> None:
    """The first step lays the plot from the south-west corner, and no layer waits for a higher one."""
    house = anyhow(7)
    steps = building_steps(house.plan, house.voxels)
    rows = steps.rows_of(steps.steps[0])
    assert (rows[0].x, rows[0].y, rows[0].z) == (0, 0, 0)
    assert rows[0].run == max(house.voxels.size[:2])
    assert [row.z for row in rows] == sorted(row.z for row in rows)


def test_what_hangs_is_propped_until_it_holds(tmp_path: Path) -> None:
    """A stone set in the air of the court by hand hangs on props to the end, and falls out of no replay."""
    house = anyhow(7)
    material, form, stage = (
        getattr(house.voxels, name).copy() for name in ("material", "form", "stage")
    )
    court = house.plan.courts[0]
    x, y = (court.x0 + court.x1) // 2, (court.y0 + court.y1) // 2
    z = house.voxels.size[2] - 3
    assert not form[x, y, z - 1 : z + 2].any()
    material[x, y, z], form[x, y, z] = material[0, 0, 0], form[0, 0, 0]
    stage[x, y, z] = house.voxels.about.stages.index("walls")
    edited = replace(house.voxels, material=material, form=form, stage=stage)
    steps = building_steps(house.plan, edited)
    told = {row.support for row in steps.rows}
    assert steps.propped == 1
    assert told == {"", "set", "struck"}
    path = tmp_path / "steps.csv"
    path.write_bytes(steps_csv(steps))
    assert list(replayed(path, Cells(arrays(edited)))) == []


def test_arches_of_brick_stand_on_props_until_their_walls_do(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Another way of building, whose frame would hang before its walls are filled."""
    monkeypatch.setattr(recipes, "trades_of", lambda _: BRICK)
    plan = recipes.design_house(Recipe(seed=3, brief=Brief(tradition=lend(masonry()))))
    voxels = raster(plan)
    steps = building_steps(plan, voxels)
    assert steps.propped > 1
    path = tmp_path / "steps.csv"
    path.write_bytes(steps_csv(steps))
    assert list(replayed(path, Cells(arrays(voxels)))) == []


@pytest.mark.parametrize(
    "change",
    [
        lambda rows: rows[:-1],
        lambda rows: [rows[0], *reversed(rows[1:])],
        lambda rows: [*rows[:9], rows[9].replace(",whole,", ",post,"), *rows[10:]],
        lambda rows: [*rows, rows[-1]],
    ],
    ids=["one row short", "backwards", "another form", "twice"],
)
def test_a_wrong_order_is_found(change: object, tmp_path: Path) -> None:
    house = anyhow(7)
    lines = steps_csv(building_steps(house.plan, house.voxels)).decode().splitlines()
    path = tmp_path / "steps.csv"
    path.write_text("\n".join([lines[0], *change(lines[1:])]) + "\n", "utf-8")  # type: ignore[operator]
    assert list(replayed(path, Cells(arrays(house.voxels))))
