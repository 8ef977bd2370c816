"""Stairs: equal risers, headroom and a guard, measured on the cells."""

from __future__ import annotations

import numpy as np
import pytest

from genhouse.core.axes import STEP
from tests.houses import SEEDS, SUB, TIMBER, cells, fine, house, plan
from tests.reference import published

STAIR, GUARD = published("dwelling")["stair"], published("dwelling")["guard"]
MM = 1000 // SUB
"""Millimetres of a quarter cell, a cell standing for a metre."""
each_seed = pytest.mark.parametrize("seed", SEEDS)


@each_seed
def test_five_equal_risers_sum_to_the_storey_height(seed: int) -> None:
    """Reference notes, 5: riser times count equals the storey height exactly, all risers equal."""
    treads = cells(house(seed), "tread")
    layers = sorted({z for _, _, z in treads})
    storey = TIMBER.storeys[1].floor - TIMBER.storeys[0].floor
    assert layers == list(range(TIMBER.storeys[0].floor, TIMBER.storeys[1].floor))
    assert len(layers) == storey == 5
    assert [len([t for t in treads if t[2] == z]) for z in layers] == [2] * 5


@each_seed
def test_a_flight_is_straight_and_wide_enough(seed: int) -> None:
    """IRC 2018 R311.7: at least 36 in wide."""
    stair = house(seed).plan.stairs[0]
    dx, dy = STEP[stair.rise]  # type: ignore[index]
    for a, b in zip(stair.run, stair.run[1:], strict=False):
        assert (b.x0 - a.x0, b.y0 - a.y0) == (dx, dy)
    assert {r.area for r in stair.run} == {2}
    assert STAIR["width_mm"] <= 1000 * 2


@each_seed
def test_headroom_over_every_tread(seed: int) -> None:
    """IRC 2018 R311.7: 6 ft 8 in (2032 mm) above the treads, over the width left between walls and guard.

    The guard and the trimmer below it take the outer quarter of the well's edge.
    """
    found = house(seed)
    solid = fine(found.voxels)
    guard = np.zeros_like(solid[..., 0])
    for x, y, z in cells(found, "rail", "trimmer"):
        cell = solid[SUB * x : SUB * x + SUB, SUB * y : SUB * y + SUB, SUB * z : SUB * z + SUB]
        guard[SUB * x : SUB * x + SUB, SUB * y : SUB * y + SUB] |= cell.any(axis=2)
    for x, y, z in cells(found, "tread"):
        clear = [
            _clear(solid[u, v], SUB * z)
            for u in range(SUB * x, SUB * x + SUB)
            for v in range(SUB * y, SUB * y + SUB)
            if not guard[u, v]
        ]
        assert len(clear) >= SUB * (SUB - 1), "three quarters of the step's width at least"
        assert min(clear) >= 7, "a body passes"
        assert min(clear) * MM >= STAIR["headroom_mm"]


def _clear(column: np.ndarray, low: int) -> int:
    """Free quarters above the tread in the cell that begins at this quarter."""
    tread = low + int(np.flatnonzero(column[low : low + SUB]).max()) + 1
    over = column[tread:]
    return int(over.argmax()) if over.any() else len(over)


@each_seed
def test_each_half_step_is_climbed_in_turn(seed: int) -> None:
    """A step's piece rises half a cell before and half behind, the way the flight climbs."""
    found = house(seed)
    treads = [p for p in found.plan.parts if p.role == "tread"]
    assert {p.form for p in treads} == {f"tread {found.plan.stairs[0].rise}"}
    for x, y, z in cells(found, "tread"):
        under = found.voxels.form[x, y, TIMBER.storeys[0].slab : z]
        assert (under > 0).all(), "a flight stands on the floor, closed below"


@each_seed
def test_a_guard_stands_along_the_open_well(seed: int) -> None:
    """IRC 2018 R312: at least 36 in high wherever the floor drops away; one walks off the last step."""
    found = house(seed)
    stair, solid = found.plan.stairs[0], fine(found.voxels)
    level = TIMBER.storeys[1].floor
    floored = {(x, y) for x, y, z in cells(found, "upper-board") if z == level - 1}
    last = set(stair.run[-1].cells())
    high = SUB * level + -(-GUARD["height_mm"] // MM) - 1
    for x, y in stair.well.cells():
        for dx, dy in STEP.values():
            beyond = (x + dx, y + dy)
            if (x, y) in last or stair.well.has(*beyond) or beyond not in floored:
                continue
            across = _between((x, y), beyond, solid[:, :, high])
            assert across.all(), f"no guard between {(x, y)} and {beyond}"


def _between(a: tuple[int, int], b: tuple[int, int], layer: np.ndarray) -> np.ndarray:
    """For each of four lines from one cell to the next, whether something solid lies on it."""
    (x0, y0), (x1, y1) = min(a, b), max(a, b)
    both = layer[SUB * x0 : SUB * x1 + SUB, SUB * y0 : SUB * y1 + SUB]
    return np.asarray(both.any(axis=0 if x1 > x0 else 1))


@each_seed
def test_the_flight_lies_in_the_stair_hall_along_an_outer_wall(seed: int) -> None:
    p = plan(seed)
    hall = next(r for r in p.rooms.rooms if r.kind == "stairhall")
    run = p.rooms.stairs[0].run[0].hull(p.rooms.stairs[0].run[-1])
    assert p.rooms.stairs[0].room == hall.id
    assert hall.rect.meet(run) == run
    assert p.rooms.stairs[0].well == p.rooms.stairs[0].run[1].hull(p.rooms.stairs[0].run[-1])
