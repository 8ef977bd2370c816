"""Openings: what each wall stands between, and how it is opened."""

from __future__ import annotations

import pytest

from genhouse.model.room import OUTSIDE
from genhouse.traditions.loader import load_tradition
from tests.houses import SEEDS, anyhow, house, plan

DARK = [name for name, kind in load_tradition("timber").kinds if kind.dark]

each_seed = pytest.mark.parametrize("seed", SEEDS)


@each_seed
def test_segments_know_the_rooms_on_both_sides(seed: int) -> None:
    design = house(seed).plan
    by_id = {r.id: r for r in design.rooms}
    for s in design.segments:
        for cell in s.cells.cells():
            for number, (x, y) in zip((s.low, s.high), s.beside(cell), strict=True):
                there = [
                    r.id
                    for r in design.rooms
                    if r.has(x, y) and (r.level == s.level or not r.indoor)
                ]
                assert number in (there or [OUTSIDE])
        indoors = [n in by_id and by_id[n].indoor for n in (s.low, s.high)]
        assert (s.boundary == "partition") == (all(indoors) and s.low != s.high)
        assert (s.boundary == "open") == (s.low == s.high != OUTSIDE)
        assert (s.boundary == "outer") == (OUTSIDE in (s.low, s.high) and any(indoors))


@each_seed
def test_every_indoor_room_has_a_way_in_and_living_rooms_have_light(seed: int) -> None:
    design = house(seed).plan
    for room in design.rooms:
        if not room.indoor:
            continue
        mine = [s for s in design.segments if s.level == room.level and room.id in (s.low, s.high)]
        assert (
            any(s.passable and s.boundary != "open" for s in mine)
            or design.stairs[0].room == room.id
        )
        light = [
            s
            for s in mine
            if s.opening in ("screens", "window") and s.boundary in ("outer", "court")
        ]
        assert light or room.kind in (*DARK, "kitchen")


def test_every_kitchen_has_light() -> None:
    unlit = []
    for seed in (1, 29, 35):
        design = anyhow(seed).plan
        kitchen = next(r.id for r in design.rooms if r.kind == "kitchen")
        outer = [
            s
            for s in design.segments
            if kitchen in (s.low, s.high) and s.boundary in ("outer", "court")
        ]
        if not any(s.opening in ("window", "screens") for s in outer):
            unlit.append(seed)
    assert unlit == []


@each_seed
def test_pantries_and_granaries_keep_their_outer_walls_whole(seed: int) -> None:
    design = house(seed).plan
    dark = {r.id for r in design.rooms if r.kind in DARK}
    for s in design.segments:
        if s.boundary == "outer" and {s.low, s.high} & dark:
            assert s.opening in ("none", "entrance")


@each_seed
def test_openings_fit_their_boundary(seed: int) -> None:
    allowed = {
        "outer": {"none", "window", "entrance"},
        "court": {"none", "window", "screens", "door"},
        "partition": {"none", "screens", "door", "passage"},
        "open": {"none"},
    }
    for s in house(seed).plan.segments:
        assert s.opening in allowed[s.boundary]
        assert (s.way is None) == (s.opening == "none")


@pytest.mark.parametrize("seed", range(100, 112))
def test_a_house_has_a_front_and_a_back_door(seed: int) -> None:
    """A building in the yard has doors of its own."""
    design = anyhow(seed).plan
    entrances = [s for s in design.segments if s.opening == "entrance"]
    gated = not any(r.kind == "entry" for r in design.rooms)
    assert len(entrances) + gated == 2 or design.arrangement == "outbuilding"
    walls = {(s.axis, s.cells.y0 if s.axis == "x" else s.cells.x0) for s in entrances}
    assert len(walls) == len(entrances), "never both in one wall line"


@each_seed
def test_the_gate_lies_before_the_front_door(seed: int) -> None:
    p = plan(seed)
    front = next(e for e in p.rooms.entrances if e.kind == "front")
    assert front.side == "south"
    assert front.way.x0 <= p.rooms.gate[0] < front.way.x1
    assert p.rooms.gate[1] == 0
    assert [e.kind for e in p.rooms.entrances] == ["front", "service"]


@each_seed
def test_no_way_leads_into_the_hearth_or_the_stair(seed: int) -> None:
    p = plan(seed)
    stair = p.rooms.stairs[0].run[0].hull(p.rooms.stairs[0].run[-1])
    for s in p.rooms.segments:
        if s.way is not None and s.opening != "window":
            near = {c for cell in s.way.cells() for c in s.beside(cell)}
            assert p.rooms.hearth.cell not in near
            if s.level == 1:
                assert not any(stair.has(*c) for c in near)
