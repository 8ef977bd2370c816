"""Gathering, and the choice from what was gathered."""

from __future__ import annotations

import pytest

from genhouse.ideas import gather as gathering
from genhouse.ideas.choose import choose
from genhouse.ideas.distinct import ALIKE
from genhouse.ideas.gather import gather, spread_out
from genhouse.ideas.rank import aims
from genhouse.model.brief import Brief, Recipe, Wish

RECIPES = [Recipe(seed=seed) for seed in range(4)]
HOPELESS = Brief(plot=(17, 19), rooms=(Wish(kind="sleeping", count=9),))


def test_results_do_not_depend_on_the_number_of_processes() -> None:
    assert gather(RECIPES, processes=1) == gather(RECIPES, processes=2)


def test_results_keep_the_order_of_their_tasks() -> None:
    assert spread_out(abs, [-5, 3, -1, 0], 2, 1) == [5, 3, 1, 0]


def test_what_cannot_be_made_is_kept_with_its_reason() -> None:
    ideas, refusals = gather([Recipe(seed=1, brief=HOPELESS), Recipe(seed=2)], processes=1)
    assert [idea.recipe.seed for idea in ideas] == [2]
    assert [refusal.recipe.seed for refusal in refusals] == [1]
    assert refusals[0].reason


def test_no_two_of_the_choice_are_alike() -> None:
    twice = [RECIPES[0], Recipe(seed=0, stage_seeds=(("lamps", 5),)), *RECIPES[1:]]
    ideas, _ = gather(twice, processes=1)
    choice = choose(ideas, aims("privacy"), 12)
    assert choice.dropped == 1
    assert len(choice.picks) == len(RECIPES)
    assert choice.least >= ALIKE
    assert [pick.place for pick in choice.picks] == sorted(pick.place for pick in choice.picks)
    assert [pick.score for pick in choice.picks] == sorted(
        (pick.score for pick in choice.picks), reverse=True
    )


def test_one_house_has_no_nearest() -> None:
    ideas, _ = gather(RECIPES[:1], processes=1)
    assert choose(ideas, aims("privacy"), 3).picks[0].nearest is None


def test_the_machine_has_a_core() -> None:
    assert gathering.cores() >= 1


@pytest.mark.parametrize("best", [1, 2])
def test_the_best_comes_first(best: int) -> None:
    ideas, _ = gather(RECIPES, processes=1)
    choice = choose(ideas, aims("-floor"), best)
    assert choice.picks[0].idea.figures.floor == min(i.figures.floor for i in ideas)
    assert len(choice.picks) == best


def test_a_kept_design_is_the_house() -> None:
    (kept,), _ = gather(RECIPES[:1], keep=True, processes=1)
    (plain,), _ = gather(RECIPES[:1], processes=1)
    assert kept.packed
    assert kept.house().plan == plain.house().plan
    assert (kept.house().voxels.form == plain.house().voxels.form).all()
