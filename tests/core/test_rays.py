"""Rays among cells: sight against exact fractions, and paths that are kept."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import numpy.typing as npt
import pytest

from genhouse.core import paths, rays
from genhouse.core.paths import touched
from genhouse.core.rays import seen
from genhouse.core.solids import EIGHTHS, SUB, Bool, Dark, Ints
from tests.core.grids import dark, ints


def sees(grid: Dark, starts: Ints, ends: Ints) -> Bool:
    """Whether each start sees its own end."""
    every = np.arange(len(starts))
    return seen(grid, starts, ends, (every, every))


def blocked(opaque: npt.NDArray[np.bool_], a: Ints, b: Ints, wide: int = 2) -> bool:
    """Whether a segment touches any closed opaque box, so many eighths wide, by clipping in fractions."""
    for cell in np.argwhere(opaque):
        enters, leaves, apart = Fraction(0), Fraction(1), False
        for n in range(3):
            low, way = wide * int(cell[n]) - int(a[n]), int(b[n] - a[n])
            if way == 0:
                apart |= not low <= 0 <= low + wide
            else:
                near, far = sorted((Fraction(low, way), Fraction(low + wide, way)))
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
    found = sees(dark(opaque), starts, ends)
    assert found.tolist() == [not blocked(opaque, a, b) for a, b in zip(starts, ends, strict=True)]
    assert 0 < found.sum() < len(found)


def test_sight_is_the_same_in_a_mirror_and_both_ways() -> None:
    """Also along planes and edges between sub-cells, where rounding would have to take a side."""
    dice = np.random.default_rng(5)
    opaque = dice.random((10, 8, 6)) < 0.05
    starts, ends = (dice.integers(1, (20, 16, 12), (400, 3)).astype(np.int32) for _ in range(2))
    found = sees(dark(opaque), starts, ends)
    for axis, size in enumerate((20, 16, 12)):
        a, b = starts.copy(), ends.copy()
        a[:, axis], b[:, axis] = size - a[:, axis], size - b[:, axis]
        assert np.array_equal(sees(dark(np.flip(opaque, axis)), a, b), found)


@pytest.mark.parametrize("cells", [(36, 36, 26), (64, 60, 30), (540, 12, 6)])
def test_sight_is_the_same_in_the_far_corner_of_a_large_grid(cells: tuple[int, int, int]) -> None:
    """Of 36, 121 and 61 thousand cells with their border, the last with places beyond 4,096 eighths."""
    dice = np.random.default_rng(6)
    opaque = dice.random((40, 32, 24)) < 0.02
    starts, ends = (dice.integers(1, (80, 64, 48), (300, 3)).astype(np.int32) for _ in range(2))
    found = sees(dark(opaque), starts, ends)
    assert 0 < found.sum() < len(found)
    aside = [SUB * n - size for n, size in zip(cells, opaque.shape, strict=True)]
    large = dark(np.pad(opaque, [(n, 0) for n in aside]))
    moved = np.array(aside, dtype=np.int32) * (EIGHTHS // SUB)
    assert np.array_equal(sees(large, starts + moved, ends + moved), found)


def test_a_ray_along_an_edge_is_stopped() -> None:
    opaque = np.zeros((4, 4, 4), dtype=bool)
    opaque[1, 1, 1] = True
    grid = dark(opaque)
    starts, ends = ints((0, 2, 2), (0, 1, 2), (0, 5, 5)), ints((8, 2, 2), (8, 1, 2), (8, 5, 5))
    assert sees(grid, starts, ends).tolist() == [False, True, True]


def test_no_rays_no_answer() -> None:
    none = np.zeros((0, 3), dtype=np.int32)
    assert sees(dark(np.zeros((2, 2, 2), dtype=bool)), none, none).shape == (0,)


def test_a_ray_touches_the_cells_that_would_stop_it() -> None:
    """Of a grid in which one cell after another is filled, and no other."""
    start, way = (
        ints((4, 4, 6), (0, 8, 3), (3, 3, 3)).T,
        ints((24, -8, -11), (20, 0, 9), (0, 0, 0)).T,
    )
    ray, cells = touched(start, way)
    for n in range(3):
        alone = []
        for cell in np.ndindex(7, 7, 7):
            grid = np.zeros((7, 7, 7), dtype=bool)
            grid[cell] = True
            begin = start[:, n] + 2 * EIGHTHS
            if blocked(grid, begin, begin + way[:, n], EIGHTHS):
                alone.append([c - 2 for c in cell])
        assert sorted(cells[:, ray == n].T.tolist()) == alone


@pytest.mark.parametrize("most", [0, 40])
def test_sight_is_the_same_when_what_is_kept_is_forgotten(
    most: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    dice = np.random.default_rng(7)
    opaque = dice.random((40, 32, 24)) < 0.02
    starts, ends = (dice.integers(1, (80, 64, 48), (300, 3)).astype(np.int32) for _ in range(2))
    grid = dark(opaque)
    found = sees(grid, starts, ends)
    monkeypatch.setattr(paths, "MOST", most)
    monkeypatch.setattr(rays, "AT_ONCE", 64)
    for _ in range(2):
        assert np.array_equal(sees(grid, starts, ends), found)
