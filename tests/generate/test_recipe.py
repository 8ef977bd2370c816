"""The recipe: a design is whole, frozen, and says what it was made from."""

from __future__ import annotations

from dataclasses import FrozenInstanceError

import pytest

from genhouse.core.digest import digest
from genhouse.core.errors import BriefError, InfeasibleError
from genhouse.generate.recipe import design_house
from genhouse.model.brief import Brief, Recipe
from genhouse.model.part import STAGES
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
