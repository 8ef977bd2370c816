"""A farm keeps to the rules that its folder numbers."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

import numpy as np

from genhouse.house import make
from genhouse.model.brief import Brief, Recipe
from genhouse.model.design import Design
from genhouse.traditions.loader import load_tradition

FARM = load_tradition("farm")
SEEDS = range(60, 84)
STALLS = {"byre", "stable", "sty", "henhouse", "barn", "cartshed"}


@cache
def plan(seed: int) -> Design:
    return make(Recipe(seed=seed, brief=Brief(tradition="farm"))).plan


def plans() -> Iterator[Design]:
    return map(plan, SEEDS)


def test_one_yard_or_two_and_nobody_comes_from_the_north() -> None:
    """[1] and [2]: the dwelling looks to the sun over the yard (Vitruvius VI.6, of farms: toward the east
    and the south)."""
    for design in plans():
        assert 1 <= len(design.courts) <= 2 + (design.arrangement == "side-yard")
        assert design.gate_side != "north"


def test_a_farm_has_a_dwelling_and_stalls_and_a_barn() -> None:
    """Vitruvius VI.6.1 to 5: kitchen, byre, stable, barn."""
    for design in plans():
        kinds = {room.kind for room in design.rooms}
        assert "kitchen" in kinds
        assert kinds & {"living", "parlour"}, design.recipe.seed
        assert kinds & STALLS, design.recipe.seed


def beside(design: Design, one: str, other: str) -> bool | None:
    """Whether a room of one kind shares a wall with one of another; None where one of them is missing."""
    kinds = {room.id: room.kind for room in design.rooms}
    if not {one, other} <= set(kinds.values()):
        return None
    pairs = [{kinds.get(s.low, ""), kinds.get(s.high, "")} for s in design.segments]
    return {one, other} in pairs


def test_the_byre_lies_by_the_kitchen_more_often_than_far_from_it() -> None:
    """Vitruvius VI.6.1: the ox stalls next to the kitchen, facing the hearth."""
    found = [near for d in plans() if (near := beside(d, "byre", "kitchen")) is not None]
    apart = [near for d in plans() if (near := beside(d, "byre", "parlour")) is not None]
    assert len(found) > len(SEEDS) // 2
    assert sum(found) * max(1, len(apart)) > sum(apart) * len(found)


def test_posts_stand_as_far_apart_as_is_said() -> None:
    """[3] three to five cells clear, [4] ranges six cells deep and more but for what leans on them."""
    assert FARM.bays.gaps == (3, 4, 5)
    assert min(FARM.bays.spans) >= 6


def test_reed_lies_at_45_degrees_or_steeper() -> None:
    """[5] the ridge stands half the widest span over the eaves, but for the cell that caps it."""
    assert min(profile.sun for profile in FARM.roof.profiles) >= 10
    for seed in list(SEEDS)[:6]:
        house = make(Recipe(seed=seed, brief=Brief(tradition="farm")))
        stage = house.voxels.about.stages.index("roof")
        roof = (house.voxels.stage == stage) & (house.voxels.form > 0)
        top = np.where(roof.any(axis=2), roof.shape[2] - np.argmax(roof[:, :, ::-1], axis=2), 0)
        widest = max(min(wing.width, wing.depth) for wing in house.plan.wings)
        assert top.max() - house.voxels.about.eaves >= widest // 2 - 1


def test_its_words_are_a_farms() -> None:
    """Kinds of room in its own words, and steps; three palettes."""
    assert {"byre", "dairy", "barn", "hayloft", "granary"} <= dict(FARM.kinds).keys()
    assert len(FARM.palettes) == 3
    steps = {step.name: step for step in FARM.steps}
    assert "thatch" in steps["slopes"].title.lower()
