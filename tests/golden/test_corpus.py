"""The corpus: a sample of it each time, the whole where wide sweeps are run, and how a change is told.

``python -m tests.golden.corpus --renew`` makes it, and says what changed.
"""

from __future__ import annotations

import os

import pytest

from genhouse.model.brief import Recipe
from tests.golden.corpus import (
    MIXED,
    PLAIN,
    REFUSED,
    SAMPLE,
    entry,
    first_changed,
    kept,
    recipe,
)

KEPT = kept()
LOOKED_AT = range(PLAIN + MIXED) if os.environ.get("GENHOUSE_CORPUS") else SAMPLE


@pytest.mark.parametrize("number", LOOKED_AT if KEPT else ())
def test_a_recipe_makes_the_house_that_it_made(number: int) -> None:
    """GENHOUSE_CORPUS=1 looks at all of them."""
    found = entry(recipe(number))
    assert found == KEPT[number], f"first changed: {first_changed(KEPT[number], found)}"


@pytest.mark.skipif(not KEPT, reason="the corpus is yet to be made")
def test_the_corpus_is_of_a_thousand_recipes_a_few_bytes_each() -> None:
    assert len(KEPT) == PLAIN + MIXED == 1000
    assert max(map(len, KEPT)) <= 24


def test_recipes_of_the_corpus_are_all_unlike() -> None:
    assert len({recipe(n) for n in range(PLAIN + MIXED)}) == PLAIN + MIXED


def test_a_change_is_told_from_the_first_stage_that_moved() -> None:
    """Site, rooms, frame, walls, and so on: two digits each, worked by hand."""
    old = "00112233445566778899aabb"
    assert first_changed(old, old) == ""
    assert first_changed(old, "00112233445566778899aabc") == "lamps"
    assert first_changed(old, "00ff2233445566778899aabc") == "rooms"
    assert first_changed(old, REFUSED) == "outcome"
    assert first_changed(REFUSED, REFUSED) == ""


def test_an_entry_is_of_the_cells_alone() -> None:
    house = recipe(3)
    assert entry(house) == entry(Recipe(seed=3, brief=house.brief))
    assert len(entry(house)) == 24
