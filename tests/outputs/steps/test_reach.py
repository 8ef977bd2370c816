"""Where a builder stands, and what is within an arm's length, worked by hand."""

from __future__ import annotations

import numpy as np

from genhouse.outputs.steps import reach
from genhouse.outputs.steps.reach import ARM, INNER, reaches
from genhouse.outputs.steps.steps import building_steps
from tests.houses import anyhow


def test_who_stands_on_bare_ground_reaches_a_ball_about_the_eyes() -> None:
    """By hand: eyes in layer 1 over feet in layer 0; the ball of integer radius 5 about them."""
    places = np.zeros((31, 31), dtype=np.uint64)
    places[15, 15] = 1
    found = reach._round(places, below=True)
    for dx, dy, z in ((0, 0, 6), (5, 0, 1), (3, 4, 1), (4, 2, 3), (3, 0, 5)):
        assert int(found[10 + dx, 10 + dy]) >> z & 1, (dx, dy, z)
    for dx, dy, z in ((0, 0, 7), (5, 0, 2), (4, 4, 1), (4, 2, 4), (3, 0, 6)):
        assert not int(found[10 + dx, 10 + dy]) >> z & 1, (dx, dy, z)


def test_one_climbs_a_cell_and_not_two() -> None:
    stands = np.zeros((31, 31), dtype=np.uint64)
    stands[10:20, 10:20] = 1
    stands[12:18, 12:18] = 3
    stands[14:16, 14:16] = 15
    places = reach._places(stands, np.zeros_like(stands))
    assert int(places[11, 11]) == 2
    assert int(places[13, 13]) == 4
    assert int(places[14, 14]) == 0


def test_most_of_a_house_is_within_reach() -> None:
    """What is not is told with its step; the ground is laid from within the pit."""
    house = anyhow(7)
    found = reaches(house.voxels, building_steps(house.plan, house.voxels))
    assert found[0].beyond == 0
    assert sum(r.pieces for r in found) == np.count_nonzero(house.voxels.form)
    assert sum(r.beyond for r in found) <= sum(r.pieces for r in found) // 50
    assert all((r.lowest is None) == (r.beyond == 0) for r in found)
    assert np.s_[ARM:-ARM, ARM:-ARM] == INNER
