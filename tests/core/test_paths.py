"""Paths: the word into which the beginning of a ray and its way are packed, against the two themselves."""

from __future__ import annotations

import numpy as np
import pytest

from genhouse.core.paths import WIDE, Paths, _unkeyed, keys, touched
from genhouse.core.solids import EIGHTHS
from genhouse.outputs.arrays import LONGEST_SIDE

FAR = (1 << WIDE - 1) - 1
"""Eighths of a cell that a way may lead along each axis."""


def test_a_word_holds_all_that_a_ray_hangs_on_and_nothing_else() -> None:
    """Where in its cell it begins and which way it goes, as far as a grid may reach; wherever that is."""
    dice = np.random.default_rng(5)
    for size in (8, 300, FAR // 2):
        starts, ends = (dice.integers(0, size, (500, 3)).astype(np.int32) for _ in range(2))
        starts[:8] = [[n >> axis & 1 and size - 1 for axis in range(3)] for n in range(8)]
        ends[:8] = size - 1 - starts[:8]
        before, after = keys(starts, ends)
        within, way = _unkeyed(after - before)
        np.testing.assert_array_equal(within.T, starts % EIGHTHS)
        np.testing.assert_array_equal(way.T, ends - starts)
        moved = EIGHTHS * dice.integers(0, 5, (500, 3)).astype(np.int32)
        again = keys(starts + moved, ends + moved)
        np.testing.assert_array_equal(again[1] - again[0], after - before)


def test_no_grid_that_is_read_is_longer_than_a_word_can_tell() -> None:
    assert EIGHTHS * (LONGEST_SIDE + 2) <= FAR


@pytest.mark.parametrize("deep", [32, 64])
def test_what_is_kept_of_a_way_is_what_it_touches(deep: int) -> None:
    """Asked for twice, in another order, with others between."""
    dice = np.random.default_rng(deep)
    starts, ends = (dice.integers(0, 120, (60, 3)).astype(np.int32) for _ in range(2))
    before, after = keys(starts, ends)
    known = Paths(deep, 32)
    known.of((after - before)[::3])
    for order in (np.arange(60), np.arange(60)[::-1]):
        ways = known.of((after - before)[order])
        ray, cells = touched((starts % EIGHTHS)[order].T, (ends - starts)[order].T)
        for n in range(60):
            kept = ways.rows[ways.first[n] : ways.first[n] + ways.number[n]].reshape(-1)
            steps = known.strides @ cells[:, ray == n]
            assert set(kept.tolist()) | {0} == set(steps.tolist()) | {0}
