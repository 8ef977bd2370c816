"""Rooms: sizes, heights and ways of every room of both storeys."""

from __future__ import annotations

from itertools import combinations

import networkx as nx
import pytest

from genhouse.model.design import Design
from tests.houses import SEEDS, TIMBER, anyhow, house, plan
from tests.reference import published

DWELLING = published("dwelling")
each_seed = pytest.mark.parametrize("seed", SEEDS)


def ways(design: Design) -> nx.Graph:
    """Rooms joined by what a person passes: openings, the stair, steps down to a court, the gate."""
    graph = nx.Graph()
    graph.add_nodes_from([0, *(r.id for r in design.rooms)])
    graph.add_edges_from((s.low, s.high) for s in design.segments if s.passable)
    named = {"court": ("court", "service court"), "veranda": ("veranda",)}
    by_kind = {kind: [r for r in design.rooms if r.kind in all_] for kind, all_ in named.items()}
    for court, veranda in zip(by_kind["court"], by_kind["veranda"], strict=True):
        assert any(court.rects[0].grown(1).meet(r).area for r in veranda.rects)
        graph.add_edge(court.id, veranda.id)
    for stair in design.stairs:
        x, y = stair.run[-1][:2]
        level = next(r.level for r in design.rooms if r.id == stair.room)
        above = next(r.id for r in design.rooms if r.level == level + 1 and r.has(x, y))
        graph.add_edge(stair.room, above)
    if not any(r.kind == "entry" for r in design.rooms):
        graph.add_edge(0, by_kind["court"][0].id)
    return graph


@each_seed
def test_every_room_is_reached(seed: int) -> None:
    graph = ways(house(seed).plan)
    assert nx.is_connected(graph)


@pytest.mark.parametrize("seed", range(100, 112))
def test_every_room_is_reached_whatever_the_plot(seed: int) -> None:
    design = anyhow(seed).plan
    graph = ways(design)
    assert nx.is_connected(graph), sorted(map(sorted, nx.connected_components(graph)))


@each_seed
def test_rooms_are_large_enough(seed: int) -> None:
    """IRC 2018 R304.1: 70 sq ft (6.5 m2); R304.2: no side under 7 ft (2134 mm)."""
    for room in house(seed).plan.rooms:
        if room.indoor:
            assert room.area >= DWELLING["room"]["area_m2"]
            assert 1000 * min(room.rect.width, room.rect.depth) >= DWELLING["room"]["side_mm"]


@each_seed
def test_lower_rooms_are_high_enough(seed: int) -> None:
    """IRC 2018 R305.1: 7 ft; the upper storey is open to the roof (see the inspection's headroom)."""
    for room in house(seed).plan.rooms:
        if room.indoor and not room.to_roof:
            assert 1000 * (room.ceiling - room.floor) >= DWELLING["ceiling"]["height_mm"]


@each_seed
def test_floors_stand_clear_of_the_ground(seed: int) -> None:
    """Order Art. 22 (Japan): at least 45 cm; an entry's earth floor is sunk on purpose."""
    for room in house(seed).plan.rooms:
        if room.indoor and room.level == 1:
            assert (
                1000 * (room.floor - TIMBER.storeys[0].slab) >= DWELLING["floor"]["above_ground_mm"]
            )
            assert not room.sunken or room.kind == "entry"


@each_seed
def test_ways_are_wide_enough(seed: int) -> None:
    """ADA 404.2.3: 815 mm clear through a doorway; a veranda is a corridor a cell wide."""
    design = house(seed).plan
    for s in design.segments:
        if s.passable and s.way is not None:
            assert 1000 * max(s.way.width, s.way.depth) >= DWELLING["way"]["width_mm"]
            assert s.cells.meet(s.way) == s.way, "a way lies in its wall"
    for room in design.rooms:
        if room.kind == "veranda":
            assert {min(r.width, r.depth) for r in room.rects} == {1}


@each_seed
def test_rooms_of_a_storey_lie_apart(seed: int) -> None:
    rooms = house(seed).plan.rooms
    for a, b in combinations(rooms, 2):
        if a.level == b.level:
            assert all(p.meet(q).area == 0 for p in a.rects for q in b.rects)
    assert [r.id for r in rooms] == list(range(1, len(rooms) + 1))


def missing(seed: int, plot: tuple[int, int]) -> set[str]:
    """Kinds of room that each house needs and this one has not; an entry wants a front wing."""
    p = plan(seed, plot)
    found = [r.kind for r in p.rooms.rooms]
    needed = {n for n, kind in TIMBER.kinds if kind.need > found.count(n)}
    return needed - ({"entry"} if p.site.wing("front") is None else set())


@pytest.mark.parametrize("seed", list(SEEDS)[:6])
def test_a_house_of_common_size_has_every_room_that_each_house_needs(seed: int) -> None:
    assert missing(seed, (27, 37)) == set()
    levels = {name: kind.level for name, kind in TIMBER.kinds}
    assert all(r.level == levels[r.kind] for r in plan(seed, (27, 37)).rooms.rooms if r.indoor)


def test_a_small_house_has_every_room_that_each_house_needs() -> None:
    assert [missing(seed, (20, 24)) for seed in range(4)] == [set()] * 4


@each_seed
def test_rooms_end_on_post_lines(seed: int) -> None:
    """A post stands at each outer corner of a room: rooms are unions of bays or of their halves."""
    p = plan(seed)
    posts = {*p.bays.posts, *p.bays.middle}
    for room in p.rooms.rooms:
        if room.indoor:
            r = room.rect
            corners = {(x, y) for x in (r.x0 - 1, r.x1) for y in (r.y0 - 1, r.y1)}
            assert corners <= posts


@each_seed
def test_the_hearth_stands_in_the_kitchen_with_room_before_it(seed: int) -> None:
    p = plan(seed)
    hearth = p.rooms.hearth
    room = next(r for r in p.rooms.rooms if r.id == hearth.room)
    assert room.kind == "kitchen"
    assert room.has(*hearth.cell)
    assert hearth.cell not in p.bays.middle


def test_houses_differ() -> None:
    kinds = {tuple(sorted(r.kind for r in house(seed).plan.rooms)) for seed in SEEDS}
    assert len(kinds) == len(SEEDS)
