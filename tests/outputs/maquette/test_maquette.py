"""The data of the model: the steps again, and nothing that the cells do not hold."""

from __future__ import annotations

import json
from typing import Any

import numpy as np
import pytest

from genhouse.generate import recipe as recipes
from genhouse.model.brief import Brief, Recipe
from genhouse.model.design import Design
from genhouse.model.raster import raster
from genhouse.model.voxels import Voxels
from genhouse.outputs.maquette.maquette import data_of, in_page
from genhouse.outputs.steps.steps import Steps, building_steps
from genhouse.traditions.shelf import lend
from tests.outputs.houses import SEEDS, SMALL, built, designed
from tests.traditions.brick import BRICK, masonry


def data(design: Design, voxels: Voxels, steps: Steps, **more: Any) -> dict[str, Any]:
    told = data_of(
        voxels,
        steps,
        titles=[step.name for step in steps.steps],
        levels=[str(z) for z in range(voxels.size[2])],
        ground=2,
        rooms={room.id: f"{room.id} <b>" for room in design.rooms},
        called=more.get("called", lambda material, _: material),
    )
    text = in_page(told)
    assert "<" not in text
    found: dict[str, Any] = json.loads(text)
    return found


@pytest.fixture(params=SEEDS)
def told(request: pytest.FixtureRequest) -> tuple[Voxels, Steps, dict[str, Any]]:
    design, voxels = designed(request.param, SMALL), built(request.param, SMALL)
    steps = building_steps(design, voxels)
    return voxels, steps, data(design, voxels, steps)


def test_its_rows_are_the_cells_with_what_they_are(
    told: tuple[Voxels, Steps, dict[str, Any]],
) -> None:
    voxels, steps, found = told
    left = voxels.form.copy()
    for number, step in enumerate(found["steps"], 1):
        for row in np.reshape(step["rows"], (-1, 7)).tolist():
            x, y, z, run, axis, kind, room = row
            for n in range(run):
                cell = tuple(at + n * (along == axis) for along, at in enumerate((x, y, z)))
                piece = found["kinds"][kind - 1]
                assert voxels.about.materials[voxels.material[cell]].name == piece["material"]
                assert voxels.about.materials[voxels.material[cell]].colour == piece["colour"]
                assert voxels.about.forms[voxels.form[cell]].name == piece["form"]
                assert voxels.room[cell] == room
                assert steps.of[cell] == number
                left[cell] = 0
    assert not left.any()


def test_bits_are_the_shape_of_a_form(told: tuple[Voxels, Steps, dict[str, Any]]) -> None:
    voxels, _, found = told
    shapes = {
        form.name: shape for form, shape in zip(voxels.about.forms, voxels.shapes, strict=True)
    }
    for kind in found["kinds"]:
        for x, y, z in np.ndindex(4, 4, 4):
            n = 16 * x + 4 * y + z
            assert int(kind["bits"], 16) >> n & 1 == shapes[kind["form"]][x, y, z]


def test_every_prop_is_set_before_it_is_struck(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of a house of arches, which stand on props until their walls are filled."""
    monkeypatch.setattr(recipes, "trades_of", lambda _: BRICK)
    design = recipes.design_house(Recipe(seed=3, brief=Brief(tradition=lend(masonry()))))
    voxels = raster(design)
    steps = building_steps(design, voxels)
    found = data(design, voxels, steps)
    temporary = sum(row.run for row in steps.rows if row.support == "set")
    assert len(found["props"]) == temporary > 0
    for *place, kind, first, last in found["props"]:
        assert found["kinds"][kind - 1]["material"] == "prop"
        assert 1 <= first <= last <= steps.of[tuple(place)] or not steps.of[tuple(place)]


def test_it_speaks_the_names_of_the_builder() -> None:
    design, voxels = designed(1, SMALL), built(1, SMALL)
    found = data(
        design, voxels, building_steps(design, voxels), called=lambda m, f: f"my {m} as {f}"
    )
    assert all(k["material"].startswith("my ") for k in found["kinds"])
