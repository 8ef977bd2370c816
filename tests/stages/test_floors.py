"""Floors: one under every room, none over the court or the stairwell."""

from __future__ import annotations

import pytest

from tests.houses import SEEDS, TIMBER, cells, house, plan

each_seed = pytest.mark.parametrize("seed", SEEDS)
LOW, HIGH = TIMBER.storeys


@each_seed
def test_every_lower_room_has_a_floor_of_its_kind(seed: int) -> None:
    found = house(seed)
    laid = {"mat": {"mat"}, "board": {"board"}, "flag": {"flag"}}
    role = {c: p.role for p in found.plan.parts for c in p.box.cells() if c[2] == LOW.slab}
    for room in found.plan.rooms:
        if room.indoor and room.level == 1:
            sunk = {c for r in room.sunken for c in r.cells()}
            there = {role.get((*c, LOW.slab)) for c in room.rect.cells() if c not in sunk}
            kind = TIMBER.kind(room.kind).floor
            assert there <= laid[kind] | {"post", "hearth-slab", "board", "shoe-stone"}
            assert laid[kind] <= there


@each_seed
def test_the_upper_floor_covers_all_but_the_well_and_the_flue(seed: int) -> None:
    found = house(seed)
    v, stair = found.voxels, found.plan.stairs[0]
    flue = plan(seed).rooms.hearth.cell
    for room in found.plan.rooms:
        if room.level == 2:
            for x, y in (c for r in room.rects for c in r.cells()):
                floored = v.form[x, y, HIGH.floor - 1] > 0
                in_well = stair.well.has(x, y)
                assert floored or (in_well and (x, y) not in stair.run[-1].cells())
                assert floored or (x, y) != flue


@each_seed
def test_an_entry_is_sunk_to_the_ground_behind_its_door_with_a_step_up(seed: int) -> None:
    found = house(seed)
    for room in found.plan.rooms:
        if room.kind == "entry":
            (sunk,) = room.sunken
            assert sunk.meet(room.rect) == sunk
            assert sunk.y0 == room.rect.y0, "it begins at the door"
            stones = set(cells(found, "shoe-stone", stage="floors"))
            assert any(sunk.has(x, y) for x, y, _ in stones)


@each_seed
def test_verandas_lie_level_with_the_rooms(seed: int) -> None:
    p = plan(seed)
    laid = set(cells(p.house, "veranda", stage="floors"))
    strips = {
        (*c, LOW.slab) for court in p.site.courts for r in p.site.verandas(court) for c in r.cells()
    }
    assert laid == strips
    assert not any(
        c[:2] for c in laid if any(p.site.garden(court).has(*c[:2]) for court in p.site.courts)
    )
