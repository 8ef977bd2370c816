"""A row says of a house what the house says itself, and is a function of the recipe."""

from __future__ import annotations

import hashlib

import numpy as np
import pytest

from genhouse.house import make
from genhouse.model.brief import Brief, Recipe, Wish
from genhouse.outputs.figures.named_figures import NAMED
from genhouse.survey import row
from genhouse.survey.row import COLUMNS, DIGESTS, FIGURES, row_of
from tests.survey.small import SAME

SMALL = Recipe(seed=41, brief=Brief(plot=(20, 23)))


def named(recipe: Recipe) -> dict[str, row.Value]:
    return dict(zip(COLUMNS, row_of(recipe), strict=True))


def test_columns_bear_one_name_each_and_need_no_quotes() -> None:
    words = [*row.WORDS, *FIGURES, *DIGESTS]
    assert len(set(words)) == len(words)
    assert all(name.isidentifier() and name.islower() for name in COLUMNS)


def test_a_row_says_what_the_house_says() -> None:
    found, house = named(SMALL), make(SMALL)
    assert (found["outcome"], found["findings"], found["seed"]) == ("made", "", "41")
    assert found["digest"] == house.digest
    assert (found["width"], found["length"]) == (20, 23)
    assert found["pieces"] == int(np.count_nonzero(house.voxels.form))
    assert found["rooms"] == sum(entry.indoor for entry in house.voxels.about.rooms)
    assert sum(found[f"cells_{name}"] for name in house.voxels.about.stages[1:]) == found["pieces"]
    for figure in NAMED:
        assert found[figure.name.replace("-", "_")] == figure.read(house.figures())
    rooms = hashlib.sha256(house.voxels.room.astype("<u2").tobytes()).hexdigest()
    assert found["digest_rooms"] == rooms[:16]


def test_the_same_recipe_has_the_same_row_but_for_its_seconds() -> None:
    first, again = named(SMALL), named(SMALL)
    assert [first[name] for name in SAME] == [again[name] for name in SAME]
    assert first["seconds"] > 0


def test_what_no_house_answers_is_told_with_the_reason() -> None:
    found = named(Recipe(seed=3, brief=Brief(plot=(17, 19), courts=3)))
    assert (found["outcome"], found["findings"], found["digest"]) == ("refused", "", None)
    assert "plot 37 x 39 or this without 3 x court would work" in str(found["reason"])


def test_a_fault_of_the_program_is_a_row_too(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(_: Recipe) -> None:
        raise KeyError("beam")

    monkeypatch.setattr(row, "sound", broken)
    found = named(SMALL)
    assert (found["outcome"], found["findings"]) == ("failed", "KeyError: 'beam'")


def test_a_recipe_is_read_back_from_its_row() -> None:
    from genhouse.generate.remade import read_recipe

    wish = Wish(kind="study", count=2, away=("kitchen",))
    brief = Brief(plot=(30, 40), rooms=(wish,), light=4, gallery=True)
    recipe = Recipe(seed=(1 << 64) - 1, brief=brief, stage_seeds=(("roof", 3),))
    assert read_recipe(row.recipe_text(recipe)) == recipe
