"""Sizes of lamps: the smallest that is enough, and a lamp more where none is."""

from __future__ import annotations

import numpy as np
import pytest
from msgspec.structs import replace

from genhouse.core.box import Rect
from genhouse.core.forms import NUMBER
from genhouse.core.light import millilux
from genhouse.model.room import Room
from genhouse.stages.lighting.light import PLENTY, Gains, Place
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
        use=np.full(LONG, HUNG),
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
    assert [spot.use for spot in found.lamps] == [use]
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
    assert {spot.use for spot in found.lamps} == {"double lamp"}
    gains = hall(0)
    dark = replace(gains.places[0], wanted=by_hand(4000, 4) // 8)
    found = only(replace(gains, places=[dark]))
    assert found.light.min() >= dark.wanted


def hindered(gains: Gains, *blocked: tuple[int, int], amount: int = 0) -> Gains:
    """The same where some lamps, by number, bring only so much to some points."""
    found = gains.amount.copy()
    for lamp, point in blocked:
        found[LONG * lamp + point] = amount
    return replace(gains, amount=found)


def test_two_in_the_stead_of_one_leave_no_corner_dark() -> None:
    """Only the last lamp reaches round the corner but for the one that hangs there; it brings the least."""
    gains = hindered(hall(10**6), *((lamp, 8) for lamp in range(8) if lamp != 4))
    want = Want(place=0, lamps=(4,), allowed=lambda some: apart(some) and 4 not in some)
    found = sized(gains, [want], LUMENS)[0]
    assert 4 not in {spot.cell[0] for spot in found.lamps}
    assert 8 in {spot.cell[0] for spot in found.lamps}
    assert found.light.min() >= 1


def test_a_room_that_gets_just_what_its_task_asks_has_enough() -> None:
    light = only(hall(0)).light
    (spot,) = only(hall(mean(light))).lamps
    assert spot.use == SIZES["lamp"][0]
    (spot,) = only(hall(mean(light) + 1)).lamps
    assert spot.use == SIZES["lamp"][1]


def test_larger_lamps_shine_through_nothing() -> None:
    """What keeps back the light of a lamp keeps back that of a larger one."""
    gains = hindered(hall(0), (4, 0))
    found = only(replace(gains, places=[replace(gains.places[0], wanted=0)]))
    assert found.light[0] == 0
    assert found.light[1:].min() > 0


def test_what_lies_under_a_lamps_own_table_is_not_counted() -> None:
    """There it is as light as can be; the mean is that of all other points, however few these are."""
    under = [(4, point) for point in range(LONG) if point != 4]
    for task in (0, by_hand(1000, 4)):
        found = only(hindered(hall(task), *under, amount=PLENTY))
        assert [int(n) for n in found.light if n >= PLENTY] == [PLENTY] * (LONG - 1)
        assert [spot.use for spot in found.lamps] == [SIZES["lamp"][0]]
        assert mean(found.light) == found.light[4]
    asked = int(only(hall(0)).light[4])
    assert [s.use for s in only(hindered(hall(asked), *under, amount=PLENTY)).lamps] == [
        SIZES["lamp"][0]
    ]
    found = only(hindered(hall(10**6), *under, (4, 4), amount=PLENTY))
    assert [spot.use for spot in found.lamps] == [SIZES["lamp"][0]]
