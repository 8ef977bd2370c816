"""Many houses as a table: what each says of itself, whoever counts, and a sentence for what is no house."""

from __future__ import annotations

import sys

import pytest

import genhouse
from genhouse.core.errors import BriefError
from genhouse.model.brief import Brief, Recipe

pd = pytest.importorskip("pandas")
BRIEF = {"plot": (19, 22)}


def test_a_table_has_a_row_a_recipe_in_their_order() -> None:
    table = genhouse.figures([9, 7], BRIEF, engine="here")
    assert isinstance(table, pd.DataFrame)
    for n, seed in enumerate((9, 7)):
        house = genhouse.design(seed, BRIEF)
        row = table.iloc[n]
        assert row.seed == str(seed)
        assert row.pieces == house.figures().solid
        assert row.digest == house.digest
        assert row.court_light == house.figures().court_light


def test_whoever_counts_counts_the_same_and_refusals_are_rows() -> None:
    recipes = [
        Recipe(seed=3, brief=Brief(plot=(17, 19), courts=3)),
        Recipe(seed=4, brief=Brief(plot=(19, 22))),
    ]
    here = genhouse.figures(recipes, engine="here")
    pool = genhouse.figures(recipes, processes=2)
    pd.testing.assert_frame_equal(here.drop(columns="seconds"), pool.drop(columns="seconds"))
    assert list(here.outcome) == ["refused", "made"]
    assert here.pieces.isna().tolist() == [True, False]


def test_what_is_no_recipe_is_refused_in_a_sentence(monkeypatch: pytest.MonkeyPatch) -> None:
    with pytest.raises(BriefError, match="seed: 'x' is not a whole number"):
        genhouse.figures(["x"])
    with pytest.raises(BriefError, match="recipes: int is no list of them"):
        genhouse.figures(7)
    with pytest.raises(BriefError, match="'steam' is none"):
        genhouse.figures([7], engine="steam")
    monkeypatch.setitem(sys.modules, "pandas", None)
    with pytest.raises(BriefError, match=r"pip install 'genhouse\[survey\]' brings it"):
        genhouse.figures([7])


def test_a_notebook_shows_picture_plans_and_figures() -> None:
    house = genhouse.design(7)
    text = house._repr_html_()
    assert text.count("<img src=") == 1
    assert text.count("<svg") == max(room.level for room in house.plan.rooms)
    assert f"{house.figures().solid // 1000} {house.figures().solid % 1000:03}" in text
    assert "http" not in text.replace("http://www.w3.org", "")
