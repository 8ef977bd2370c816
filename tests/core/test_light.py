"""Light on sub-cells: published illuminances, and sight against exact fractions."""

from __future__ import annotations

import math
from fractions import Fraction

import numpy as np
import numpy.typing as npt
import pytest

from genhouse.core.light import (
    EIGHTHS,
    SUB,
    Bool,
    Dark,
    Solids,
    centres,
    lit,
    lux,
    millilux,
    seen,
    standing,
    subcells,
)
from tests.reference import published

Ints = npt.NDArray[np.int32]
POINTS = published("light")["point"]


def ints(*rows: tuple[int, ...]) -> Ints:
    return np.array(rows, dtype=np.int32)


def dark(opaque: Bool) -> Dark:
    """Sub-cells as forms of their cells, filled up with air to whole cells."""
    grid = np.pad(opaque, [(0, -n % SUB) for n in opaque.shape])
    x, y, z = (n // SUB for n in grid.shape)
    cells = grid.reshape(x, SUB, y, SUB, z, SUB).transpose(0, 2, 4, 1, 3, 5).reshape(-1, SUB**3)
    air = np.zeros((1, SUB**3), dtype=bool)
    shapes, form = np.unique(np.concatenate((air, cells)), axis=0, return_inverse=True)
    assert not shapes[0].any()
    return Dark.of(
        form.reshape(-1)[1:].reshape(x, y, z).astype(np.uint8),
        Solids.of(shapes.reshape(-1, SUB, SUB, SUB)),
    )


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


def blocked(opaque: npt.NDArray[np.bool_], a: Ints, b: Ints) -> bool:
    """Whether a segment touches any closed opaque box, by clipping in fractions."""
    for cell in np.argwhere(opaque):
        enters, leaves, apart = Fraction(0), Fraction(1), False
        for n in range(3):
            low, way = 2 * int(cell[n]) - int(a[n]), int(b[n] - a[n])
            if way == 0:
                apart |= not low <= 0 <= low + 2
            else:
                near, far = sorted((Fraction(low, way), Fraction(low + 2, way)))
                enters, leaves = max(enters, near), min(leaves, far)
        if not apart and enters <= leaves:
            return True
    return False


@pytest.mark.parametrize("seed", range(3))
def test_sight_is_exact(seed: int) -> None:
    """Against clipping of each ray to each box in fractions, ends in the middles of sub-cells."""
    dice = np.random.default_rng(seed)
    opaque = dice.random((9, 9, 7)) < 0.04
    starts, ends = (
        (2 * dice.integers(0, (9, 9, 7), (150, 3)) + 1).astype(np.int32) for _ in range(2)
    )
    found = seen(dark(opaque), starts, ends)
    assert found.tolist() == [not blocked(opaque, a, b) for a, b in zip(starts, ends, strict=True)]
    assert 0 < found.sum() < len(found)


def test_sight_is_the_same_in_a_mirror_and_both_ways() -> None:
    """Also along planes and edges between sub-cells, where rounding would have to take a side."""
    dice = np.random.default_rng(5)
    opaque = dice.random((10, 8, 6)) < 0.05
    starts, ends = (dice.integers(1, (20, 16, 12), (400, 3)).astype(np.int32) for _ in range(2))
    found = seen(dark(opaque), starts, ends)
    for axis, size in enumerate((20, 16, 12)):
        a, b = starts.copy(), ends.copy()
        a[:, axis], b[:, axis] = size - a[:, axis], size - b[:, axis]
        assert np.array_equal(seen(dark(np.flip(opaque, axis)), a, b), found)


@pytest.mark.parametrize("cells", [(36, 36, 26), (64, 60, 30), (540, 12, 6)])
def test_sight_is_the_same_in_the_far_corner_of_a_large_grid(cells: tuple[int, int, int]) -> None:
    """Of 36, 121 and 61 thousand cells with their border, the last with places beyond 4,096 eighths."""
    dice = np.random.default_rng(6)
    opaque = dice.random((40, 32, 24)) < 0.02
    starts, ends = (dice.integers(1, (80, 64, 48), (300, 3)).astype(np.int32) for _ in range(2))
    found = seen(dark(opaque), starts, ends)
    assert 0 < found.sum() < len(found)
    aside = [SUB * n - size for n, size in zip(cells, opaque.shape, strict=True)]
    large = dark(np.pad(opaque, [(n, 0) for n in aside]))
    moved = np.array(aside, dtype=np.int32) * (EIGHTHS // SUB)
    assert np.array_equal(seen(large, starts + moved, ends + moved), found)


def test_a_ray_along_an_edge_is_stopped() -> None:
    opaque = np.zeros((4, 4, 4), dtype=bool)
    opaque[1, 1, 1] = True
    grid = dark(opaque)
    starts, ends = ints((0, 2, 2), (0, 1, 2), (0, 5, 5)), ints((8, 2, 2), (8, 1, 2), (8, 5, 5))
    assert seen(grid, starts, ends).tolist() == [False, True, True]


def test_no_rays_no_answer() -> None:
    none = np.zeros((0, 3), dtype=np.int32)
    assert seen(dark(np.zeros((2, 2, 2), dtype=bool)), none, none).shape == (0,)


def test_centres_of_forms() -> None:
    shapes = np.zeros((3, 4, 4, 4), dtype=bool)
    shapes[1, 1:3, 1:3, 1:] = True
    shapes[2] = True
    assert centres(shapes).tolist() == [[4, 4, 4], [4, 4, 5], [4, 4, 4]]


def test_subcells_keep_their_places() -> None:
    shapes = np.zeros((2, 4, 4, 4), dtype=bool)
    shapes[1, 0, 1, 2] = True
    form = np.zeros((2, 1, 2), dtype=np.uint8)
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
