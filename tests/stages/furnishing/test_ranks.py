"""Ranks: packed words against plain Python, two things of one value and words too small included."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
import pytest

from genhouse.stages.furnishing import ranks
from genhouse.stages.furnishing.ranks import HALF, LINES, ROOMS, Ints, Told, best, plainly


def by_hand(
    value: Sequence[int], ends: Sequence[int], width: int, thing: Sequence[int]
) -> list[list[int]]:
    """The lines of each room: repeatedly the first of the greatest value that is no thing seen before."""
    found, start = [], 0
    for end in ends:
        left, mine = list(range(start, end)), []
        while left and len(mine) < width:
            most = max(value[line] for line in left)
            line = next(line for line in left if value[line] == most)
            mine.append(line)
            left = [other for other in left if thing[other] != thing[line]]
        found.append(mine)
        start = end
    return found


def drawn(seed: int, worths: int) -> tuple[Ints, list[int], Ints]:
    """Rooms of lines, some empty; things that some lines share, each of one of so few values."""
    dice = np.random.default_rng(seed)
    ends = dice.integers(0, 60, dice.integers(1, 7)).cumsum().tolist()
    thing = dice.integers(0, 40, ends[-1]) if ends[-1] else np.zeros(0, dtype=np.int64)
    return dice.integers(-worths, worths + 1, 40)[thing], ends, thing


def split(line: Ints, kept: Sequence[int]) -> list[list[int]]:
    starts = np.cumsum((0, *kept)).tolist()
    return [line[a:b].tolist() for a, b in pairwise(starts)]


def telling(thing: Ints) -> Told:
    return lambda lines: thing[lines][:, None]


@pytest.mark.parametrize("rank", [best, plainly])
@pytest.mark.parametrize("worths", [0, 2, 10**9])
def test_the_best_of_each_room_and_no_thing_twice(rank: object, worths: int) -> None:
    """Of values that hardly ever meet, that often do, and that are all one."""
    for seed in range(60):
        value, ends, thing = drawn(seed, worths)
        for width in (1, 5, 100):
            line, kept = rank(value, ends, width, telling(thing))  # type: ignore[operator]
            assert split(line, kept) == by_hand(value.tolist(), ends, width, thing.tolist())


def test_what_fits_no_word_is_answered_all_the_same() -> None:
    dice = np.random.default_rng(1)
    for size, rooms, most in ((LINES + 9, 2, 50), (400, ROOMS + 5, 50), (50, 2, 3 * HALF)):
        ends = np.linspace(0, size, rooms + 1).astype(int)[1:].tolist()
        thing = np.arange(size)
        value = dice.integers(-most, most, size)
        line, kept = best(value, ends, 3, telling(thing))
        assert kept == [min(3, b - a) for a, b in pairwise((0, *ends))]
        start = 0
        for end, mine in zip(ends, split(line, kept), strict=True):
            assert mine == sorted(range(start, end), key=lambda n: (-value[n], n))[:3]
            start = end


def test_the_plain_way_is_gone_only_where_two_things_share_a_value(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    gone = []

    def watched(*arguments: object) -> object:
        gone.append(1)
        return plainly(*arguments)  # type: ignore[arg-type]

    monkeypatch.setattr(ranks, "plainly", watched)
    thing = np.array([0, 1, 0, 2, 1, 3])
    best(np.array([5, 4, 5, 3, 4, 2]), [6], 10, telling(thing))
    assert not gone
    best(np.array([5, 4, 5, 4, 4, 2]), [6], 10, telling(thing))
    assert gone
