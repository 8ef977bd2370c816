"""The recipe: a design is whole, frozen, and says what it was made from."""

from __future__ import annotations

from dataclasses import FrozenInstanceError, replace

import pytest

from genhouse.core.digest import digest
from genhouse.core.errors import BriefError, InfeasibleError
from genhouse.generate import recipe as recipes
from genhouse.generate.recipe import design_house
from genhouse.model.brief import Brief, Recipe
from genhouse.model.digests import digests
from genhouse.model.part import STAGES
from genhouse.model.raster import raster
from genhouse.traditions.loader import load_tradition
from tests.houses import SEEDS, house


@pytest.mark.parametrize("seed", SEEDS)
def test_parts_come_in_building_order_and_claim_no_cell_twice(seed: int) -> None:
    design = house(seed).plan
    order = [STAGES.index(part.stage) for part in design.parts]
    assert order == sorted(order)
    assert set(order) == set(range(len(STAGES)))
    claimed = sum(part.box.volume for part in design.parts)
    assert claimed == int((house(seed).voxels.form > 0).sum())


def test_a_design_is_frozen_all_the_way_down() -> None:
    """Only what is frozen has a digest."""
    design = design_house(Recipe(seed=3, brief=Brief(plot=(22, 28))))
    assert digest(design) == digest(design_house(design.recipe))
    with pytest.raises(FrozenInstanceError):
        design.plot = (1, 1)  # type: ignore[misc]


def test_what_cannot_be_made_is_refused_before_anything_is_designed() -> None:
    with pytest.raises(InfeasibleError, match="17 x 19 would work"):
        design_house(Recipe(seed=1, brief=Brief(plot=(2, 2))))
    with pytest.raises(BriefError, match="seed"):
        design_house(Recipe(seed=-1))


@pytest.mark.parametrize("seed", SEEDS)
def test_the_visitor_stands_at_the_plots_edge_on_the_gates_side(seed: int) -> None:
    design = house(seed).plan
    assert design.gate_side == "south"
    assert design.gate[1] == 0
    assert 0 <= design.gate[0] < design.plot[0]
    assert design.gate[2] % 4 == 0


def test_a_shell_that_is_kept_is_the_one_that_would_be_made_anew() -> None:
    """What later stages alone read leaves it alone, and is read all the same."""
    first = Recipe(seed=7, brief=Brief(plot=(21, 26)))
    palettes = [p.name for p in load_tradition("timber").palettes]
    others = [
        replace(first, brief=replace(first.brief, garden="pond")),
        replace(first, brief=replace(first.brief, palette=palettes[-1])),
        replace(first, brief=replace(first.brief, light=14, client="Orla")),
        replace(first, stage_seeds=(("court", 3), ("fittings", 5), ("lamps", 2))),
    ]
    recipes._closed.cache_clear()
    design_house(first)
    kept = [digests(raster(design_house(other))) for other in others]
    assert recipes._closed.cache_info().hits == len(others)
    for other, found in zip(others, kept, strict=True):
        recipes._closed.cache_clear()
        anew = design_house(other)
        assert digests(raster(anew)) == found
        assert anew.recipe == other
