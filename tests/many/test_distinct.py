"""How unlike two houses are."""

from __future__ import annotations

import dataclasses

import pytest

from genhouse.house import make
from genhouse.many.distinct import (
    ALIKE,
    Features,
    distance,
    distances,
    farthest,
    features,
    told_apart,
)
from genhouse.model.brief import Brief, Recipe
from tests.houses import SEEDS, anyhow

FOUND = [
    features(anyhow(seed).plan, anyhow(seed).voxels, anyhow(seed).figures()) for seed in SEEDS[:6]
]


def of(recipe: Recipe) -> Features:
    house = make(recipe)
    return features(house.plan, house.voxels, house.figures())


def test_a_distance_is_even_handed_and_within_bounds() -> None:
    for a in FOUND:
        assert distance(a, a) == 0
        for b in FOUND:
            assert distance(a, b) == distance(b, a)
            assert 0 <= distance(a, b) <= 1


def test_other_seeds_make_other_houses() -> None:
    table = distances(FOUND)
    assert min(value for n, row in enumerate(table) for value in row[:n]) > ALIKE


def test_a_mirrored_or_turned_house_is_the_same_house() -> None:
    plain = of(Recipe(seed=3, brief=Brief(gate="south", plot=(23, 32))))
    mirrored = of(Recipe(seed=3, brief=Brief(gate="south", plot=(23, 32), mirror=True)))
    assert distance(plain, mirrored) < 0.02
    turned = of(Recipe(seed=3, brief=Brief(gate="north", plot=(23, 32))))
    assert distance(plain, turned) < 0.02


def test_other_furniture_is_a_near_duplicate() -> None:
    near = of(Recipe(seed=SEEDS[0], stage_seeds=(("fittings", 3), ("lamps", 4))))
    assert distance(FOUND[0], near) < ALIKE
    kept, dropped = told_apart([FOUND[0], near, FOUND[1]])
    assert (kept, dropped) == ([0, 2], [1])


def line(*places: int) -> list[Features]:
    """Houses that differ in their floor only."""
    plain = dataclasses.replace(FOUND[0], areas=())
    return [dataclasses.replace(plain, areas=(("hall", n), ("loft", 100 - n))) for n in places]


def test_the_choice_spreads_out() -> None:
    """On a line, the farthest from the first is its far end, and then the middle."""
    assert farthest(line(0, 10, 20, 50, 90, 100), 2) == [0, 5]
    assert farthest(line(0, 10, 20, 50, 90, 100), 3) == [0, 3, 5]
    assert farthest(line(0, 10), 5) == [0, 1]
    assert farthest([], 3) == []


@pytest.mark.parametrize(("a", "b", "apart"), [(0, 100, 0.3), (0, 50, 0.15), (30, 30, 0.0)])
def test_the_programme_counts_for_three_tenths(a: int, b: int, apart: float) -> None:
    one, other = line(a, b)
    assert distance(one, other) == pytest.approx(apart)
