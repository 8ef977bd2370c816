"""Strategies shrink to seed 0 and to a brief that says only what an example fails for."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from hypothesis import find, given, settings

from genhouse.core.errors import BriefError, InfeasibleError
from genhouse.model.brief import Brief, Recipe
from genhouse.strategies import briefs, broken_houses, recipes

SETTINGS = settings(max_examples=600, database=None, derandomize=True, deadline=None)
LEAST: dict[str, tuple[Callable[[Recipe], bool], Recipe]] = {
    "courts": (
        lambda r: r.brief.courts is not None,
        Recipe(seed=0, brief=Brief(courts=1)),
    ),
    "a wide plot": (
        lambda r: r.brief.plot is not None and r.brief.plot[0] > 30,
        Recipe(seed=0, brief=Brief(plot=(31, 19))),
    ),
    "a seed of a stage's own": (
        lambda r: bool(r.stage_seeds),
        Recipe(seed=0, stage_seeds=(("lamps", 0),)),
    ),
}


@pytest.mark.parametrize("what", LEAST)
def test_a_failing_recipe_shrinks_to_what_it_fails_for(what: str) -> None:
    fails, least = LEAST[what]
    assert find(recipes(), fails, settings=SETTINGS) == least


@SETTINGS
@given(briefs(plot=(20, 23)))
def test_keys_that_are_given_are_all_that_is_said(brief: Brief) -> None:
    assert brief == Brief(plot=(20, 23))


def test_what_makes_no_sense_is_refused_in_a_sentence() -> None:
    @SETTINGS
    @given(briefs(plot=(3, 3)))
    def small(_: Brief) -> None: ...

    @SETTINGS
    @given(broken_houses(faults=["a hole in the hat"]))
    def hatless(_: object) -> None: ...

    with pytest.raises(InfeasibleError, match="plot: 3 x 3 does not do"):
        small()
    with pytest.raises(BriefError, match="there is none called 'a hole in the hat'"):
        hatless()
