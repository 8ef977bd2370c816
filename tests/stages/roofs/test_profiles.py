"""Profiles: exact curves against published heights, and how near the laid courses come to them."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from genhouse.stages.roofs.profiles import exact, laid, raised
from tests.houses import TIMBER
from tests.reference import published

SPANS = (4, 6, 8, 10)
QUARTER = Fraction(1, 2)
"""A quarter of a cell, in half cells."""


@pytest.mark.parametrize("curve", published("roof")["curve"], ids=lambda c: str(c["rafters"]))
def test_a_raised_and_depressed_roof_has_the_published_heights(curve: dict[str, Any]) -> None:
    """Yingzao fashi, juan 5; see shared/reference/roof.toml."""
    heights = [Fraction(a, b) for a, b in curve["heights"]]
    assert list(raised(curve["rafters"], Fraction(curve["rise"]))) == heights[::-1]


def test_the_eaves_slope_of_four_and_five_rafters_is_two_thirds_of_the_mean() -> None:
    """The same chapter's construction: 2/3 both with four and with five rafters a side."""
    for n in (4, 5):
        heights = raised(n, Fraction(1))
        assert heights[1] - heights[0] == Fraction(2, 3) / n


@pytest.mark.parametrize("profile", TIMBER.roof.profiles, ids=lambda p: p.name)
@pytest.mark.parametrize("span", SPANS)
@pytest.mark.parametrize("steep", [False, True])
def test_no_course_is_laid_more_than_a_quarter_of_a_cell_off(
    profile: Any, span: int, steep: bool
) -> None:
    courses = exact(span, profile, steep=steep)
    assert len(courses) == span // 2 + 1
    for middle, pair in zip(courses[:-1], laid(courses)[:-1], strict=True):
        assert abs(Fraction(sum(pair), 2) - middle) <= QUARTER
    ridge = courses[-1] - (courses[-1] - courses[-2]) / 4
    assert (
        abs(laid(courses)[-1][0] - ridge) <= QUARTER or laid(courses)[-1][0] == laid(courses)[-2][1]
    )


@given(st.lists(st.fractions(0, 2, max_denominator=40), min_size=2, max_size=6))
@settings(max_examples=300)
def test_any_curve_is_laid_within_the_bound_and_never_falls(rises: list[Fraction]) -> None:
    """A level or a stepped piece a course: nothing that is nearer over its two halves was passed by."""
    courses = tuple(sum(rises[:n], Fraction()) for n in range(len(rises) + 1))
    pairs = laid(courses)
    flat = [h for pair in pairs for h in pair]
    assert all(b - a in (0, 1) and (b == a or a % 2) for a, b in pairs), "a piece that exists"
    for n, (middle, pair) in enumerate(zip(courses[:-1], pairs[:-1], strict=True)):
        assert abs(Fraction(sum(pair), 2) - middle) <= QUARTER
        if n:
            slopes = (middle - courses[n - 1], courses[n + 1] - middle)
            halves = (middle - slopes[0] / 4, middle + slopes[1] / 4)
            error = abs(pair[0] - halves[0]) + abs(pair[1] - halves[1])
            level = round(middle)
            assert error <= abs(level - halves[0]) + abs(level - halves[1])
    assert all(b >= a - 1 for a, b in pairwise(flat))
    assert flat[-1] == flat[-2] == max(flat)


def test_straight_pitches_rise_by_their_sun() -> None:
    """n sun is n in ten: over a half span of four cells, five sun rise two cells, or four half cells."""
    five = TIMBER.roof.profile("five")
    assert exact(8, five) == tuple(Fraction(n) for n in range(5))
