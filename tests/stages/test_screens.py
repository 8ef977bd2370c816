"""Screens: leaves slide over their neighbours; none is lost or added."""

from __future__ import annotations

import pytest

from tests.houses import SEEDS, TIMBER, cells, house, plan

each_seed = pytest.mark.parametrize("seed", SEEDS)
LOW, HIGH = TIMBER.storeys


@each_seed
def test_a_row_keeps_its_leaves_however_far_it_is_slid(seed: int) -> None:
    rows = [wall for wall in plan(seed).all["screens"] if wall.opening == "screens"]
    assert rows
    for wall in rows:
        assert len(wall.leaves) == sum(wall.leaves) == wall.way.area
        assert set(wall.leaves) <= {0, 1, 2}
        assert wall.leaves.count(0) == wall.leaves.count(2)


def test_some_stand_open_and_some_shut() -> None:
    rows = [wall.leaves for seed in SEEDS for wall in plan(seed).all["screens"] if wall.leaves]
    opened = [leaves.count(0) for leaves in rows]
    assert 0 in opened
    assert max(opened) >= 1


@each_seed
def test_leaves_stand_in_their_way_up_to_the_lower_beam_or_through_the_plate(seed: int) -> None:
    found = house(seed)
    leaves = cells(found, "screen", "partition-screen")
    ways = {
        (*c, z)
        for s in found.plan.segments
        if s.opening == "screens" and s.way is not None
        for c in s.way.cells()
        for z in (
            range(LOW.floor, LOW.lintel) if s.level == 1 else range(HIGH.floor, HIGH.head + 1)
        )
    }
    assert set(leaves) <= ways


@each_seed
def test_what_is_passed_through_can_be_opened_and_court_screens_let_in_light(seed: int) -> None:
    """The file contract: ``passable`` is a leaf that a person opens; ``clear`` lets light pass."""
    material = dict(house(seed).plan.palette.roles)
    for role in ("screen", "partition-screen", "door", "gate-leaf"):
        assert material[role].passable
    assert material["screen"].clear


@each_seed
def test_doors_hang_in_every_hinged_opening(seed: int) -> None:
    found = house(seed)
    doors = {c[:2] for c in cells(found, "door")}
    for s in found.plan.segments:
        if s.opening in ("door", "entrance") and s.way is not None:
            assert set(s.way.cells()) <= doors
