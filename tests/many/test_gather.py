"""Gathering, and the choice from what was gathered."""

from __future__ import annotations

from unittest.mock import patch

import pytest

from genhouse import sound
from genhouse.core.axes import SIDES
from genhouse.generate.recipe import design_house, design_shell
from genhouse.house import make
from genhouse.inspection.verdict import Finding
from genhouse.many.cards import cards
from genhouse.many.choose import choose
from genhouse.many.distinct import ALIKE
from genhouse.many.folder import best_ideas
from genhouse.many.gather import gather
from genhouse.many.rank import aims
from genhouse.model.brief import Brief, Recipe, Wish
from genhouse.outputs.figures._tables import Figures
from genhouse.outputs.figures.named_figures import NAMED

RECIPES = [Recipe(seed=seed) for seed in range(4)]
TURNED = [Recipe(seed=n, brief=Brief(gate=side)) for n, side in enumerate(SIDES, 4)]
HOPELESS = Brief(plot=(17, 19), rooms=(Wish(kind="sleeping", count=9),))


def test_results_do_not_depend_on_the_number_of_processes() -> None:
    assert gather(RECIPES, processes=1) == gather(RECIPES, processes=2)


def test_what_cannot_be_made_is_kept_with_its_reason() -> None:
    ideas, refusals = gather([Recipe(seed=1, brief=HOPELESS), Recipe(seed=2)], processes=1)
    assert [idea.recipe.seed for idea in ideas] == [2]
    assert [refusal.recipe.seed for refusal in refusals] == [1]
    assert refusals[0].reason


def test_what_makes_no_sound_house_is_not_chosen() -> None:
    """A shell tells nothing of it; the next best takes its place."""
    wanted, kept = aims("privacy"), sound._tried
    best = best_ideas(RECIPES, wanted, 1, processes=1)[0].picks[0].idea.recipe
    leans = Finding(check="standing", where=(), count=1, sentence="it leans")
    with patch.object(sound, "_tried", lambda r, a: leans if r == best else kept(r, a)):
        choice, refusals = best_ideas(RECIPES, wanted, len(RECIPES), processes=1)
    assert best not in [pick.idea.recipe for pick in choice.picks]
    assert len(choice.picks) == len(RECIPES) - 1
    assert [refusal.recipe for refusal in refusals] == [best]
    assert "in the first, it leans" in refusals[0].reason


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


@pytest.mark.parametrize("best", [1, 2])
def test_the_best_comes_first(best: int) -> None:
    ideas, _ = gather(RECIPES, processes=1)
    choice = choose(ideas, aims("-floor"), best)
    assert choice.picks[0].idea.figures.floor == min(i.figures.floor for i in ideas)
    assert len(choice.picks) == best


@pytest.mark.parametrize(
    "recipe", [*RECIPES, *TURNED], ids=lambda r: f"{r.seed}{r.brief.gate or ''}"
)
def test_a_shell_has_the_figures_of_its_house(recipe: Recipe) -> None:
    (shell,), _ = gather([recipe], processes=1)
    (whole,), _ = gather([recipe], whole=True, processes=1)
    assert isinstance(whole.figures, Figures)
    assert not isinstance(shell.figures, Figures)
    assert shell.features == whole.features
    for figure in NAMED:
        if figure.whole:
            with pytest.raises(TypeError):
                figure.read(shell.figures)
        else:
            assert figure.read(shell.figures) == figure.read(whole.figures)


def test_a_shell_is_part_of_its_house() -> None:
    shell, house = design_shell(RECIPES[0]), design_house(RECIPES[0])
    finish = ("mats", "court", "fittings", "lamps")
    both = ([p for p in one.parts if p.stage not in finish] for one in (shell, house))
    assert next(both) == next(both)
    assert {*shell.parts} <= {*house.parts}
    assert {p.stage for p in house.parts} > {p.stage for p in shell.parts}
    assert (shell.rooms, shell.segments, shell.covers) == (
        house.rooms,
        house.segments,
        house.covers,
    )


def test_cards_come_in_order_whatever_the_number_of_processes() -> None:
    alone, shared = cards(RECIPES[:2], processes=1), cards(RECIPES[:2], processes=2)
    assert alone == shared
    assert [card.figures for card in alone] == [make(recipe).figures() for recipe in RECIPES[:2]]
