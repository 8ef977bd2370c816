"""Closed: what is an opening, and what a hole, in a hut with one wall to the south and a leaf in it."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from genhouse.inspection.closed import closed
from genhouse.inspection.fabric import fabric
from genhouse.inspection.floors import floors
from tests.inspection.blocks import EAVES, Hut


def sentences(hut: Hut) -> list[str]:
    v, sub = hut.voxels(), hut.sub()
    return [f.sentence for f in closed(v, fabric(v, sub)).findings]


HOLE, BARE = "a wall has a hole that is no opening", "an opening has not the leaves that close it"


def test_a_door_shut_closes_a_hut() -> None:
    assert sentences(Hut()) == []


@pytest.mark.parametrize(
    ("leaves", "found"),
    [
        (["leaf near x", "leaf far x"], []),
        (["leaf pair x", None], []),
        ([None, "leaf pair x"], []),
        (["leaf near x", None], [BARE]),
        ([None, None], [BARE]),
    ],
    ids=["shut", "slid west", "slid east", "one lost", "both lost"],
)
def test_leaves_slid_aside_are_all_there(leaves: list[str | None], found: list[str]) -> None:
    hut = Hut()
    hut.clear(np.s_[3:5, 1, 1:3])
    for x, form in enumerate(leaves, 3):
        if form:
            hut.set(np.s_[x, 1, 1:3], "leaf", form, "walls")
    assert sentences(hut) == found


@pytest.mark.parametrize(
    "where",
    [
        np.s_[5, 3, 1],
        np.s_[5, 3, 2],
        np.s_[5, 3, 3],
        np.s_[3, 1, 3],
        np.s_[2, 1, 1],
        np.s_[5, 2:5, 3],
    ],
    ids=["at the foot", "a peephole", "at the head", "over the door", "beside the door", "a slit"],
)
def test_a_hole_is_no_opening(where: Any) -> None:
    hut = Hut()
    hut.clear(where)
    assert sentences(hut) in ([HOLE], [BARE])


def test_half_a_leaf_is_found() -> None:
    hut = Hut()
    hut.clear(np.s_[3, 1, 2])
    assert sentences(hut) != []


def test_a_thin_wall_closes_and_a_thin_post_does_not() -> None:
    hut = Hut()
    hut.set(np.s_[5, 3, 2], "plaster", "infill y")
    assert sentences(hut) == []
    hut.set(np.s_[5, 3, 2], "plaster", "post")
    assert sentences(hut) == [HOLE]


def test_a_floor_has_something_under_it() -> None:
    hut = Hut()
    assert floors(hut.voxels(), fabric(hut.voxels(), hut.sub())).kept
    hut.clear(np.s_[3, 3, 0])
    (finding,) = floors(hut.voxels(), fabric(hut.voxels(), hut.sub())).findings
    assert finding.where == ((3, 3, 1),)


def test_a_door_that_swings_shuts_its_own_cell_and_none_beside_it() -> None:
    hut = Hut()
    hut.set(np.s_[3, 1, 1:3], "leaf", "door leaf x", "walls")
    assert not sentences(hut)
    hut.clear(np.s_[4, 1, 1:3])
    assert sentences(hut)
    hut.set(np.s_[3, 1, 1:3], "leaf", "leaf pair x", "walls")
    assert not sentences(hut)


def test_a_leaf_between_two_rooms_is_as_high_as_their_opening() -> None:
    """Two rooms with a wall between; under its head the passage is two cells high."""
    hut = Hut((9, 8, 8))
    hut.set(np.s_[1:8, 1:6, 1:EAVES], stage="walls")
    hut.set(np.s_[1:8, 1:6, EAVES], stage="roof")
    hut.set(np.s_[3, 1, 1:3], "leaf", "leaf near x", "walls")
    hut.room[4] = 0
    for x, room in ((np.s_[2:4], 1), (np.s_[5:7], 2)):
        hut.clear(np.s_[x, 2:5, 1:EAVES])
        hut.room[x, 2:5, 1:EAVES] = room
    hut.rooms.append(replace(hut.rooms[0], id=2))
    hut.clear(np.s_[4, 3, 1:3])
    assert sentences(hut) == []
    hut.set(np.s_[4, 3, 1:3], "leaf", "leaf near y", "walls")
    assert sentences(hut) == []
    hut.clear(np.s_[4, 3, 2])
    assert sentences(hut) == [BARE]
