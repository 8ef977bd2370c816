"""Sizes of lamps: the smallest that is enough, and a lamp more where none is."""

from __future__ import annotations

import numpy as np
import pytest
from msgspec.structs import replace

from genhouse.core.box import Rect
from genhouse.core.forms import NUMBER
from genhouse.core.light import millilux
from genhouse.model.room import Room
from genhouse.stages.lighting.light import Gains, Place
from genhouse.stages.lighting.places import CENTRES, HUNG, Spots
from genhouse.stages.lighting.sizes import SIZES, Sized, Want, mean, sized

LUMENS = dict(zip(SIZES["lamp"], (1000, 2000, 4000, 8000), strict=True))
LONG = 9


def hall(task: int) -> Gains:
    """A hall a cell wide, lamps over all of it, three cells above one's feet."""
    room = Room(id=1, kind="hall", level=1, rects=(Rect(0, 0, LONG, 1),), floor=3, ceiling=7)
    cells = np.array([(x, 0, 3) for x in range(LONG)], dtype=np.int32)
    points = 8 * cells + np.array((4, 4, 0), dtype=np.int32)
    spots = Spots(
        place=np.zeros(LONG, dtype=np.int32),
        cell=cells + np.array((0, 0, 3), dtype=np.int32),
        form=np.full(LONG, NUMBER["hanging lamp"]),
        kind=np.full(LONG, HUNG),
    )
    amount = millilux(LUMENS["lamp"], spots.at[:, None], points[None])
    place = Place(
        rooms=(room,), middle=(LONG - 1, 0), cells=cells, points=points, wanted=1, task=task
    )
    return Gains(
        places=[place],
        given=[np.zeros(LONG, dtype=np.int32)],
        spots=spots,
        amount=amount.reshape(-1),
        point=np.tile(np.arange(LONG), LONG),
        begins=LONG * np.arange(LONG + 1),
        firsts=(0, LONG),
    )


def by_hand(lumens: int, *lamps: int) -> int:
    """Millilux on the mean: I / h^2 with the cube of the cosine, from a lamp's middle."""
    high = (24 + int(CENTRES[NUMBER["hanging lamp"]][2])) / 8
    light = [
        sum(
            1000 * lumens / (4 * np.pi) * high / (high**2 + (x - lamp) ** 2) ** 1.5
            for lamp in lamps
        )
        for x in range(LONG)
    ]
    return round(sum(light) / LONG)


def apart(spots: object) -> bool:
    return min(np.diff(sorted(spots)), default=9) > 1  # type: ignore[call-overload]


def only(gains: Gains) -> Sized:
    """The lamp in the middle of the hall, in its size."""
    return sized(gains, [Want(place=0, lamps=(4,), allowed=apart)], LUMENS)[0]


@pytest.mark.parametrize("size", range(4))
def test_the_smallest_size_that_is_enough(size: int) -> None:
    use = SIZES["lamp"][size]
    asked = by_hand(LUMENS[use], 4) - 5
    found = only(hall(asked))
    assert [spot.kind.use for spot in found.lamps] == [use]
    assert abs(mean(found.light) - asked - 5) < 3


def test_a_lamp_more_where_the_largest_is_not_enough() -> None:
    """Two are enough then, and as large as they need be."""
    asked = by_hand(LUMENS["double lamp"], 4) + 100
    found = only(hall(asked))
    assert len(found.lamps) == 2
    assert mean(found.light) >= asked
    assert abs(found.lamps[0].cell[0] - found.lamps[1].cell[0]) > 1


def test_no_more_than_two_are_added_and_a_corner_keeps_its_least() -> None:
    found = only(hall(10**6))
    assert len(found.lamps) == 3
    assert {spot.kind.use for spot in found.lamps} == {"double lamp"}
    gains = hall(0)
    dark = replace(gains.places[0], wanted=by_hand(4000, 4) // 8)
    found = only(replace(gains, places=[dark]))
    assert found.light.min() >= dark.wanted
