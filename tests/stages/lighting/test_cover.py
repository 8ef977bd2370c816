"""Covering, against every choice tried in turn."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import combinations

import numpy as np
import numpy.typing as npt
import pytest
from scipy.optimize import linprog

from genhouse.stages.lighting.cover import TRIALS, _exchanged, _spread, cover, fewest

Ints = npt.NDArray[np.int32]
SHORT = 20
"""Lamps by which the bounds of all rooms may fall short in sum; one round of weighting does by 28."""


def anything(chosen: Sequence[int]) -> bool:
    return True


def best(gain: Ints, need: Ints) -> int:
    """The smallest number of candidates that is enough, by trying all."""
    for k in range(len(gain) + 1):
        for chosen in combinations(range(len(gain)), k):
            if (gain[list(chosen)].sum(axis=0) >= need).all():
                return k
    return 99


def room(seed: int) -> tuple[Ints, Ints]:
    """Lamps along a strip whose light falls off with distance."""
    dice = np.random.default_rng(seed)
    at, points = dice.integers(0, 14, 11), np.arange(14)
    far = np.abs(at[:, None] - points)
    gain = (24000 / (2 + far) ** 2).astype(np.int32)
    return gain, np.full(14, int(dice.integers(500, 1800)), dtype=np.int32)


@pytest.mark.parametrize("seed", range(30))
def test_enough_and_near_the_fewest(seed: int) -> None:
    gain, need = room(seed)
    found = cover(gain, need, anything)
    optimum = best(gain, need)
    assert found.enough == (optimum < 99)
    if found.enough:
        assert (gain[list(found.chosen)].sum(axis=0) >= need).all()
        assert found.fewest <= optimum <= len(found.chosen) <= optimum + 1


@pytest.mark.parametrize("seed", range(30))
def test_the_bound_is_a_bound(seed: int) -> None:
    gain, need = room(seed)
    assert fewest(np.minimum(gain, need), need, 99) <= best(gain, need)


def test_rounds_of_weighting_raise_the_bound() -> None:
    """One lamp serves twenty points, two more a single one each.  By points alone the bound is two."""
    gain = np.zeros((3, 22), dtype=np.int32)
    gain[0, :20] = gain[1, 20] = gain[2, 21] = 1000
    need = np.full(22, 1000, dtype=np.int32)
    assert best(gain, need) == 3
    assert fewest(gain, need, 99) == 3


def test_the_bound_is_near_that_of_the_linear_programme() -> None:
    """Weak duality bounds by no more than the programme's own optimum, which scipy finds."""
    short = 0
    for seed in range(60):
        gain, need = room(seed)
        useful = np.minimum(gain, need)
        found = linprog(np.ones(len(gain)), A_ub=-useful.T, b_ub=-need, method="highs")
        if found.status == 0:
            optimum = math.ceil(found.fun - 1e-6)
            bound = fewest(useful, need, 99)
            assert bound <= optimum
            short += optimum - bound
    assert short <= SHORT, "in all sixty rooms together"


def test_what_may_not_stand_together_does_not() -> None:
    gain = np.array([[10, 10, 0, 0], [0, 10, 10, 0], [0, 0, 10, 10]], dtype=np.int32)
    need = np.full(4, 10, dtype=np.int32)
    assert cover(gain, need, anything).chosen == (0, 2)
    found = cover(gain, need, lambda chosen: not {0, 2} <= set(chosen))
    assert not found.enough


def test_nothing_wanted_nothing_chosen() -> None:
    gain, none = np.full((2, 3), 5, dtype=np.int32), np.zeros(3, dtype=np.int32)
    assert cover(gain, none, anything).chosen == ()
    assert cover(gain[:0], none + 5, anything).enough is False


def test_of_equals_the_first() -> None:
    gain, need = np.full((3, 2), 9, dtype=np.int32), np.full(2, 9, dtype=np.int32)
    assert cover(gain, need, anything).chosen == (0,)


def hall(seed: int) -> tuple[Ints, Ints]:
    """More lamps over a longer strip than can be tried in every way."""
    dice = np.random.default_rng(seed)
    at, points = dice.integers(0, 60, 60), np.arange(60)
    gain = (24000 / (2 + np.abs(at[:, None] - points)) ** 2).astype(np.int32)
    return gain, np.full(60, int(dice.integers(200, 600)), dtype=np.int32)


@pytest.mark.parametrize("seed", range(8))
def test_what_is_enough_in_a_hall_brings_what_is_wanted(seed: int) -> None:
    gain, need = hall(seed)
    assert math.comb(len(gain), 2) * len(need) > TRIALS
    found = cover(gain, need, anything)
    assert found.enough
    assert (gain[list(found.chosen)].sum(axis=0) >= need).all()
    assert found.fewest <= len(found.chosen)


@pytest.mark.parametrize("seed", range(8))
def test_lamps_are_exchanged_until_none_can_be_left_out_and_no_two_be_one(seed: int) -> None:
    gain, need = hall(seed)
    chosen = _exchanged(gain, need, tuple(range(0, 60, 3)), anything, 1)
    assert (gain[list(chosen)].sum(axis=0) >= need).all()
    for gone in (*combinations(chosen, 1), *combinations(chosen, 2)):
        rest = [n for n in chosen if n not in gone]
        others = [n for n in range(len(gain)) if n not in rest]
        more = gain[others] if len(gone) == 2 else 0 * gain[:1]
        assert not (gain[rest].sum(axis=0) + more >= need).all(axis=1).any(), gone


def test_each_lamp_moves_to_where_the_darkest_point_gets_most() -> None:
    """One pass, lamp by lamp, by its definition; the others stay meanwhile."""
    for seed in range(8):
        gain, need = hall(seed)
        chosen = list(range(0, 60, 3))
        for n, old in enumerate(chosen):
            rest = gain[chosen[:n] + chosen[n + 1 :]].sum(axis=0) - need
            free = [c for c in range(len(gain)) if c == old or c not in chosen]
            chosen[n] = max(free, key=lambda c: ((rest + gain[c]).min(), c == old, -c))
        assert _spread(gain, need, tuple(range(0, 60, 3)), anything) == tuple(chosen)


def test_lamps_that_the_greedy_choice_needs_no_more_are_dropped() -> None:
    """The one that brings most comes first, and is idle once both ends have their own."""
    gain = np.zeros((200, 400), dtype=np.int32)
    gain[0, 100:300] = 10
    gain[1, :200], gain[2, 200:] = 9, 9
    gain[3:, :1] = 1
    gain[0] += 1
    need = np.full(400, 9, dtype=np.int32)
    found = cover(gain, need, anything)
    assert (found.chosen, found.enough) == ((1, 2), True)
