"""Ranking by named figures."""

from __future__ import annotations

from fractions import Fraction

import pytest
from msgspec.structs import replace

from genhouse.core.errors import BriefError
from genhouse.many.rank import aims, order, scores
from tests.houses import anyhow

PLAIN = anyhow(7).figures()


def test_names_are_read_with_their_directions() -> None:
    found = aims("privacy, pieces,-privacy,-pieces")
    assert [(a.figure.name, a.more) for a in found] == [
        ("privacy", True),
        ("pieces", False),
        ("privacy", False),
        ("pieces", True),
    ]


@pytest.mark.parametrize(
    ("text", "said"), [("", "no figure"), (",", "no figure"), ("px", "pieces")]
)
def test_what_names_nothing_is_refused(text: str, said: str) -> None:
    with pytest.raises(BriefError, match=said):
        aims(text)


def test_a_score_is_the_part_of_the_others_that_is_bettered() -> None:
    houses = [
        replace(PLAIN, privacy=p, solid=s) for p, s in ((0.1, 30), (0.9, 20), (0.5, 10), (0.5, 10))
    ]
    assert scores(houses, aims("privacy")) == (0, 1, Fraction(1, 2), Fraction(1, 2))
    both = scores(houses, aims("privacy,pieces"))
    assert both == (0, Fraction(2, 3), Fraction(2, 3), Fraction(2, 3))
    assert order(both) == [1, 2, 3, 0]


def test_one_house_alone_has_a_place() -> None:
    assert order(scores([PLAIN], aims("privacy"))) == [0]
