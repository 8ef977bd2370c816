"""Fittings: each stands where its data says, in its room, in nobody's way."""

from __future__ import annotations

from itertools import combinations, islice

import pytest
from msgspec.structs import replace

from genhouse.core.axes import STEP, opposite
from genhouse.core.box import Rect
from genhouse.core.draw import Draw
from genhouse.model.design import Design, Placed
from genhouse.model.room import Room
from genhouse.stages.fittings import furnish, sets_for
from genhouse.stages.furnishing.floorplan import Floor, floorplans
from genhouse.stages.furnishing.search import TOLD
from genhouse.stages.furnishing.stances import stances
from genhouse.stages.furnishing.worth import Stood, terms, worth
from tests.benchmarks.bench_fittings import compare, furnished
from tests.houses import SEEDS, TIMBER, cells, house, plan

each_seed = pytest.mark.parametrize("seed", SEEDS)


def standing(placed: object) -> set[tuple[int, int]]:
    return set(placed.cells.cells())  # type: ignore[attr-defined]


@each_seed
def test_fittings_keep_inside_their_rooms_and_apart(seed: int) -> None:
    design = house(seed).plan
    for p in design.placed:
        room = design.room(p.room)
        assert room.rect.meet(p.cells) == p.cells
        assert p.floor == room.floor
    boxes = [part.box for part in design.parts if part.stage == "fittings"]
    cells = [c for box in boxes for c in box.cells()]
    assert len(cells) == len(set(cells))
    for a, b in combinations(design.placed, 2):
        if a.room == b.room:
            free = TIMBER.fitting(a.name).around or TIMBER.fitting(b.name).around
            ragged = any(
                len({q[:2] for q in TIMBER.fitting(n).pieces}) < _size(n) for n in (a.name, b.name)
            )
            assert not standing(a) & standing(b) or free or ragged


def _size(name: str) -> int:
    width, depth = TIMBER.fitting(name).size
    return width * depth


def indoors(design: Design) -> list[Placed]:
    """What stands in rooms; seats by verandas have tests of their own."""
    return [p for p in design.placed if design.room(p.room).indoor]


def or_smaller(names: tuple[str, ...]) -> set[str]:
    """Fittings by name, and whatever may stand for them."""
    found = set()
    for name in names:
        while name:
            found.add(name)
            name = TIMBER.fitting(name).smaller
    return found


@each_seed
def test_fittings_are_those_of_their_kind_of_room_or_smaller(seed: int) -> None:
    design = house(seed).plan
    for p in indoors(design):
        kind = TIMBER.kind(design.room(p.room).kind)
        assert p.name in or_smaller(kind.names)


@each_seed
def test_what_stands_against_a_wall_turns_its_back_to_it(seed: int) -> None:
    design = house(seed).plan
    for p in design.placed:
        if TIMBER.fitting(p.name).against in ("wall", "corner"):
            dx, dy = STEP[opposite(p.facing)]
            rect = design.room(p.room).rect
            back = {(x + dx, y + dy) for x, y in standing(p)} - standing(p)
            assert not any(rect.has(*c) for c in back)
        if TIMBER.fitting(p.name).against == "corner":
            r = design.room(p.room).rect
            assert p.cells.x0 == r.x0 or p.cells.x1 == r.x1
            assert p.cells.y0 == r.y0 or p.cells.y1 == r.y1


@each_seed
def test_users_stand_in_front_on_free_floor(seed: int) -> None:
    found = house(seed)
    for p in found.plan.placed:
        if TIMBER.fitting(p.name).around:
            assert p.use == ()
            continue
        (use,) = p.use
        assert found.plan.room(p.room).has(*use)
        assert use not in standing(p) or p.name in ("writing desk", "spinet", "loom")
        x, y = use
        assert found.voxels.stage[x, y, p.floor] == 0, "something stands where a person would"


@each_seed
def test_no_fitting_stands_in_a_doorway(seed: int) -> None:
    found = house(seed)
    design, v = found.plan, found.voxels
    fittings = v.about.stages.index("fittings")
    for s in design.segments:
        if s.way is None or s.opening == "window":
            continue
        for cell in s.way.cells():
            for x, y in s.beside(cell):
                for room in design.rooms:
                    if room.level == s.level and room.indoor and room.has(x, y):
                        assert v.stage[x, y, room.floor] != fittings


@each_seed
def test_rooms_look_lived_in(seed: int) -> None:
    """Nearly every indoor room has something in it, and what names a room is there."""
    design = house(seed).plan
    rooms = [r for r in design.rooms if r.indoor]
    bare = [r.kind for r in rooms if not any(p.room == r.id for p in design.placed)]
    assert len(bare) <= len(rooms) // 5, bare
    stoves = [p for p in design.placed if p.name == "stove"]
    assert [design.room(p.room).kind for p in stoves] == ["kitchen"]
    beds = {p.room for p in design.placed if p.name in or_smaller(("bed",))}
    assert {r.id for r in rooms if r.kind == "sleeping"} <= beds


def layout(design: Design, room: Room) -> tuple[tuple[str, int, int], ...]:
    """Names and places, from the room's corner."""
    r = room.rect
    here = [p for p in design.placed if p.room == room.id]
    return tuple(sorted((p.name, p.cells.x0 - r.x0, p.cells.y0 - r.y0) for p in here))


@pytest.mark.parametrize("kind", ["kitchen", "sleeping", "reception", "workshop"])
def test_rooms_of_a_kind_are_furnished_differently(kind: str) -> None:
    """Between houses and within one; the smallest rooms have few ways."""
    designs = [house(seed).plan for seed in SEEDS]
    found = [layout(d, r) for d in designs for r in d.rooms if r.kind == kind and r.area > 12]
    assert len(found) >= 4
    assert len(set(found)) >= 0.85 * len(found)


def test_colours_vary_between_rooms() -> None:
    quilts = {
        p.role for seed in SEEDS for p in house(seed).plan.parts if p.role.startswith("quilt")
    }
    assert quilts == {"quilt", "quilt-warm", "quilt-sage", "quilt-plum"}


@each_seed
def test_rooms_are_neither_bare_nor_crammed(seed: int) -> None:
    """What is covered of a room's free floor, over those large enough to say so."""
    p = plan(seed)
    by_id = {r.id: r for r in p.rooms.rooms}
    part = []
    for floor in floorplans(p.rooms, p.bays, p.roof):
        room = by_id[floor.room]
        if floor.free.bit_count() >= 12 and room.kind != "entry":
            cells = {
                part.box[:2]
                for part in p.house.plan.parts
                if part.stage == "fittings"
                and part.box.z0 == room.floor
                and room.has(*part.box[:2])
            }
            part.append(len(cells) / floor.free.bit_count())
    assert max(part) <= TOLD / 100
    assert sorted(part)[len(part) // 4] >= 0.2


@each_seed
def test_the_search_says_what_the_terms_say(seed: int) -> None:
    """The score that is carried along is the sum of the room's terms."""
    for found in furnished(seed):
        assert found.score == worth(found.floor, found.room)


@pytest.mark.parametrize("seed", SEEDS[:2])
def test_a_room_is_furnished_the_same_alone_as_beside_others(seed: int) -> None:
    p = plan(seed)
    by_id = {room.id: room for room in p.rooms.rooms}
    floors = floorplans(p.rooms, p.bays, p.roof)
    rooms, words = [by_id[f.room] for f in floors], [97 * f.room + seed for f in floors]
    sets = sets_for(rooms, TIMBER, Draw(seed))
    together = furnish(rooms, floors, p.rooms.hearth, TIMBER, words, sets)
    for found, room, floor, word, some in zip(together, rooms, floors, words, sets, strict=True):
        (alone,) = furnish([room], [floor], p.rooms.hearth, TIMBER, [word], [some])
        assert alone.room == found.room


def test_worth_by_hand() -> None:
    """A bare room of 4 x 3, shut walls all round but for a door below: a chest in the upper left."""
    floor = Floor(room=1, rect=Rect(0, 0, 4, 3), free=0)
    everything = floor.bits(floor.rect.cells())
    rim = floor.bits((x, y) for x, y in floor.rect.cells() if x in (0, 3) or y in (0, 2))
    door = floor.bit(1, 0)
    floor = replace(floor, free=everything, keep=door, hug=rim & ~door, high=(everything,) * 3)
    chest = TIMBER.fitting("low chest")
    stance = next(
        s for s in stances(chest, False, 4, 3) if s.cells == Rect(0, 2, 2, 3) and s.facing == 0
    )
    found = terms(floor, [Stood("low chest", chest, stance)])
    # two cells along a wall, one of them a corner; 2 x 3 squares less the two it takes part in
    assert found == (2 * 2 + 3, 0, 0, 0, 0, 4)
    assert worth(floor, [Stood("low chest", chest, stance)]) == 11


@pytest.mark.wide
def test_the_search_is_hardly_ever_worse_than_the_best_of_200_random_placements() -> None:
    """The claim is 95 of 100 rooms; the benchmark looks at those, here are fewer."""
    results = [r for n in (0, 40) for r in islice(compare(range(n, n + 40)), 40)]
    assert sum(r.search < r.best for r in results) <= 8
    assert (
        sum(r.search < r.mean for r in results) <= 1
    )  # seed 50's store, crowded: 7 where chance has 10
    assert sum(r.search > r.mean for r in results) > len(results) // 2


@each_seed
def test_the_stove_stands_under_the_flue(seed: int) -> None:
    p = plan(seed)
    (stove,) = [q for q in p.house.plan.placed if q.name == "stove"]
    assert (stove.cells.x0, stove.cells.y0) == p.rooms.hearth.cell
    assert stove.facing == p.rooms.hearth.facing


FIRES = ("stove", "oven", "hood")


@each_seed
def test_every_fire_stands_by_a_flue_that_rises_above_the_roof(seed: int) -> None:
    """A flue ends above the roof where it passes through it, and above what is near (IRC 2018
    R1003.9); a fire may have it through a brick in the wall.  Braziers hold charcoal, and have none."""
    found = house(seed)
    (shaft,) = [p.box for p in found.plan.parts if p.form == "chimney"]
    at = (shaft.x0, shaft.y0)
    burning = {
        p.name: p
        for p in found.plan.placed
        if any(form.startswith(FIRES) for *_, form in TIMBER.fitting(p.name).pieces)
    }
    assert "stove" in burning
    for p in burning.values():
        aside = {(x + dx, y + dy) for x, y in standing(p) for dx, dy in STEP.values()}
        brick = {
            c[:2] for c in cells(found, "hearth", stage="walls") if c[2] in (p.floor, p.floor + 1)
        }
        brick = {(x, y) for x, y in brick if abs(x - at[0]) + abs(y - at[1]) == 1}
        assert (brick | {at}) & (standing(p) | aside), p.name
        assert shaft.z0 <= p.floor + 2
        assert shaft.z1 > p.floor
    near = shaft.rect.grown(3)
    over = [
        p.box.z1
        for p in found.plan.parts
        if p.stage == "roof" and not p.form.startswith("chimney") and p.box.rect.meet(near).area
    ]
    assert shaft.z1 > max(over)


@each_seed
def test_nothing_tall_stands_before_a_window(seed: int) -> None:
    """Over the first layer, what stands beside a window's cells hides at most half of each."""
    found = house(seed)
    design, v = found.plan, found.voxels
    fittings = v.about.stages.index("fittings")
    looked = 0
    for s in design.segments:
        if s.opening == "window" and s.way is not None:
            room = next(r for r in design.rooms if r.indoor and r.id in (s.low, s.high))
            for cell in s.way.cells():
                x, y = next(c for c in s.beside(cell) if room.has(*c))
                for z in range(room.floor + 1, room.floor + 3):
                    if v.stage[x, y, z] == fittings:
                        seen = v.shapes[v.form[x, y, z]].any(axis=1 if s.axis == "x" else 0)
                        assert seen.sum() <= 8, (room.kind, s.cells)
                    looked += 1
    assert looked


def test_workrooms_of_a_house_differ() -> None:
    """Workrooms that choose among the same sets: none holds just what another of its house holds."""
    pairs = 0
    for seed in SEEDS:
        design = house(seed, (33, 44)).plan
        rooms = [r for r in design.rooms if r.kind in ("workshop", "workroom")]
        held = [sorted(p.name for p in design.placed if p.room == r.id) for r in rooms]
        assert all(a != b for a, b in combinations(held, 2))
        pairs += len(rooms) > 1
    assert pairs > 3


def test_a_room_has_one_of_its_kinds_sets() -> None:
    """Telling fittings or smaller ones stand in it; rooms that share sets take them in turn."""
    seen = set()
    for seed in SEEDS:
        rooms = [r for r in house(seed).plan.rooms if r.indoor]
        sets = sets_for(rooms, TIMBER, Draw(seed))
        for room, some in zip(rooms, sets, strict=True):
            assert some in TIMBER.kind(room.kind).sets or not TIMBER.kind(room.kind).sets
        shops = [some for room, some in zip(rooms, sets, strict=True) if room.kind == "workshop"]
        assert len(set(shops)) == len(shops)
        seen |= set(shops)
    assert len(seen) > 2


def test_bakehouses_are_below_and_bake_where_they_share_the_hearths_flue() -> None:
    """A brick in the wall stands between oven and hearth, and nowhere else; nothing burns above."""
    ovens = 0
    for seed in range(40):
        p = plan(seed)
        design, hearth = p.house.plan, p.rooms.hearth
        assert not [r for r in design.rooms if r.kind == "bakehouse" and r.level > 1]
        levels = {r.id: r.level for r in design.rooms}
        burning = [q for q in design.placed if TIMBER.fitting(q.name).fire]
        assert {levels[q.room] for q in burning} <= {1}
        baking = [q for q in burning if design.room(q.room).kind == "bakehouse"]
        for q in baking:
            assert hearth.behind == q.room
            assert hearth.beyond in standing(q)
        bricks = cells(p.house, "hearth", stage="walls")
        assert {c[:2] for c in bricks} <= ({hearth.back} if hearth.behind else set())
        ovens += bool(baking)
    assert ovens > 3
