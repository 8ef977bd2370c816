"""Random briefs: every key is drawn, a number remakes its recipe, and so does the line that is printed."""

from __future__ import annotations

from dataclasses import fields

import genhouse
from genhouse.core.errors import GenhouseError
from genhouse.generate.briefs import parse_brief
from genhouse.model.brief import Brief, Recipe, RoofWish, Wish
from genhouse.traditions.shelf import check_recipe
from tests.briefs import line, recipe

MANY = tuple(map(recipe, range(600)))


def test_every_key_is_drawn_otherwise_than_it_is_left_out() -> None:
    for kind, made in (
        (Brief, [r.brief for r in MANY]),
        (RoofWish, [r.brief.roof for r in MANY]),
        (Wish, [wish for r in MANY for wish in r.brief.rooms]),
    ):
        for field in fields(kind):
            values = {getattr(one, field.name) for one in made}
            assert len(values) > 1 or field.name == "tradition", field.name


def test_most_recipes_do_not_contradict_themselves_and_some_do() -> None:
    refused = 0
    for one in MANY:
        try:
            check_recipe(one)
        except GenhouseError:
            refused += 1
    assert 0 < refused < len(MANY) // 8


def test_the_line_that_is_printed_remakes_the_recipe() -> None:
    def design(seed: int, brief: dict[str, object] | None = None, **stages: int) -> Recipe:
        return Recipe(
            seed=seed, brief=parse_brief(brief or {}), stage_seeds=tuple(sorted(stages.items()))
        )

    said = 0
    for one in MANY:
        call = line(one).removeprefix(f"{genhouse.__name__}.")
        try:
            assert eval(call, {"design": design}) == one
            said += 1
        except GenhouseError:
            continue  # it contradicts itself, and its words are refused as its values are
    assert said > len(MANY) // 2
