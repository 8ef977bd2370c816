"""Outer verandas: dry, level with the rooms that slide open to them, before a garden, and walked on."""

from __future__ import annotations

from functools import cache

import pytest

from genhouse.house import House, design, make
from genhouse.inspection.access import walk
from genhouse.inspection.subcells import subcells
from genhouse.model.brief import Brief, Recipe
from genhouse.model.room import OUTER, Room
from genhouse.stages.verandas import GARDEN, LEAST

BRIEF = Brief(plot=(34, 44), arrangement="tail", gate="south", storeys=1)
SEEDS = range(5)
SHALLOW = 2
"""Cells from the wall to where eaves drip: the boards, and ground on which one sits (common practice)."""


@cache
def house(seed: int) -> House:
    """The first house with a veranda to a garden from a seed on, of some that have room for one."""
    some = (make(Recipe(seed=n, brief=BRIEF)) for n in range(100 * seed, 100 * seed + 20))
    return next(h for h in some if any(r.kind == OUTER for r in h.plan.rooms))


def outer(seed: int) -> Room:
    (walk,) = (room for room in house(seed).plan.rooms if room.kind == OUTER)
    return walk


def test_some_houses_have_one_and_some_have_none() -> None:
    found = [any(r.kind == OUTER for r in design(seed).plan.rooms) for seed in range(12)]
    assert 0 < sum(found) < len(found)


@pytest.mark.parametrize("seed", SEEDS)
def test_it_is_roofed_level_with_its_rooms_and_wide_enough_to_walk(seed: int) -> None:
    room, voxels, plan = outer(seed), house(seed).voxels, house(seed).plan
    boards = room.rects[0]
    assert max(boards.width, boards.depth) >= LEAST
    assert min(room.rect.width, room.rect.depth) == SHALLOW
    roof = voxels.set_by("roof")
    for x, y in room.rect.cells():
        assert roof[x, y, room.floor + 2 :].any(), "rain falls on it"
    behind = {n for s in plan.segments if room.id in (s.low, s.high) for n in (s.low, s.high)}
    assert {plan.room(n).floor for n in behind} == {room.floor}
    here = voxels.room == room.id
    assert (walk(voxels, subcells(voxels)).reached & here).any(axis=2).sum() >= boards.area - 1


@pytest.mark.parametrize("seed", SEEDS)
def test_each_room_behind_it_slides_open_and_a_yard_lies_before_it(seed: int) -> None:
    room, found = outer(seed), house(seed)
    walls = [s for s in found.plan.segments if room.id in (s.low, s.high)]
    assert walls
    assert all(s.opening == "screens" for s in walls)
    ground = room.rect.grown(GARDEN)
    near = [sum(r.meet(ground).area for r in yard.rects) for yard in found.plan.yards]
    assert sum(near) >= room.rects[0].area * (GARDEN - 1) * 3 // 4
    assert found.graph.edges[0, room.id]["kind"] == "step"
    assert found.figures().yards.verandas == room.rects[0].area


def test_one_sits_beside_most_of_them_without_closing_their_walk() -> None:
    found = 0
    for seed in SEEDS:
        room = outer(seed)
        seats = [p for p in house(seed).plan.placed if p.room == room.id]
        assert all(room.sunken[0].holds(seat.cells) for seat in seats)
        found += bool(seats)
    assert found >= len(SEEDS) - 1
