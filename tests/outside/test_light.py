"""Light by closed forms, against lamps and screens whose answer is worked by hand."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Any

import numpy as np
import pytest

from tests.outside.cells import House
from tests.outside.light import LEAST, Floor, clear, floor_of, illuminance, lamps_of, light
from tests.outside.specimen import put, sealed, specimen
from tests.outside.walk import reached

HERE = Floor(np.array([(7.5, 7.5, 1.0)]), np.array([1]))


def hall(*pieces: tuple[Any, str, str], lumens: int = 4000) -> House:
    """The specimen with one lamp in its hall, its middle at (6.5, 6.5, 3.625), and some pieces more."""
    arrays, about = specimen()
    put(arrays, np.s_[5:9, 5:9, 3], "air", "air", "air")
    put(arrays, np.s_[6, 6, 3], "paper", "hung lamp", "lamps")
    for cells, material, form in pieces:
        put(arrays, cells, material, form, "walls")
    about["materials"][8]["lumens"] = lumens
    return House(sealed(arrays, about))


def lux(house: House, *, sure: bool = True, own: bool = True) -> float:
    return float(illuminance(house, HERE, lamps_of(house), own=own, sure=sure)[0])


def test_lamps_are_found_in_the_middle_of_what_they_fill() -> None:
    """Three quarters of its cell from the top: 1/4 + 3/8 up."""
    found = lamps_of(hall())
    assert found.at.tolist()[0] == [6.5, 6.5, 3.625]
    assert (found.lumens == 4000).all()
    assert found.room.tolist() == [1, 2, 2]


def test_inverse_square_and_cosine() -> None:
    """A metre aside each way and 2.625 m down: d^2 = 8.890625, E = 4000 / (4 pi) 2.625 / d^3."""
    assert lux(hall()) == pytest.approx(4000 / (4 * math.pi) * 2.625 / 8.890625**1.5, rel=1e-9)
    assert lux(hall(lumens=100)) == pytest.approx(lux(hall()) / 40)


def test_only_what_is_in_the_way_stops_light() -> None:
    """The ray runs from (6.5, 6.5, 3.625) to (7.5, 7.5, 1.125): it is at (7, 7) half way, at 2.375."""
    free = lux(hall())
    assert lux(hall((np.s_[7, 7, 1], "plaster", "whole"))) == 0
    assert lux(hall((np.s_[7, 6, 1:4], "plaster", "whole")), sure=False) == free
    assert lux(hall((np.s_[7, 6, 1:4], "plaster", "whole"))) == 0, "it grazes that wall's edge"
    assert lux(hall((np.s_[7, 7, 2], "plaster", "half course"))) == 0
    assert lux(hall((np.s_[7, 7, 2], "plaster", "half soffit"))) == free, "it is below 2.375 there"
    assert lux(hall((np.s_[7, 7, 2], "paper", "whole"))) >= free, "paper lets light pass"


def test_light_from_the_next_room_comes_through_the_opening_alone() -> None:
    """From the hall's east side one sees the chamber's lamps through the opening, from its corner not."""
    house = hall()
    before, aside = (Floor(np.array([(8.5, y, 1.0)]), np.array([1])) for y in (6.5, 8.5))
    for floor, more in ((before, True), (aside, False)):
        alone, all_lamps = (
            illuminance(house, floor, lamps_of(house), own=own, sure=True) for own in (True, False)
        )
        assert (all_lamps > alone) == more


def test_a_ray_between_posts_of_a_grid_is_followed_exactly() -> None:
    """A thousand rays of integer ends, against the same asked in whole numbers of every sub-cell."""
    dice = np.random.default_rng(3)
    house = hall(
        *((np.s_[x, y, 1:3], "plaster", "jamb") for x, y in ((5, 7), (7, 5), (6, 7), (8, 8)))
    )
    start = dice.integers(5 * 8 + 1, 9 * 8, (1000, 3)) / 8
    end = dice.integers(5 * 8 + 1, 9 * 8, (1000, 3)) / 8
    start[:, 2], end[:, 2] = (dice.integers(8, 32, 1000) / 8 for _ in range(2))
    sure, maybe = (clear(house, start, end, sure=q) for q in (True, False))
    opaque = np.argwhere(house.filled & ~house.flag("clear"))
    low, high = 2 * opaque, 2 * opaque + 2
    for n in range(0, 1000, 5):
        a, b = (np.rint(8 * ends[n]).astype(int) for ends in (start, end))
        assert sure[n] == (not _touches(a, b, low, high, closed=True).any())
        assert maybe[n] >= sure[n]
        assert not maybe[n] or not _touches(a, b, low, high, closed=False).any()


def _touches(a: Any, b: Any, low: Any, high: Any, *, closed: bool) -> Any:
    """Whether a segment meets boxes, by clipping it to their slabs in fractions of whole numbers."""
    found = np.zeros(len(low), dtype=bool)
    near = ((np.minimum(a, b) <= high) & (np.maximum(a, b) >= low)).all(axis=1)
    for n in np.flatnonzero(near).tolist():
        first, last, within = Fraction(0), Fraction(1), True
        for axis in range(3):
            p, d = int(a[axis]), int(b[axis] - a[axis])
            lo, hi = int(low[n][axis]), int(high[n][axis])
            if d == 0:
                within &= lo <= p <= hi if closed else lo < p < hi
            else:
                s, t = sorted((Fraction(lo - p, d), Fraction(hi - p, d)))
                first, last = max(first, s), min(last, t)
        found[n] = within and (first <= last if closed else first < last)
    return found


def test_a_dark_corner_is_named() -> None:
    house = hall(lumens=600)
    (finding,) = [f for f in light(house, reached(house), LEAST) if "hall" in f.sentence]
    assert finding.check == "light"
    assert finding.sentence.startswith("room 1 (hall) has ")
    assert all(house.room[cell] == 1 for cell in finding.where)
    assert not list(light(house, reached(house), 0.1))
    assert not list(light(house, None, LEAST))


def test_a_floor_is_where_one_stands_square_and_lowest() -> None:
    house = hall()
    at = floor_of(house, reached(house)).at
    assert (at[:, :2] % 1 == 0.5).all()
    assert sorted(set(at[:, 2].tolist())) == [1.0, 1.5]
    assert (5.5, 8.5, 1.0) not in set(map(tuple, at.tolist())), "a chest stands there"
