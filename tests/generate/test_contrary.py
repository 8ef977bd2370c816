"""Briefs that contradict themselves: what they are told conflicts, and what is offered stands."""

from __future__ import annotations

from dataclasses import replace
from unittest.mock import patch

import pytest

from genhouse.core.errors import BriefError, GenhouseError
from genhouse.generate import contrary as module
from genhouse.generate import mixed
from genhouse.generate.contrary import contrary
from genhouse.generate.recipe import design_shell
from genhouse.generate.why import wishes, without
from genhouse.model.brief import Brief, Recipe, RoofWish, Wish
from genhouse.traditions.shelf import check_brief, names

CONTRARY = {
    "an outline beside a plot": (
        Brief(plot=(30, 40), outline=((0, 0), (30, 0), (30, 30), (18, 30), (18, 42), (0, 42))),
        {("plot",), ("outline",)},
    ),
    "a gallery without upper rooms": (
        Brief(storeys=1, gallery=True, palette="frost"),
        {("storeys",), ("gallery",)},
    ),
    "one form for a wing that cannot have it": (
        Brief(roof=RoofWish(right="two-tier", front="hip")),
        {("roof", "right")},
    ),
    "a palette of another way of building": (Brief(palette="ochre"), {("palette",)}),
    "a room too many": (
        Brief(rooms=(Wish(kind="bath"), Wish(kind="study", storey=2)), storeys=1),
        {(1, "count"), (1, "storey"), ("storeys",)},
    ),
}


@pytest.mark.parametrize("asked", CONTRARY)
def test_the_conflict_is_minimal_and_its_offers_stand(asked: str) -> None:
    brief, keys = CONTRARY[asked]
    with pytest.raises(BriefError):
        check_brief(brief)
    found, ways = contrary(Recipe(seed=5, brief=brief), design_shell)
    assert {r.key for r in found} == keys
    for one in found:
        rest = [r for r in found if r != one]
        check_brief(without(brief, [r for r in wishes(brief) if r not in rest]))
    assert {way.text for way in ways} >= {f"this without {one.text}" for one in found}
    for way in ways:
        assert design_shell(way.recipe)


@pytest.mark.parametrize("tradition", names())
def test_every_brief_that_its_checks_refuse_is_offered_a_way(tradition: str) -> None:
    seen = 0
    with patch.object(mixed, "CONTRARY", (1, 1)):
        drawn = [mixed.recipe(number, tradition) for number in range(40)]
    for asked in drawn:
        try:
            check_brief(asked.brief)
        except GenhouseError:
            found, ways = contrary(asked, lambda tried: check_brief(tried.brief))
            assert found, asked
            assert ways, asked
            seen += 1
        else:
            assert contrary(asked, design_shell) == ((), ())
    assert seen > 10


def test_only_what_stands_is_offered_and_little_is_tried() -> None:
    brief, _ = CONTRARY["a gallery without upper rooms"]
    tried: list[Recipe] = []

    def never(recipe: Recipe) -> None:
        tried.append(recipe)
        raise BriefError("no")

    assert contrary(Recipe(seed=5, brief=brief), never)[1] == ()
    assert 0 < len(tried) <= module.TRIED
    assert without(brief, wishes(brief)) in [recipe.brief for recipe in tried]


def test_a_way_of_building_that_there_is_not_is_no_conflict() -> None:
    nowhere = replace(Brief(palette="frost"), tradition="straw")
    assert contrary(Recipe(seed=5, brief=nowhere), design_shell) == ((), ())
