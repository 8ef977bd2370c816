"""Neighbours: each changes one thing; and another house shares what is kept."""

from __future__ import annotations

from dataclasses import fields

import pytest

from genhouse.core.errors import GenhouseError
from genhouse.desk.near import again, neighbours
from genhouse.house import make
from genhouse.model.brief import Brief, Recipe
from genhouse.model.digests import digests

RECIPES = (
    Recipe(seed=7),
    Recipe(seed=3, brief=Brief(plot=(23, 28), gate="east", garden="pond", storeys=2)),
    Recipe(seed=5, brief=Brief(plot=(45, 61)), stage_seeds=(("fittings", 9),)),
)
TOGETHER = {"plot", "plot_least", "plot_most"}, {"storeys", "low"}
"""Keys of one wish."""


@pytest.mark.parametrize("recipe", RECIPES)
def test_a_neighbour_changes_one_thing(recipe: Recipe) -> None:
    found = list(neighbours(recipe, make(recipe).plan))
    assert len(found) > 8
    assert len({other for _, other in found}) == len(found)
    names = [field.name for field in fields(Brief)]
    for text, other in found:
        here, there = recipe.brief, other.brief
        keys = {n for n in names if getattr(here, n) != getattr(there, n)}
        stages = set(recipe.stage_seeds) ^ set(other.stage_seeds)
        changes = bool(keys) + bool(stages) + (recipe.seed != other.seed)
        assert changes == 1, text
        assert len(keys) <= 1 or any(keys <= together for together in TOGETHER)


def test_eight_of_them_stand_in_most_houses() -> None:
    for seed in (1, 2, 3):
        stand = 0
        for _, other in neighbours(Recipe(seed=seed), make(Recipe(seed=seed)).plan):
            try:
                make(other)
            except GenhouseError:
                continue
            stand += 1
        assert stand >= 8


def test_what_is_kept_is_the_same_to_the_byte() -> None:
    recipe = RECIPES[1]
    before = digests(make(recipe).voxels)[0]
    after = digests(make(again(recipe, ["roof"], 4)).voxels)[0]
    assert {s for s in before if before[s] == after[s]} >= {"site", "frame", "walls", "roof"}
    assert before["fittings"] != after["fittings"]


def test_with_nothing_kept_it_is_the_next_house() -> None:
    assert again(RECIPES[2], [], 1) == Recipe(seed=6, brief=RECIPES[2].brief)
