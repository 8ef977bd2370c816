"""Calm: each thing that a carpenter would not like, counted by hand."""

from __future__ import annotations

import numpy as np
import pytest

from genhouse.stages.roofs.calm import unrest
from genhouse.stages.roofs.slopes import NONE

SIZE = (9, 7)
LONG = [(x, 3, 1) for x in range(2, 7)]


def judged(
    ridges: list[tuple[int, int, int]],
    heights: dict[tuple[int, int], int] | None = None,
    flue: tuple[int, int] = (4, 3),
) -> int:
    """Of a level roof but for some cells, with ridges along x (1) or y (2)."""
    cells = np.full(SIZE, 20, dtype=np.int16)
    for at, height in (heights or {}).items():
        cells[at] = height
    lines = np.zeros(SIZE, dtype=np.uint8)
    for x, y, axis in ridges:
        lines[x, y] = axis
    inside = np.ones(SIZE, dtype=bool)
    return unrest(cells.repeat(2, axis=0).repeat(2, axis=1), lines, inside, flue)


def test_one_long_ridge_under_the_chimney_is_calm() -> None:
    assert judged(LONG) == 0


@pytest.mark.parametrize("short", [[(0, 0, 1)], [(0, 0, 1), (1, 0, 1)], [(0, 0, 2), (0, 1, 2)]])
def test_a_short_ridge_counts_four(short: list[tuple[int, int, int]]) -> None:
    assert judged(LONG + short) == 4


def test_ridges_on_one_line_with_a_gap_are_two() -> None:
    assert judged([*LONG[:2], *LONG[3:]]) == 8


def test_ridges_that_go_on_round_the_edge_are_two() -> None:
    """The last cell of one line and the first of the next are no neighbours."""
    assert judged([*LONG, (8, 5, 1), (0, 6, 1), (1, 6, 1)]) == 8


def test_each_further_height_of_ridges_counts_two() -> None:
    assert judged(LONG, {(2, 3): 19, (3, 3): 18}) == 4


def test_three_cells_of_upright_face_count_one() -> None:
    wall = {(x, 0): 16 for x in range(3)}
    assert judged(LONG, wall) == 1
    assert judged(LONG, dict.fromkeys(wall, NONE)) == 0


def test_a_chimney_away_from_every_ridge_counts_its_cells() -> None:
    assert judged(LONG, flue=(4, 0)) == 2
    assert judged([], flue=(4, 0)) == 0
