"""Ridges, hips and valleys of roofs whose lines are known."""

from __future__ import annotations

import numpy as np
import pytest

from genhouse.core.box import Rect
from genhouse.house import make
from genhouse.model.brief import Brief, Recipe, RoofWish
from genhouse.outputs.figures._roof_lines import Tops, roof_lines, roof_tops


def chessboard(outline: list[tuple[int, int, int, int]], hole: tuple[int, int, int, int]) -> Tops:
    """Heights of the roof of equal pitch over an outline: the chessboard distance to its eaves.

    Straight skeleton of outlines with right angles: J.UCS 1(12) (1995) 752-761.
    """
    from scipy.ndimage import distance_transform_cdt

    size = max(max(r[2:]) for r in outline) + 2
    plan = np.zeros((size, size), dtype=bool)
    for x0, y0, x1, y1 in outline:
        plan[x0 + 1 : x1 + 1, y0 + 1 : y1 + 1] = True
    x0, y0, x1, y1 = hole
    plan[x0 + 1 : x1 + 1, y0 + 1 : y1 + 1] = False
    return np.asarray(2 * distance_transform_cdt(plan, "chessboard"), dtype=np.int32)


NONE = (0, 0, 0, 0)


@pytest.mark.parametrize(
    ("outline", "hole", "ridges", "hips", "valleys"),
    [
        # A hipped house: one ridge, four hips.
        ([(0, 0, 23, 9)], NONE, 1, 4, 0),
        # An L: two ridges, five outer corners and one inner.
        ([(0, 0, 25, 9), (0, 0, 9, 25)], NONE, 2, 5, 1),
        # A ring: four ridges, four hips, four valleys (notes of this project, section 8b).
        ([(0, 0, 31, 27)], (7, 7, 24, 20), 4, 4, 4),
    ],
)
def test_roofs_of_equal_pitch(
    outline: list[tuple[int, int, int, int]],
    hole: tuple[int, int, int, int],
    ridges: int,
    hips: int,
    valleys: int,
) -> None:
    found = roof_lines(chessboard(outline, hole))
    assert (found.ridges, found.hips, found.valleys) == (ridges, hips, valleys)


def test_a_chimney_does_not_break_a_ridge() -> None:
    tops = chessboard([(0, 0, 23, 9)], NONE)
    whole = roof_lines(tops)
    tops[12, 5] = 0
    assert roof_lines(tops) == whole


def ranges(wings: tuple[Rect, ...]) -> int:
    """How many there are, those that go on in one line, as wide, counted as one: one ridge covers them."""
    goes_on = sum(
        (a.y0, a.y1, a.x1) == (b.y0, b.y1, b.x0) or (a.x0, a.x1, a.y1) == (b.x0, b.x1, b.y0)
        for a in wings
        for b in wings
    )
    return len(wings) - goes_on


@pytest.mark.parametrize("seed", range(8))
def test_a_house_has_a_ridge_on_each_wing_and_a_valley_in_each_inner_corner(seed: int) -> None:
    house = make(Recipe(seed=seed, brief=Brief(arrangement="ring", roof=RoofWish(form="hip"))))
    found = roof_lines(roof_tops(house.plan, house.voxels))
    assert found.ridges >= ranges(house.plan.wings) > 1
    assert found.valleys >= 2
    assert found.ridge_length > found.valley_length > 0


def test_a_calm_ring_has_no_unrest_and_each_fault_adds_its_own() -> None:
    """Worked by hand: one ridge height all round; then a stray peak, a second height, a wall."""
    ring = chessboard([(0, 0, 31, 27)], (7, 7, 24, 20))
    assert roof_lines(ring).unrest == 0
    peak = ring.copy()
    peak[13, 2] += 3  # lower than the ridge: one stray ridge each way, and one more height
    assert roof_lines(peak).unrest == 4 + 4 + 2
    hall = chessboard([(0, 0, 23, 9)], NONE)[:, :11]
    assert roof_lines(hall).unrest == 0
    wing = np.zeros((25, 40), dtype=np.int32)
    wing[:, :11] = hall
    wing[:, 20:31] = np.where(hall > 0, hall + 2, 0)  # the same roof again, half a cell higher
    assert roof_lines(wing).unrest == 2
    stepped = hall.copy()
    stepped[13:24] += np.where(stepped[13:24] > 0, 8, 0)  # nine cells of wall across the roof
    assert roof_lines(stepped).unrest == 2 + 9 // 3


def test_ideas_are_ranked_by_calm() -> None:
    from genhouse.many.rank import aims

    (calm,) = aims("calm")
    assert not calm.more
    assert calm.words == "least unrest of the roof"
