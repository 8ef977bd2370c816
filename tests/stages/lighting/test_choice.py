"""Choosing lamps for one place, of spots in a row."""

from __future__ import annotations

import numpy as np
import pytest

from genhouse.core.box import Rect
from genhouse.core.forms import NUMBER
from genhouse.model.room import Room
from genhouse.stages.lighting.choice import Chooser
from genhouse.stages.lighting.light import Gains, Place
from genhouse.stages.lighting.places import HUNG, Spots

LEFT, RIGHT = (4, 10, 12, 0, 0, 0), (0, 0, 0, 12, 10, 4)
"""What lamps at x = 0, 1, .. bring to the two ends of a hall."""


def hall(wanted: int) -> Chooser:
    number = len(LEFT)
    room = Room(id=1, kind="hall", level=1, rects=(Rect(0, 0, number, 1),), floor=3, ceiling=7)
    ends = np.array([(0, 0, 3), (number - 1, 0, 3)], dtype=np.int32)
    place = Place(rooms=(room,), middle=(number - 1, 0), cells=ends, points=8 * ends, wanted=wanted)
    gains = Gains(
        places=[place],
        given=[np.zeros(2, dtype=np.int32)],
        spots=Spots(
            place=np.zeros(number, dtype=np.int32),
            cell=np.array([(x, 0, 6) for x in range(number)], dtype=np.int32),
            form=np.full(number, NUMBER["hanging lamp"]),
            use=np.full(number, HUNG),
        ),
        amount=np.stack((LEFT, RIGHT), axis=1).reshape(-1).astype(np.int32),
        point=np.tile((0, 1), number),
        begins=2 * np.arange(number + 1),
        firsts=(0, number),
    )
    return Chooser.of(gains, {})


@pytest.mark.parametrize(("wanted", "expected"), [(10, (1, 3)), (11, (2, 3))])
def test_lamps_hang_apart_where_that_is_enough(wanted: int, expected: tuple[int, int]) -> None:
    """Side by side the two in the middle leave 12 at the ends, those a cell apart 10."""
    choice = hall(wanted).choices({0: False})[0]
    assert tuple(spot.cell[0] for spot in choice.lamps) == expected
    assert (choice.enough, choice.fewest) == (True, 2)
    assert choice.light.min() >= wanted


def test_one_lamp_that_is_enough_is_the_brightest() -> None:
    gains = hall(4).gains
    gains.amount[:] += 4
    choice = Chooser.of(gains, {}).choices({0: False})[0]
    assert [spot.cell[0] for spot in choice.lamps] == [0]
    assert (choice.enough, choice.fewest, choice.light.tolist()) == (True, 1, [8, 4])


def test_as_much_as_can_be_done_is_done_where_asked() -> None:
    """All together bring 26 to each end."""
    assert not hall(30).choices({0: False})[0].lamps
    choice = hall(30).choices({0: True})[0]
    assert choice.light.tolist() == [26, 26]
    assert not choice.enough
