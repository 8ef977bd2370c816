"""Offers: each is tried before it is made, and a refusal says whether another seed could help."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

import pytest

from genhouse.core.effort import SpentError, counted
from genhouse.core.errors import InfeasibleError
from genhouse.core.progress import watched
from genhouse.generate.layout import works
from genhouse.generate.offers import explained, offers
from genhouse.generate.recipe import design_house
from genhouse.generate.why import wishes, without
from genhouse.model.brief import Brief, Recipe, RoofWish, Wish
from tests.briefs import recipe

REFUSED = (
    Recipe(
        seed=5,
        brief=Brief(plot=(17, 19), rooms=(Wish(kind="sleeping", count=9), Wish(kind="bath"))),
    ),
    Recipe(
        seed=5,
        brief=Brief(plot=(19, 23), rooms=(Wish(kind="kitchen", area=(70, 90)), Wish(kind="tea"))),
    ),
    Recipe(seed=5, brief=Brief(closed=3, courts=1, gallery=4)),
    Recipe(seed=5, brief=Brief(low=("cross",), garden="moss")),
    Recipe(seed=9, brief=Brief(plot=(17, 19), roof=RoofWish(dormers=8))),
)


def refusal(asked: Recipe) -> InfeasibleError | None:
    try:
        design_house(asked)
    except InfeasibleError as error:
        return error
    return None


def accepting(asked: Recipe, offer: str) -> Recipe:
    """The recipe with what is offered."""
    brief = asked.brief
    if match := re.fullmatch(r"plot (\d+) x (\d+)", offer):
        return replace(asked, brief=replace(brief, plot=(int(match[1]), int(match[2]))))
    if offer == "the plot left open":
        return replace(asked, brief=replace(brief, plot=None))
    if match := re.fullmatch(r"seed (\d+)", offer):
        return replace(asked, seed=int(match[1]))
    if match := re.fullmatch(r"(\d+) x ([a-z]+)", offer):
        lines = [
            n for n, w in enumerate(brief.rooms) if w.kind == match[2] and w.count > int(match[1])
        ]
        rooms = list(brief.rooms)
        rooms[lines[0]] = replace(rooms[lines[0]], count=int(match[1]))
        return replace(asked, brief=replace(brief, rooms=tuple(rooms)))
    named = [r for r in wishes(brief) if re.search(rf"{re.escape(r.text)}(?: and |$)", offer)]
    lesser = offer.startswith("nothing but ")
    given_up = [r for r in wishes(brief) if r not in named] if lesser else named
    assert given_up, offer
    return replace(asked, brief=without(brief, given_up))


@pytest.mark.parametrize("asked", REFUSED, ids=range(len(REFUSED)))
def test_what_is_offered_is_a_whole_house(asked: Recipe) -> None:
    error = refusal(asked)
    assert error is not None
    assert error.offers
    for offer in error.offers:
        assert design_house(accepting(asked, offer)), offer


def test_what_is_offered_for_whole_random_briefs_is_a_whole_house() -> None:
    seen = 0
    for number in range(8):
        asked = recipe(number)
        try:
            error = refusal(asked)
        except ValueError:  # it contradicts itself
            continue
        for offer in (
            error.offers if error is not None and error.message.startswith("brief") else ()
        ):
            assert design_house(accepting(asked, offer)), (number, offer)
            seen += 1
    assert seen


def test_a_refusal_says_whether_another_seed_could_help() -> None:
    with pytest.raises(
        InfeasibleError, match=r"with seed 5 no house was found that has all of: plot"
    ):
        design_house(REFUSED[0])
    with pytest.raises(InfeasibleError, match=r"brief: no house has all of: .*; a gallery on 4"):
        design_house(REFUSED[2])
    with pytest.raises(InfeasibleError, match=r"no house has one storey in the cross wing"):
        design_house(REFUSED[3])


def test_another_seed_is_offered_where_one_works() -> None:
    asked = Recipe(seed=5, brief=Brief(plot=(30, 40)))
    made: list[int] = []

    def stands(tried: Recipe) -> None:
        made.append(tried.seed)

    assert offers(asked, (), stands)[-1].text == "seed 6"
    assert made[-1] == 6
    assert "seed 6" not in [o.text for o in offers(asked, (), stands, other_seeds=False)]


TIGHT = (
    {"plot": (17, 19), "arrangement": "pinwheel"},
    {"rooms": (Wish(kind="study", count=60),)},
    {"plot": (25, 31), "rooms": (Wish(kind="study", count=24),)},
    {"plot": (19, 21), "courts": 3},
    {"plot": (17, 19), "low": ("front",), "gallery": 4},
)


@pytest.mark.parametrize("wishes", TIGHT, ids=range(len(TIGHT)))
def test_what_is_dear_to_try_leaves_enough_for_what_is_cheap(wishes: dict[str, Any]) -> None:
    """Each kind of offer has its own share: two of them are found, at least."""
    error = refusal(Recipe(seed=7, brief=Brief(**wishes)))
    assert error is not None
    assert len(error.offers) >= 2


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_where_nothing_small_helps_all_that_finds_no_place_is_given_up(seed: int) -> None:
    rooms = (Wish(kind="library", count=5), Wish(kind="study", count=9))
    asked = Recipe(seed=seed, brief=Brief(plot=(17, 19), rooms=rooms))
    error = refusal(asked)
    assert error is not None
    assert error.offers
    assert design_house(accepting(asked, error.offers[-1]))


def test_no_search_goes_on_beyond_what_may_be_spent(monkeypatch: pytest.MonkeyPatch) -> None:
    from genhouse.generate import offers as module

    spent = []

    def counting(recipe: Recipe, spend: Any) -> bool:
        done, steps = counted(lambda: _tried(works, recipe, spend))
        spent.append(steps)
        if done is None:
            raise SpentError
        return bool(done)

    monkeypatch.setattr(module, "works", counting)
    assert refusal(Recipe(seed=3, brief=Brief(plot=(23, 25), arrangement="pinwheel", courts=2)))
    assert sum(spent) < 1.25 * module.EFFORT


def _tried(work: Any, *given: Any) -> bool | None:
    try:
        return bool(work(*given))
    except SpentError:
        return None


def test_what_does_not_stand_is_not_offered() -> None:
    def falls(_: Recipe) -> None:
        raise InfeasibleError("it is dark", stage="lamps")

    error = explained(InfeasibleError("no", stage="rooms"), REFUSED[0], falls)
    assert error.offers == ()
    assert "would work" not in str(error)


def test_the_kitchen_is_not_offered_away() -> None:
    error = refusal(REFUSED[1])
    assert error is not None
    assert not any(re.search(r"without rooms 1: \d", offer) for offer in error.offers)


def test_a_refusal_says_how_far_the_search_for_what_would_work_has_come() -> None:
    seen: list[tuple[str, int, int]] = []
    with watched(lambda *step: seen.append(step)):
        assert refusal(REFUSED[0]) is not None
    assert {what for what, *_ in seen} == {"what would work"}
    assert all(done > 0 for _, done, _ in seen)
