"""Why not: conflicts are minimal, tested by dropping."""

from __future__ import annotations

import pytest

from genhouse.generate.layout import works
from genhouse.generate.mixed import brief
from genhouse.generate.why import SpentError, conflict, keeping, requirements, wishes, without
from genhouse.model.brief import Brief, Recipe, RoofWish, Wish

IMPOSSIBLE = (
    Brief(plot=(17, 19), rooms=(Wish(kind="sleeping", count=9), Wish(kind="bath"))),
    Brief(plot=(21, 25), rooms=(Wish(kind="reception", area=(200, 300)), Wish(kind="study"))),
    Brief(
        plot=(19, 23), rooms=(Wish(kind="bath", beside=("study",)), Wish(kind="sleeping", count=7))
    ),
    Brief(plot=(17, 19), gate="south", roof=RoofWish(form="two-tier", dormers=2)),
)


def found(brief: Brief) -> bool:
    return works(Recipe(seed=5, brief=brief))


@pytest.mark.parametrize("brief", IMPOSSIBLE)
def test_dropping_any_one_of_a_conflict_makes_a_house_possible(brief: Brief) -> None:
    """U. Junker, AAAI 2004: a minimal conflict."""
    some = conflict(brief, found)
    assert some
    assert not found(keeping(brief, some))
    for one in some:
        assert found(keeping(brief, [r for r in some if r != one])), one.text


def test_quickxplain_on_a_made_up_oracle() -> None:
    """Any two of three lines work, all three do not: the conflict is all three, and no plot."""
    brief = Brief(plot=(30, 40), rooms=tuple(Wish(kind=k) for k in ("study", "bath", "tea")))
    some = conflict(brief, lambda b: len(b.rooms) < 3)
    assert [r.key for r in some] == [(0, "count"), (1, "count"), (2, "count")]
    assert len(requirements(brief)) == 4


def test_where_all_that_may_be_tried_is_spent_everything_asked_is_named() -> None:
    def spent(_: Brief) -> bool:
        raise SpentError

    assert conflict(IMPOSSIBLE[0], spent) == requirements(IMPOSSIBLE[0])


def test_a_kind_that_every_house_has_is_never_given_up_only_what_is_asked_of_it() -> None:
    brief = Brief(rooms=(Wish(kind="kitchen", area=(9, 12)), Wish(kind="kitchen", count=2)))
    assert [r.key for r in requirements(brief)] == [(0, "area"), (1, "count")]
    assert keeping(brief, ()).rooms == (Wish(kind="kitchen"),)


def test_what_is_given_up_is_as_if_it_had_not_been_asked() -> None:
    brief = Brief(
        plot=(30, 40),
        low=("left",),
        gallery=True,
        light=20,
        roof=RoofWish(form="hip", dormers=2),
        rooms=(Wish(kind="tea", court=True, beside_any=("study", "library")),),
    )
    assert keeping(brief, requirements(brief)) == brief
    assert keeping(brief, ()) == Brief()
    assert without(brief, [r for r in requirements(brief) if r.key == ("roof", "form")]) == Brief(
        plot=(30, 40),
        low=("left",),
        gallery=True,
        light=20,
        roof=RoofWish(dormers=2),
        rooms=brief.rooms,
    )


@pytest.mark.parametrize("number", range(0, 400, 4))
def test_without_all_its_wishes_a_brief_asks_for_nothing(number: int) -> None:
    asked = brief(number)
    bare = without(asked, wishes(asked))
    rooms = tuple(Wish(kind=wish.kind) for wish in bare.rooms)
    assert bare == Brief(client=asked.client, tradition=asked.tradition, rooms=rooms)
