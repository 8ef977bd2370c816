"""The rhythm of bays: a customary row of posts, and every length that can be divided."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from genhouse.core.draw import Draw
from genhouse.stages._rhythm import axial, divide, divisible, lines
from tests.reference import published

BAYS = published("dwelling")["bays"]
GAPS = range(BAYS["least"], BAYS["most"] + 1)
seeds = st.integers(0, 2**64 - 1)


def test_six_posts_and_their_gaps_make_twenty_five_cells() -> None:
    """Added up by hand: 6 posts of a cell, 4 + 3 + 5 + 3 + 4 between them."""
    posts = lines(0, tuple(gap + 1 for gap in BAYS["gaps"]))
    assert len(posts) == BAYS["posts"]
    assert [b - a - 1 for a, b in itertools.pairwise(posts)] == BAYS["gaps"]
    assert posts[-1] - posts[0] + 1 == BAYS["length"] == BAYS["posts"] + sum(BAYS["gaps"])


def sums_of(*bays: int, most: int) -> set[int]:
    """Every length that some row of these bays adds up to."""
    found = {0}
    for _ in range(most // min(bays)):
        found |= {n + bay for n in found for bay in bays}
    return {n for n in found if 0 < n <= most}


def test_a_length_is_divisible_where_some_row_of_bays_adds_up_to_it() -> None:
    assert {n for n in range(61) if divisible(n, GAPS)} == sums_of(4, 5, 6, most=60)


@given(st.sampled_from([n for n in range(61) if divisible(n, GAPS)]), seeds)
@settings(max_examples=120)
def test_bays_add_up_and_keep_three_to_five_clear_cells(length: int, seed: int) -> None:
    bays = divide(length, GAPS, Draw(seed))
    assert sum(bays) == length
    assert all(BAYS["least"] <= bay - 1 <= BAYS["most"] for bay in bays)
    assert bays == divide(length, GAPS, Draw(seed))


@pytest.mark.parametrize("length", [-4, 0, 3, 7])
def test_what_cannot_be_divided_is_refused(length: int) -> None:
    assert not divisible(length, GAPS)
    with pytest.raises(ValueError, match=f"{length} cells"):
        divide(length, GAPS, Draw(1))


def test_rhythms_vary() -> None:
    assert len({divide(22, GAPS, Draw(seed)) for seed in range(40)}) > 8


@pytest.mark.parametrize("length", range(8, 40))
def test_bays_that_are_alike_differ_by_a_cell_at_most(length: int) -> None:
    bays = divide(length, (3, 4, 5), Draw(length), "alike")
    assert sum(bays) == length
    assert max(bays) - min(bays) <= 1


@pytest.mark.parametrize("length", range(12, 40))
def test_axial_bays_are_odd_wherever_they_can_be_and_widest_in_the_middle(length: int) -> None:
    gaps = (3, 4, 5, 6)
    bays = divide(length, gaps, Draw(length), "axial")
    assert sum(bays) == length
    assert bays == bays[::-1]
    assert len(bays) % 2 == 1 or not axial(length, gaps)
    assert max(bays) == bays[len(bays) // 2]
