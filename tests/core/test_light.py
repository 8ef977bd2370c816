"""Light on sub-cells: published illuminances, and sight against exact fractions."""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt
import pytest

from genhouse.core.light import centres, lit, lux, millilux, standing, subcells
from genhouse.core.solids import EIGHTHS, Bool
from tests.core.grids import dark, ints
from tests.reference import published

Ints = npt.NDArray[np.int32]
POINTS = published("light")["point"]


def illuminance(opaque: Bool, lumens: Ints, sources: Ints, points: Ints) -> Ints:
    """Millilux of each point by all lamps together."""
    here, there = (np.zeros(len(a), dtype=np.int32) for a in (sources, points))
    return lit(dark(opaque), (lumens, sources, here), (points, there)).sums(len(points))


@pytest.mark.parametrize("row", POINTS, ids=lambda row: f"{row['lux']} lx")
def test_inverse_square_and_cosine(row: dict[str, float]) -> None:
    """Heights of 2.4 and 1.8 are not whole eighths: the same triangle five times as large is."""
    scale = 1 if row["height"] == 2 else 5
    lamp = ints((round(EIGHTHS * scale * row["aside"]), 0, round(EIGHTHS * scale * row["height"])))
    found = lux(4 * math.pi * row["candela"] * scale**2, lamp, ints((0, 0, 0)))
    assert found[0] == pytest.approx(row["lux"], rel=2e-5)


def test_a_lamp_at_or_below_the_level_gives_it_nothing() -> None:
    assert lux(1000, ints((0, 0, 8), (8, 0, 0), (0, 0, 0)), ints((0, 0, 8))).tolist() == [0, 0, 0]


def test_an_open_room_is_lit_as_the_formula_says_cell_by_cell() -> None:
    """Within the rounding to a thousandth of a lux, for lamps summed."""
    lamps, power = ints((20, 28, 29), (76, 36, 29)), ints((4000,), (3000,))[:, 0]
    points = np.array(
        [(8 * x + 4, 8 * y + 4, 0) for x in range(12) for y in range(8)], dtype=np.int32
    )
    found = illuminance(np.zeros((48, 32, 16), dtype=bool), power, lamps, points)
    for (x, y, _), amount in zip(points.tolist(), found.tolist(), strict=True):
        wanted = 0.0
        for (a, b, c), lumens in zip(lamps.tolist(), power.tolist(), strict=True):
            d = math.dist((a, b, c), (x, y, 0)) / 8
            wanted += lumens / (4 * math.pi) * (c / 8 / d) / d**2
        assert amount / 1000 == pytest.approx(wanted, abs=0.0011)


def test_amounts_are_whole_and_what_is_faint_is_left_out() -> None:
    lamps, points = ints((4, 4, 24), (4, 4, 24)), ints((4, 4, 0), (84, 4, 0))
    whole = millilux(1000, lamps, points)
    assert whole.dtype == np.int32
    air = dark(np.zeros((44, 4, 16), dtype=bool))
    found = lit(
        air, (ints((1000, 1000))[0], lamps, ints((0, 1))[0]), (points, ints((0, 1))[0]), 500
    )
    assert found.amount.tolist() == [whole[0], 0]


def test_lamps_light_their_own_place() -> None:
    lamps, points = ints((4, 4, 24), (20, 4, 24)), ints((4, 4, 0), (12, 4, 0), (20, 4, 0))
    air = dark(np.zeros((12, 4, 16), dtype=bool))
    found = lit(air, (ints((1000, 1000))[0], lamps, ints((7, 3))[0]), (points, ints((3, 7, 3))[0]))
    assert (found.lamp.tolist(), found.point.tolist()) == ([0, 1, 1], [1, 0, 2])
    assert found.sums(3).tolist() == [found.amount[1], found.amount[0], found.amount[2]]


def test_a_wall_throws_its_shadow_to_the_cell() -> None:
    """A lamp 2 over the floor, a wall 1 high from x = 4 to 4.25: dark from 4 to beyond 7.5."""
    opaque = np.zeros((48, 4, 16), dtype=bool)
    opaque[16, :, :4] = True
    points = np.array([(8 * x + 4, 4, 0) for x in range(12)], dtype=np.int32)
    found = illuminance(opaque, ints((1000,))[0], ints((4, 4, 16)), points)
    dark = [x for x in range(12) if not found[x]]
    # The ray over the wall's far upper corner (4.25, 1) from (0.5, 2) lands at 0.5 + 2 * 3.75 = 8.
    assert dark == [4, 5, 6, 7]


def test_centres_of_forms() -> None:
    shapes = np.zeros((3, 4, 4, 4), dtype=bool)
    shapes[1, 1:3, 1:3, 1:] = True
    shapes[2] = True
    assert centres(shapes).tolist() == [[4, 4, 4], [4, 4, 5], [4, 4, 4]]


def test_subcells_keep_their_places() -> None:
    shapes = np.zeros((2, 4, 4, 4), dtype=bool)
    shapes[1, 0, 1, 2] = True
    form = np.zeros((2, 1, 2), dtype=np.uint16)
    form[1, 0, 1] = 1
    assert np.argwhere(subcells(form, shapes)).tolist() == [[4, 1, 6]]


def test_standing_height() -> None:
    """On the floor, on half a cell, nowhere under a low beam, nowhere over a pit."""
    layers = np.zeros((4, 16), dtype=bool)
    layers[:3, :4] = True
    layers[1, 4:6] = True
    layers[2, 8] = True
    column = layers @ (1 << np.arange(16, dtype=np.int32))
    assert standing(column >> 3).tolist() == [0, 2, -1, -1]
