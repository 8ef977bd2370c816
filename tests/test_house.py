"""The public face of a house."""

from __future__ import annotations

import pickle
from pathlib import Path

import numpy as np
import pytest

import genhouse
from genhouse import Brief, House, Recipe, design, load
from genhouse.core.errors import BriefError, InfeasibleError, UnreadableError
from genhouse.house import make

SMALL = {"plot": (20, 24), "gate": "south"}


def test_a_brief_may_be_a_value_a_mapping_or_a_file(tmp_path: Path) -> None:
    path = tmp_path / "brief.toml"
    path.write_text('plot = [20, 24]\ngate = "south"\n', "utf-8")
    houses = [
        design(5, brief) for brief in (Brief(plot=(20, 24), gate="south"), SMALL, path, str(path))
    ]
    assert len({house.voxels.form.tobytes() for house in houses}) == 1
    assert all(
        house.recipe == Recipe(seed=5, brief=Brief(plot=(20, 24), gate="south")) for house in houses
    )


def test_a_stage_may_have_a_seed_of_its_own() -> None:
    house = design(5, SMALL, lamps=3, fittings=2)
    assert house.recipe.stage_seeds == (("fittings", 2), ("lamps", 3))
    assert house.recipe.seed_of("fittings") == 2
    assert house.recipe.seed_of("roof") == 5


def test_what_is_wrong_is_raised_by_name() -> None:
    with pytest.raises(BriefError, match="stage 'attic'"):
        design(5, attic=3)
    with pytest.raises(InfeasibleError):
        design(5, {"plot": [3, 3]})
    with pytest.raises(BriefError):
        design(-5)
    with pytest.raises(genhouse.GenhouseError):
        design(5, {"gate": "up"})


def test_a_house_is_saved_and_loaded_as_it_was(tmp_path: Path) -> None:
    house = design(5, SMALL)
    folder = house.save(tmp_path / "kept")
    again = load(folder)
    assert again.plan == house.plan
    for name in ("material", "form", "stage", "room", "shapes"):
        assert np.array_equal(getattr(again.voxels, name), getattr(house.voxels, name))
    assert again.voxels.about == house.voxels.about
    with pytest.raises(UnreadableError):
        load(tmp_path)


def test_a_house_is_inspected_counted_and_drawn() -> None:
    house = design(5, SMALL)
    assert house.inspect().clean
    assert sum(line.count for line in house.bill()) == int((house.voxels.form > 0).sum())
    assert house._repr_png_().startswith(b"\x89PNG\r\n\x1a\n")
    assert set(house.finishes) == {m.name for m in house.voxels.about.materials[1:]}
    with pytest.raises(ValueError, match="not 'sideways'"):
        house.picture("sideways")


def test_a_recipe_and_a_house_travel_between_processes() -> None:
    house = make(Recipe(seed=5, brief=Brief(plot=(20, 24))))
    assert pickle.loads(pickle.dumps(house.recipe)) == house.recipe
    again: House = pickle.loads(pickle.dumps(house))
    assert again.plan == house.plan
    assert np.array_equal(again.voxels.form, house.voxels.form)
