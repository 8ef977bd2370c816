"""Sides, turns and mirrors: worked by hand, and against numpy's own turning of arrays."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from genhouse.core.axes import SIDES, STEP, Turn, opposite
from genhouse.core.box import Box, Rect

WIDTH, DEPTH = 5, 3
TURNS = [Turn(WIDTH, DEPTH, q, mirror) for q in range(4) for mirror in (False, True)]


@st.composite
def rects(draw: st.DrawFn) -> Rect:
    x0, y0 = draw(st.integers(0, WIDTH - 1)), draw(st.integers(0, DEPTH - 1))
    x1, y1 = draw(st.integers(x0 + 1, WIDTH)), draw(st.integers(y0 + 1, DEPTH))
    return Rect(x0, y0, x1, y1)


def test_sides_run_counter_clockwise_from_east() -> None:
    """Right-handed with x east and y north (file contract): (x, y) turns to (-y, x)."""
    for side, following in zip(SIDES, SIDES[1:] + SIDES[:1], strict=True):
        x, y = STEP[side]
        assert STEP[following] == (-y, x)


def test_the_opposite_side_is_half_a_turn_away() -> None:
    assert [opposite(side) for side in SIDES] == ["west", "south", "east", "north"]


def test_a_quarter_turn_by_hand() -> None:
    """The south-west corner of a plot 5 wide and 3 deep comes to the south-east of one 3 by 5."""
    turn = Turn(5, 3, quarters=1)
    assert turn.size == (3, 5)
    assert turn.cell(0, 0, 7) == (2, 0, 7)
    assert turn.cell(4, 0, 7) == (2, 4, 7)
    assert turn.box(Box(0, 0, 1, 5, 1, 2)) == Box(2, 0, 1, 3, 5, 2)
    assert (turn.side("south"), turn.side("east"), turn.axis("x")) == ("east", "north", "y")


def test_a_mirror_by_hand() -> None:
    """A mirror changes east and west, and leaves north and south."""
    turn = Turn(5, 3, mirror=True)
    assert turn.cell(0, 2, 0) == (4, 2, 0)
    assert [turn.side(side) for side in SIDES] == ["west", "north", "east", "south"]


def test_the_mirror_comes_before_the_turn() -> None:
    turn = Turn(5, 3, quarters=1, mirror=True)
    assert turn.cell(0, 0, 0) == (2, 4, 0)
    assert turn.side("east") == "south"


@pytest.mark.parametrize("turn", TURNS)
@given(rect=rects())
def test_rectangles_turn_as_numpy_turns_arrays(turn: Turn, rect: Rect) -> None:
    """``numpy.rot90`` on axes (0, 1) turns x toward y: counter-clockwise here (numpy manual)."""
    plan = np.zeros((WIDTH, DEPTH), dtype=bool)
    plan[rect.x0 : rect.x1, rect.y0 : rect.y1] = True
    expected = np.rot90(plan[::-1] if turn.mirror else plan, turn.quarters, axes=(0, 1))
    x0, y0, x1, y1 = turn.rect(rect)
    turned = np.zeros(turn.size, dtype=bool)
    turned[x0:x1, y0:y1] = True
    assert np.array_equal(turned, expected)
    assert np.array_equal(turn.array(plan), expected)


@pytest.mark.parametrize("turn", TURNS)
def test_a_cell_stepped_from_goes_the_way_its_side_turns(turn: Turn) -> None:
    for side in SIDES:
        (x, y), (dx, dy) = (2, 1), STEP[side]
        here, there = turn.cell(x, y, 0), turn.cell(x + dx, y + dy, 0)
        assert (there[0] - here[0], there[1] - here[1]) == STEP[turn.side(side)]
        assert turn.side(opposite(side)) == opposite(turn.side(side))


@given(rect=rects())
def test_four_quarter_turns_are_none(rect: Rect) -> None:
    once, again = Turn(WIDTH, DEPTH, 1), Turn(DEPTH, WIDTH, 1)
    assert again.rect(once.rect(again.rect(once.rect(rect)))) == rect
    assert Turn(WIDTH, DEPTH, 4).rect(rect) == rect


@given(rect=rects())
def test_two_mirrors_are_none(rect: Rect) -> None:
    mirror = Turn(WIDTH, DEPTH, mirror=True)
    assert mirror.rect(mirror.rect(rect)) == rect
