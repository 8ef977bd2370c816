"""Shrinking: what is left still shows the fault, and nothing of it can be left out."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from genhouse.model.brief import Brief, Recipe, RoofWish, Wish
from genhouse.survey.shrink import smallest

LONG = Recipe(
    seed=123456,
    brief=Brief(
        client="Ada Thorne, Oxmere",
        plot=(36, 44),
        courts=2,
        garden="pond",
        roof=RoofWish(form="hip", swept=True),
        rooms=(Wish(kind="study", count=2, quiet=True), Wish(kind="bath", storey=1)),
    ),
    stage_seeds=(("court", 3), ("roof", 4)),
)
SHOWS: dict[str, tuple[Callable[[Recipe], bool], Recipe]] = {
    "whatever is asked": (lambda _: True, Recipe(seed=0)),
    "a pond and two courts": (
        lambda r: r.brief.garden == "pond" and r.brief.courts == 2,
        Recipe(seed=0, brief=Brief(garden="pond", courts=2)),
    ),
    "a quiet study": (
        lambda r: any(w.kind == "study" and w.quiet for w in r.brief.rooms),
        Recipe(seed=0, brief=Brief(rooms=(Wish(kind="study", quiet=True),))),
    ),
    "a seed of the roof's own, and swept": (
        lambda r: r.seed_of("roof") == 4 and r.brief.roof.swept is True,
        Recipe(seed=0, brief=Brief(roof=RoofWish(swept=True)), stage_seeds=(("roof", 4),)),
    ),
    "its own seed": (lambda r: r.seed == 123456, Recipe(seed=123456)),
}


@pytest.mark.parametrize("what", SHOWS)
def test_the_smallest_recipe_is_found(what: str) -> None:
    shows, least = SHOWS[what]
    assert shows(LONG)
    assert smallest(LONG, shows) == least


def test_no_more_houses_are_tried_than_may_be() -> None:
    tried = []
    found = smallest(LONG, lambda r: bool(tried.append(r)), tries=7)
    assert (found, len(tried)) == (LONG, 7)


def test_a_brief_that_contradicts_itself_is_never_tried() -> None:
    """Rooms by name on a storey that is not there any more: the storeys go last."""
    brief = Brief(storeys=2, rooms=(Wish(kind="study", storey=2),))
    tried: list[Recipe] = []

    def shows(recipe: Recipe) -> bool:
        tried.append(recipe)
        return recipe.brief.storeys == 2 and bool(recipe.brief.rooms)

    found = smallest(Recipe(seed=5, brief=brief), shows)
    assert found.brief == replace(brief, rooms=(Wish(kind="study"),))
