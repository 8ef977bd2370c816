"""Households: the programme that follows from who lives in a house, by hand and in whole houses."""

from __future__ import annotations

from collections import Counter

import pytest

from genhouse.core.errors import BriefError, InfeasibleError
from genhouse.generate.briefs import parse_brief
from genhouse.generate.recipe import design_house
from genhouse.model.brief import Brief, Recipe, Wish
from genhouse.model.design import Design
from genhouse.traditions.households import for_household, programme_of, superfluous
from tests.houses import TIMBER

CUSHIONS = {
    name: sum(role.startswith("cushion") for *_, role, _ in fitting.pieces)
    for name, fitting in TIMBER.fittings
}
PILLOWS = {
    name: sum(role == "pillow" for *_, role, _ in fitting.pieces)
    for name, fitting in TIMBER.fittings
    if "sleep" in fitting.tags
}
FILLED = (
    Recipe(seed=1, brief=Brief(people=2, trade="weaver", plot=(21, 26))),
    Recipe(seed=2, brief=Brief(people=5, trade="teacher", plot=(27, 34))),
    Recipe(seed=3, brief=Brief(people=12, plot=(31, 41))),
    Recipe(seed=4, brief=Brief(people=7)),
)


def counted(brief: Brief) -> dict[str, int]:
    return {wish.kind: wish.count for wish in programme_of(brief, TIMBER)}


def test_beds_are_two_to_a_room_and_the_rest_in_a_dormitory() -> None:
    assert counted(Brief(people=1)) == {"sleeping": 1, "dining": 1}
    assert counted(Brief(people=7)) == {"sleeping": 4, "dining": 1}
    assert counted(Brief(people=13)) == {"sleeping": 5, "dormitory": 1, "dining": 2}
    assert counted(Brief()) == {}


def test_a_trade_has_its_rooms_and_what_is_asked_for_comes_first() -> None:
    assert counted(Brief(trade="dyer")) == {"workroom": 1, "weaving": 1}
    own = Wish(kind="sleeping", count=2, court=True)
    brief = Brief(people=9, rooms=(own,))
    assert programme_of(brief, TIMBER)[0] == own
    assert counted(brief)["sleeping"] == 2


def test_on_one_storey_what_is_needed_lies_below() -> None:
    (line,) = programme_of(Brief(trade="weaver", storeys=1), TIMBER)
    assert (line.kind, line.storey) == ("weaving", 1)


def test_a_house_for_two_has_no_dormitory_and_no_second_workshop() -> None:
    brief = Brief(people=2)
    small = for_household(TIMBER, brief)
    assert small.kind("dormitory").most == 0
    assert small.kind("workshop").most == 1
    assert not superfluous(["workshop", "sleeping"], brief, small)
    assert "2 x workshop" in superfluous(["workshop", "workshop"], brief, small)
    assert "1 x dormitory" in superfluous(["dormitory"], brief, small)
    asked = Brief(people=2, rooms=(Wish(kind="workshop", count=2),))
    assert not superfluous(["workshop", "workshop"], asked, for_household(TIMBER, asked))
    assert for_household(TIMBER, Brief()) == TIMBER


def cells_of(design: Design, kind: str) -> list[int]:
    return [room.id for room in design.rooms if room.kind == kind]


@pytest.mark.parametrize("recipe", FILLED, ids=lambda r: f"{r.brief.people} {r.brief.trade}")
def test_everyone_has_a_bed_and_a_place_at_table(recipe: Recipe) -> None:
    """Counted piece by piece: a pillow a bed, a cushion a seat."""
    design, people = design_house(recipe), recipe.brief.people or 0
    dining = cells_of(design, "dining")
    assert sum(PILLOWS.get(p.name, 0) for p in design.placed) >= people
    assert sum(CUSHIONS[p.name] for p in design.placed if p.room in dining) >= people
    kinds = Counter(room.kind for room in design.rooms if room.indoor)
    for kind, count in counted(recipe.brief).items():
        assert kinds[kind] == count
    crafts = {"workroom", "workshop", "bakehouse", "weaving"}
    if recipe.brief.trade:
        assert {k for k in crafts if kinds[k]} <= {*dict(TIMBER.trades)[recipe.brief.trade]}
    if people < 11:
        assert kinds["dormitory"] == 0
        assert kinds["workshop"] <= 1


def test_a_trade_that_there_is_not_is_refused_by_name() -> None:
    with pytest.raises(BriefError, match="there is no trade 'weever'; did you mean 'weaver'"):
        parse_brief({"trade": "weever"})
    with pytest.raises(BriefError, match="people: 99 is not a number from 1 to 16"):
        parse_brief({"people": 99})


def test_who_does_not_fit_is_told_so() -> None:
    with pytest.raises(InfeasibleError, match="plot 17 x 19; a household of 16"):
        design_house(Recipe(seed=1, brief=Brief(plot=(17, 19), people=16)))


def test_the_most_that_may_live_there_is_what_its_rooms_sleep() -> None:
    from genhouse.model.bounds import BOUNDS

    most = sum(each * rooms for _, each, _, rooms in TIMBER.household.sleep)
    assert BOUNDS["people"] == (1, most)
