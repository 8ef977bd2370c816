"""Why not: conflicts are minimal, tested by dropping; offers are tried."""

from __future__ import annotations

from dataclasses import replace

import pytest

from genhouse.core.errors import InfeasibleError
from genhouse.generate.layout import works
from genhouse.generate.recipe import design_house
from genhouse.generate.why import conflict, keeping, offers, requirements
from genhouse.model.brief import Brief, Recipe, Wish

IMPOSSIBLE = (
    Brief(plot=(17, 19), rooms=(Wish(kind="sleeping", count=9), Wish(kind="bath"))),
    Brief(plot=(21, 25), rooms=(Wish(kind="reception", area=(200, 300)), Wish(kind="study"))),
    Brief(
        plot=(19, 23), rooms=(Wish(kind="bath", beside=("study",)), Wish(kind="sleeping", count=7))
    ),
)


@pytest.mark.parametrize("brief", IMPOSSIBLE)
def test_dropping_any_one_of_a_conflict_makes_a_house_possible(brief: Brief) -> None:
    """U. Junker, AAAI 2004: a minimal conflict."""
    found = conflict(brief, lambda b: works(b, 5))
    assert found
    assert not works(keeping(brief, found), 5)
    for one in found:
        assert works(keeping(brief, [r for r in found if r != one]), 5), one.text


def test_what_is_offered_works() -> None:
    brief = IMPOSSIBLE[0]

    def tried(b: Brief) -> bool:
        return works(b, 5)

    plot, programme = offers(brief, conflict(brief, tried), tried)
    width, depth = map(int, plot.removeprefix("plot ").split(" x "))
    assert works(replace(brief, plot=(width, depth)), 5)
    count = int(programme.split(" x ")[0])
    fewer = (replace(brief.rooms[0], count=count), *brief.rooms[1:])
    assert works(replace(brief, rooms=fewer), 5)


def test_the_refusal_is_one_sentence_that_names_both_sides() -> None:
    with pytest.raises(InfeasibleError, match=r"plot 17 x 19; rooms\[0\] 9 x sleeping.*would work"):
        design_house(Recipe(seed=5, brief=IMPOSSIBLE[0]))


def test_a_brief_that_works_has_no_conflict() -> None:
    assert conflict(Brief(), lambda _: True) == ()


def test_quickxplain_on_a_made_up_oracle() -> None:
    """Any two of three lines work, all three do not: the conflict is all three, and no plot."""
    brief = Brief(plot=(30, 40), rooms=tuple(Wish(kind=k) for k in ("study", "bath", "tea")))
    found = conflict(brief, lambda b: len(b.rooms) < 3)
    assert [r.key for r in found] == [(0, "count"), (1, "count"), (2, "count")]
    assert len(requirements(brief)) == 4
