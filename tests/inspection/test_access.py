"""Access: a body one cell wide and seven quarters tall, half a cell up or down a step."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from genhouse.inspection.access import CLIMB, TALL, access, walk, walked
from tests.inspection.blocks import EAVES, FLOOR, Hut


def sentences(hut: Hut) -> list[str]:
    v, sub = hut.voxels(), hut.sub()
    return [f.sentence for f in access(v, walk(v, sub)).findings]


SHUT = ["room 1 (hall) cannot be reached from the gate"]


def test_the_body_is_the_contracts() -> None:
    """The file contract, 3: seven quarter-cells tall, half a cell up or down a step."""
    assert (TALL, CLIMB) == (7, 2)


def test_a_visitor_walks_into_a_hut() -> None:
    hut = Hut()
    assert sentences(hut) == []
    way = walk(hut.voxels(), hut.sub())
    assert way.reached[2:5, 2:5, 1].all()
    assert way.reached[3, 1, 1], "in the doorway"
    assert not way.reached[1, 3].any()
    roof = way.could[:, :, 5]
    assert roof[1:6, 1:6].all(), "one can stand on the roof"
    assert not way.reached[:, :, 5].any(), "and cannot climb it"


def test_where_one_walks_is_where_anyone_could_if_nobody_stands_at_the_gate() -> None:
    hut = Hut()
    way = walk(hut.voxels(), hut.sub())
    assert np.array_equal(walked(hut.voxels()), way.reached)
    x, y, z = hut.voxels().about.gate
    hut.set((x, y, z // 4), "plaster", "whole", "walls")
    shut = walk(hut.voxels(), hut.sub())
    assert not shut.reached.any()
    assert walked(hut.voxels())[2:5, 2:5, 1].all()
    assert np.array_equal(walked(hut.voxels()), shut.could)


@pytest.mark.parametrize(
    ("form", "passes"),
    [
        ("air", True),
        ("sheet", True),
        ("half course", True),
        ("whole", False),
        ("panel west", False),
        ("post", False),
        ("cushion", True),
    ],
)
def test_what_lies_in_a_doorway(form: str, passes: bool) -> None:
    hut = Hut()
    hut.clear(np.s_[3, 1, 1:3])
    hut.set(
        (3, 1, 1), "air" if form == "air" else "plaster", form, "air" if form == "air" else "walls"
    )
    hut.clear(np.s_[3, 1, 3])
    assert sentences(hut) == ([] if passes else SHUT)


@pytest.mark.parametrize(
    ("height", "passes"),
    [("half course", False), ("half soffit", True)],
    ids=["six quarters", "a storey"],
)
def test_what_hangs_over_a_doorway(height: str, passes: bool) -> None:
    hut = Hut()
    hut.clear(np.s_[3, 1, 1:4])
    if height == "half soffit":
        hut.set((3, 1, 3), form=height)
    else:
        hut.set((3, 1, 2), form="half soffit")
    assert sentences(hut) == ([] if passes else SHUT)


def test_a_leaf_that_does_not_open_shuts_the_room() -> None:
    hut = Hut()
    hut.set(np.s_[3, 1, 1:3], "plaster", "leaf near x")
    assert sentences(hut) == SHUT


def test_a_step_of_a_whole_cell_is_too_high_and_a_half_before_it_helps() -> None:
    hut = Hut()
    hut.clear(np.s_[3, 1, 1:4])
    hut.set(np.s_[2:5, 1:5, 1], stage="walls")
    hut.set(np.s_[1:6, 1:6, 5], stage="roof")
    hut.clear(np.s_[2:5, 2:5, 4])
    hut.room[2:5, 2:5] = 0
    hut.room[2:5, 2:5, 2:5] = 1
    assert sentences(hut) == SHUT
    hut.set((3, 0, 1), form="half course")
    hut.gate = (0, 0, 4)
    assert sentences(hut) == []


@pytest.mark.parametrize(
    "gate",
    [
        (1, 3, 4),
        (3, 0, 6),
        (3, 0, 0),
        (3, 0, 40),
        (-1, 0, 4),
        (8, 0, 4),
    ],
)
def test_nobody_stands_in_a_wall_or_in_the_air(gate: Any) -> None:
    hut = Hut()
    hut.gate = gate
    assert sentences(hut) == ["nobody can stand at the gate"]


def test_nobody_wades() -> None:
    hut = Hut()
    hut.set(np.s_[:, 0, 0], "water", "whole", "site")
    hut.set(np.s_[2:5, 0, 0], stage="site")
    assert sentences(hut) == []
    hut.gate = (0, 7, 4)
    hut.set(np.s_[2:5, 0, 0], "water", "whole", "site")
    assert sentences(hut) == SHUT


@pytest.mark.parametrize(
    ("beside", "served"), [((2, 4), True), ((3, 4), False)], ids=["one side free", "walled in"]
)
def test_a_fitting_must_have_someone_beside_it(beside: tuple[int, int], served: bool) -> None:
    hut = Hut()
    hut.set((2, 4, 1), form="whole", stage="fittings")
    hut.set((2, 3, 1), stage="walls")
    hut.set((2, 3, 2), stage="walls")
    if not served:
        hut.set(np.s_[3, 4, 1:4], stage="walls")
    assert sentences(hut) == ([] if served else ["a fitting cannot be reached"])


@pytest.mark.parametrize(("up", "served"), [(0, True), (1, True), (2, False)])
def test_a_fitting_is_served_from_a_cell_below_it_but_not_from_two(up: int, served: bool) -> None:
    """On a wall so many cells over the floor on which one stands."""
    hut = Hut()
    hut.set((2, 4, FLOOR + up), form="whole", stage="fittings")
    assert sentences(hut) == ([] if served else ["a fitting cannot be reached"])


@pytest.mark.parametrize(("down", "served"), [(0, True), (1, True), (2, False)])
def test_a_fitting_is_served_from_a_cell_above_it_but_not_from_two(down: int, served: bool) -> None:
    """At the edge of a floor a cell high, up to which a step leads: on it, level with it, or in a pit."""
    hut = Hut()
    hut.set(np.s_[2:4, 3, FLOOR], form="half course")
    hut.set(np.s_[2:4, 4, FLOOR])
    hut.set(np.s_[4, 3, FLOOR:EAVES])
    hut.set((4, 4, FLOOR + 1 - down), form="whole", stage="fittings")
    hut.room[4, 4, :FLOOR] = 1
    assert sentences(hut) == ([] if served else ["a fitting cannot be reached"])


def test_a_room_that_nobody_walks_in_need_not_be_reached() -> None:
    hut = Hut()
    hut.set(np.s_[3, 1, 1:3], "plaster", "whole")
    hut.hall(walkable=False)
    assert sentences(hut) == []
