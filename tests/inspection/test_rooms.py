"""Rooms: the table and the cells agree; floor enough; one stands upright."""

from __future__ import annotations

import numpy as np
import pytest

from genhouse.inspection.access import walk
from genhouse.inspection.rooms import LEAST_FLOOR, headroom, rooms
from tests.inspection.blocks import Hut
from tests.reference import published


def low(hut: Hut) -> bool:
    v, sub = hut.voxels(), hut.sub()
    return not headroom(v, walk(v, sub)).kept


def test_the_least_floor_is_the_codes() -> None:
    """IRC 2018 R304.1: 70 sq ft, 6.5 m2; a cell stands for a square metre."""
    least = published("dwelling")["room"]["area_m2"]
    assert LEAST_FLOOR - 1 < least <= LEAST_FLOOR


@pytest.mark.parametrize("cells", range(9))
def test_a_room_of_fewer_cells_is_too_small(cells: int) -> None:
    hut = Hut()
    keep = list(np.ndindex(3, 3))[: 9 - cells]
    room = hut.room[2:5, 2:5]
    for at in np.ndindex(3, 3):
        if at not in keep:
            room[at] = 0
    assert rooms(hut.voxels(), ()).kept == (9 - cells >= 7)


def test_rooms_outdoors_may_be_small() -> None:
    hut = Hut()
    hut.hall(indoor=False)
    hut.room[3:] = 0
    assert rooms(hut.voxels(), ()).kept


def test_a_number_that_the_table_does_not_know_is_found_where_it_is() -> None:
    hut = Hut()
    hut.room[7, 7, 3] = 9
    (finding,) = rooms(hut.voxels(), ()).findings
    assert finding.where == ((7, 7, 3),)
    assert "room 9" in finding.sentence


def test_half_of_a_floor_may_be_low_and_no_more() -> None:
    """IRC 2018 R305.1 (from memory): half of a floor under a slope may be lower."""
    hut = Hut()
    assert not low(hut)
    hut.set(np.s_[2:5, 2, 2:4])
    assert not low(hut)
    hut.set(np.s_[2, 3:5, 2:4])
    assert low(hut)
