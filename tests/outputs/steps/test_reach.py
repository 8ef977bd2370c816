"""Where a builder stands, and what is within an arm's length, worked by hand and walked cell by cell."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest

from genhouse.house import House, design
from genhouse.outputs.steps._columns import (
    ARM,
    MARGIN,
    ONE,
    reached,
    reached_from,
    room_to_stand,
    walked,
)
from genhouse.outputs.steps.reach import Reach, places, reaches
from genhouse.outputs.steps.steps import Steps, building_steps
from genhouse.traditions.shelf import names
from tests.houses import anyhow

Cell = tuple[int, int, int]
BALL = [d for d in product(range(-ARM, ARM + 1), repeat=3) if sum(n * n for n in d) <= ARM * ARM]


def test_who_stands_on_bare_ground_reaches_a_ball_about_the_eyes() -> None:
    """By hand: eyes in layer 1 over feet in layer 0; the ball of integer radius 5 about them."""
    places = np.zeros((31, 31), dtype=np.uint64)
    places[15, 15] = 1
    found = reached(places)
    for dx, dy, z in ((0, 0, 6), (5, 0, 1), (3, 4, 1), (4, 2, 3), (3, 0, 5)):
        assert int(found[15 + dx, 15 + dy]) >> z & 1, (dx, dy, z)
    for dx, dy, z in ((0, 0, 7), (5, 0, 2), (4, 4, 1), (4, 2, 4), (3, 0, 6)):
        assert not int(found[15 + dx, 15 + dy]) >> z & 1, (dx, dy, z)


def test_from_one_column_one_reaches_what_one_reaches_from_it_among_all() -> None:
    places = np.zeros((31, 24), dtype=np.uint64)
    places[12, 9] = 0b1011100
    assert np.array_equal(reached_from(12 * 24 + 9, places[12, 9], places.shape), reached(places))


def test_one_climbs_a_cell_and_not_two() -> None:
    stands = np.zeros((31, 31), dtype=np.uint64)
    stands[10:20, 10:20] = 1
    stands[12:18, 12:18] = 3
    stands[14:16, 14:16] = 15
    start = np.zeros_like(stands)
    start[0, 0] = ONE
    found = walked(room_to_stand(stands), start)
    assert int(found[11, 11]) == 2
    assert int(found[13, 13]) == 4
    assert int(found[14, 14]) == 0


def test_most_of_a_house_is_within_reach() -> None:
    """What is not is told with its step; the ground is laid from within the pit."""
    house = anyhow(7)
    found = reaches(house.voxels, building_steps(house.plan, house.voxels))
    assert found[0].ground == found[0].pieces
    assert sum(r.pieces for r in found) == np.count_nonzero(house.voxels.form)
    lifted = sum(r.pieces - r.ground - r.aloft - r.laid for r in found)
    assert lifted <= sum(r.pieces for r in found) // 30


class Builder:
    """One who walks a house under construction, cell by cell, knowing only what stands."""

    def __init__(self, house: House, steps: Steps) -> None:
        v = house.voxels
        self.of, self.size = steps.of, v.size
        self.open = v.flag("passable")[v.material]
        self.lane = v.about.gate[2] // 4
        self.bare = ~(v.material > 0).any(axis=2)

    def solid(self, cell: Cell, step: int) -> bool:
        x, y, z = cell
        width, deep, high = self.size
        inside = 0 <= x < width and 0 <= y < deep
        if z < 0 or not inside or self.bare[x, y]:
            return z < self.lane
        return z < high and 0 < self.of[x, y, z] <= step and not self.open[x, y, z]

    def fits(self, cell: Cell, step: int) -> bool:
        x, y, z = cell
        return not self.solid(cell, step) and not self.solid((x, y, z + 1), step)

    def walk(self, step: int, start: set[Cell], rungs: set[Cell]) -> set[Cell]:
        """Where feet get to, from the lane's edge and some places; rungs bear as well as a floor."""
        width, deep, _ = self.size
        todo = [c for c in start | rungs if self.fits(c, step)]
        for x, y in product(range(-MARGIN, width + MARGIN), range(-MARGIN, deep + MARGIN)):
            if x in (-MARGIN, width + MARGIN - 1) or y in (-MARGIN, deep + MARGIN - 1):
                todo.append((x, y, self.lane))
        found = set(todo)
        while todo:
            x, y, z = todo.pop()
            for (dx, dy), dz in product(((1, 0), (-1, 0), (0, 1), (0, -1)), (-1, 0, 1)):
                to = x + dx, y + dy, z + dz
                if (
                    to not in found
                    and -MARGIN <= to[0] < width + MARGIN
                    and -MARGIN <= to[1] < deep + MARGIN
                    and to[2] >= 0
                    and self.fits(to, step)
                    and (to in rungs or to[2] == 0 or self.solid((to[0], to[1], to[2] - 1), step))
                ):
                    found.add(to)
                    todo.append(to)
        return found


def within(feet: set[Cell], *, below: bool) -> set[Cell]:
    found = set()
    for x, y, z in feet:
        found |= {(x + dx, y + dy, z + 1 + dz) for dx, dy, dz in BALL if below or dz >= -1}
    return found


def unreached(house: House, steps: Steps, reach: Reach) -> list[Cell]:
    """Pieces of a step that nobody reaches by the walk above, with the trestles that it tells of."""
    builder, n = Builder(house, steps), reach.step
    rungs = {(t.x, t.y, z) for t in reach.trestles for z in range(t.foot, t.top + 1)}
    before = builder.walk(n - 1, set(), rungs)
    after = builder.walk(n, before, rungs)
    near = within(before, below=True) | within(after, below=False)
    return [c for c in map(tuple, np.argwhere(steps.of == n).tolist()) if c not in near]


@pytest.mark.parametrize("tradition", names())
def test_from_trestles_and_what_stands_every_piece_is_within_reach(tradition: str) -> None:
    """Walked again cell by cell, in the step that has most trestles; each stands in free air on
    what bears it."""
    house = design(3, {"tradition": tradition})
    steps = building_steps(house.plan, house.voxels)
    found = reaches(house.voxels, steps)
    assert sum(r.beyond for r in found) == 0
    most = max(found, key=lambda r: len(r.trestles))
    builder = Builder(house, steps)
    for t in most.trestles:
        for z in range(t.foot, t.top + 1):
            assert builder.fits((t.x, t.y, z), most.step), t
        assert builder.solid((t.x, t.y, t.foot - 1), most.step), t
    assert unreached(house, steps, most) == []


@pytest.mark.parametrize("tradition", names())
@pytest.mark.parametrize("seed", range(410, 413))
def test_trestles_are_few(tradition: str, seed: int) -> None:
    """In one place for each hundred pieces at most, and none that is of no use."""
    house = design(seed, {"tradition": tradition})
    found = reaches(house.voxels, building_steps(house.plan, house.voxels))
    assert sum(r.beyond for r in found) == 0
    assert places(found) <= np.count_nonzero(house.voxels.form) // 100
    for one in found:
        assert bool(one.trestles) <= (one.ground + one.aloft + one.laid < one.pieces)
