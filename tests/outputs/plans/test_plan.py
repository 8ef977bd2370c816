"""Plans read back as drawings: is all of it there, does it add up, does lettering collide?"""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import combinations
from xml.etree.ElementTree import Element, fromstring

import numpy as np
import pytest

from genhouse.house import make
from genhouse.model.brief import Brief, Ground, Recipe
from genhouse.model.design import Design
from genhouse.model.voxels import Voxels
from genhouse.outputs.plans._fittings import half_steps
from genhouse.outputs.plans.plan import plan, plans
from genhouse.outputs.storeys import storeys
from tests.outputs.houses import LARGE, SEEDS, SMALL, built, designed

SVG = "{http://www.w3.org/2000/svg}"
HOUSES = [*((seed, None) for seed in SEEDS), (9, SMALL), (11, SMALL), (6, LARGE)]
SIDES = ("east", "north", "west", "south")
Box = tuple[float, float, float, float]


@pytest.fixture(params=HOUSES, ids=lambda h: f"{h[0]}-{h[1]}", scope="module")
def house(request: pytest.FixtureRequest) -> Design:
    return designed(*request.param)


def drawn(design: Design, level: int) -> Element:
    return fromstring(plan(design, level))


def texts(design: Design, level: int) -> list[str]:
    return [e.text or "" for e in drawn(design, level).iter(f"{SVG}text")]


def chain(root: Element, name: str, side: str) -> list[int]:
    (found,) = (
        g
        for g in root.iter(f"{SVG}g")
        if g.get("data-chain") == name and g.get("data-side") == side
    )
    return [int(t.text or "") for t in found.iter(f"{SVG}text")]


def test_one_plan_a_storey(house: Design) -> None:
    drawings = plans(house)
    assert len(drawings) == 2
    assert drawings == (plan(house, 1), plan(house, 2))
    for level, text in enumerate(drawings, 1):
        root = fromstring(text)
        assert root.tag == f"{SVG}svg"
        assert f"{level} of 2" in (root.findtext(f"{SVG}title") or "")


@pytest.mark.parametrize("level", [0, 3, -1])
def test_a_storey_that_is_not_there_is_refused(level: int) -> None:
    with pytest.raises(ValueError, match="no storey"):
        plan(designed(7), level)


@pytest.mark.parametrize("level", [1, 2])
def test_every_room_stands_in_the_schedule_with_its_area(house: Design, level: int) -> None:
    said = texts(house, level)
    for room in house.rooms:
        if room.level == level:
            assert str(room.id) in said
            assert str(room.area) in said
            assert room.kind.replace(" ", "") in {t.replace(" ", "").lower() for t in said}


@pytest.mark.parametrize("level", [1, 2])
def test_every_room_is_marked_in_the_drawing(house: Design, level: int) -> None:
    """By its area below its name, or by its number in a ring; verandas in one line."""
    said = texts(house, level)
    for room in house.rooms:
        if room.level == level:
            area = [t for t in said if t.endswith(f"{room.area} cells")]
            assert area or said.count(str(room.id)) >= 2 or room.kind == "veranda"


def test_every_fitting_is_named(house: Design) -> None:
    """By a number on its cells, which the list beside the plan explains; a cell is 20 units, the plot's
    north-west corner lies at (98, 98)."""
    for level in (1, 2):
        lines, said = list(boxes(drawn(house, level))), texts(house, level)
        for placed in house.placed:
            if house.room(placed.room).level != level:
                continue
            name = next(t for t in said if t.split(", ")[0] == placed.name)
            r = placed.cells
            left, top = 98 + 20 * r.x0, 98 + 20 * (house.plot[1] - r.y1)
            assert any(
                text == said[said.index(name) - 1]
                and left <= x0 <= x1 <= left + 20 * r.width
                and top <= y0 <= y1 <= top + 20 * r.depth
                for text, (x0, y0, x1, y1) in lines
            ), placed


@pytest.mark.parametrize("side", SIDES)
@pytest.mark.parametrize("level", [1, 2])
def test_overall_chains_sum_to_the_plot(house: Design, level: int, side: str) -> None:
    length = house.plot[0] if side in ("north", "south") else house.plot[1]
    assert sum(chain(drawn(house, level), "overall", side)) == length


def posts_seen(design: Design, voxels: Voxels, side: str) -> tuple[int, int]:
    """How long a side is, open ground between two houses counted, and at how many places a post stands in
    the wall that one sees first: a cell before the first room in that place, or in one beside it."""
    of_post = [m.name for role, m in design.palette.roles if role == "post"]
    timber = np.array([m.name in of_post for m in voxels.about.materials])[voxels.material]
    frame = (timber & voxels.set_by("frame", "walls"))[:, :, 4]
    within = [room.id for room in design.rooms if room.kind != "outer veranda"]
    room = np.isin(voxels.room[:, :, 4], within)
    turns = {"west": 0, "south": 3, "east": 2, "north": 1}[side]
    room, frame = np.rot90(room, turns), np.rot90(frame, turns)
    first = np.where(room.any(axis=0), room.argmax(axis=0), len(room))
    near = np.pad(first, 1, constant_values=len(room))
    wall = np.minimum(np.minimum(near[2:], near[:-2]), first) - 1
    there = np.flatnonzero(wall < len(room) - 1)
    return int(np.ptp(there)) + 1, int(frame[wall[there], there].sum())


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("side", SIDES)
def test_gaps_and_posts_sum_to_the_length_of_the_wall(seed: int, side: str) -> None:
    """Posts are counted in the cells, one layer above the floor."""
    root = drawn(designed(seed), 1)
    length, posts = posts_seen(designed(seed), built(seed), side)
    gaps = chain(root, "gaps", side)
    assert sum(gaps) + posts == length == chain(root, "overall", side)[1]


@pytest.mark.parametrize("side", SIDES)
def test_walls_and_clear_lengths_sum_to_the_wall_face_to_face(house: Design, side: str) -> None:
    """Two walls round the house and two for each court that lies across the chain, unless shared."""
    root = drawn(house, 1)
    clear = chain(root, "walls", side)
    assert sum(clear) + len(clear) + 1 == chain(root, "overall", side)[1]


def test_an_outline_is_drawn_with_the_lengths_of_its_sides() -> None:
    """Worked by hand: an ell from whose corner to the north and east 14 x 22 cells are cut."""
    outline = ((0, 0), (34, 0), (34, 16), (20, 16), (20, 38), (0, 38))
    house = make(Recipe(seed=3, brief=Brief(outline=outline))).plan
    for level in (1, 2):
        root = drawn(house, level)
        chains = {side: chain(root, "corners", side) for side in SIDES}
        assert chains == {"south": [34], "north": [20, 14], "west": [38], "east": [16, 22]}
        lettered(house, level)
    (ground, *_) = drawn(house, 1).iter(f"{SVG}polygon")
    places = [tuple(map(float, p.split(","))) for p in (ground.get("points") or "").split()]
    (x0, y0), *_ = places
    assert [((x - x0) / 20, (y0 - y) / 20) for x, y in places] == list(outline)


def test_each_leaf_is_drawn_where_it_stands() -> None:
    design = designed(7)
    leaves = sum(
        p.box.rect.area * (2 if "pair" in p.form else 1)
        for p in design.parts
        if p.stage == "screens" and p.form.startswith("leaf") and p.box.z0 < 7
    )
    (fill,) = re.findall(r'fill="(#a98a63)" *', plan(design, 1))[:1]
    key = 1
    assert plan(design, 1).count(f'fill="{fill}"') == leaves + key


def test_a_door_has_its_arc() -> None:
    design = designed(7)
    doors = sum(p.box.rect.area for p in design.parts if p.form.startswith("door leaf"))
    key = crowns = 1
    paths = [e.get("d", "") for e in drawn(design, 1).iter(f"{SVG}path")]
    arcs = sum("A" in d for d in paths)
    assert arcs == doors + key + crowns * sum(p.role == "trunk" for p in design.parts)


def test_stair_hearth_gate_and_caution_are_marked() -> None:
    below, above = texts(designed(7), 1), texts(designed(7), 2)
    assert {"Up", "Gate", "N", "Key", "Sheet 1", "Flue over hearth"} <= set(below)
    assert {"Down", "Court Below", "Sheet 2", "Rail"} <= set(above)
    assert any("not a drawing to build from" in t for t in below)


def test_each_half_step_within_a_house_is_drawn_and_points_up() -> None:
    """Before every way from a room to one with a higher floor: as many marks as such ways are wide."""
    house = make(Recipe(seed=4, brief=Brief(ground=Ground(northwest=2, northeast=2)))).plan
    rooms = {room.id: room for room in house.rooms if room.indoor}
    ways: dict[tuple[int, int], str] = {}
    for wall in house.segments:
        if wall.level == 1 and wall.passable and wall.way and {wall.low, wall.high} <= {*rooms}:
            low, high = rooms[wall.low].floor, rooms[wall.high].floor
            sides = ("north", "south") if wall.axis == "x" else ("east", "west")
            for cell in wall.way.cells() if low != high else ():
                before = wall.beside(cell)[int(high < low)]
                ways[before] = sides[int(high < low)]
    assert ways
    below, above = storeys(house)[:2]
    assert {(r.x0, r.y0): up for r, up in half_steps(house, below)} == ways
    assert not list(half_steps(house, above))
    assert not list(half_steps(designed(7), storeys(designed(7))[0]))
    lettered(house, 1)


def boxes(element: Element, inherited: str = "start") -> Iterator[tuple[str, Box]]:
    """Each line of lettering with its box; a letter is taken as 0.55 of its size wide."""
    anchor = element.get("text-anchor", inherited)
    if element.tag == f"{SVG}text":
        text, size = element.text or "", float(element.get("font-size", "0"))
        x, y = float(element.get("x", "0")), float(element.get("y", "0"))
        width = 0.55 * size * len(text)
        start = {"start": 0.0, "middle": -width / 2, "end": -width}[anchor]
        box = (x + start, y - 0.72 * size, x + start + width, y)
        if "rotate(-90" in element.get("transform", ""):
            box = (x - 0.72 * size, y - start - width, x, y - start)
        yield text, box
    for child in element:
        yield from boxes(child, anchor)


@pytest.mark.parametrize("level", [1, 2])
def test_no_lettering_overlaps_another_and_all_is_on_the_sheet(house: Design, level: int) -> None:
    lettered(house, level)


def lettered(house: Design, level: int) -> None:
    lines = list(boxes(drawn(house, level)))
    for (text, a), (other, b) in combinations(lines, 2):
        wide, high = min(a[2], b[2]) - max(a[0], b[0]), min(a[3], b[3]) - max(a[1], b[1])
        assert wide <= 0.5 or high <= 0.5, f"{text!r} and {other!r}"
    root = drawn(house, level)
    _, _, width, height = map(float, (root.get("viewBox") or "").split())
    for text, (x0, y0, x1, y1) in boxes(root):
        assert min(x0, y0) >= 0, text
        assert x1 <= width, text
        assert y1 <= height, text


@pytest.mark.parametrize("level", [1, 2])
def test_names_stay_in_their_rooms(house: Design, level: int) -> None:
    """A cell is 20 units; the plot's north-west corner lies at (98, 98)."""
    lines = list(boxes(drawn(house, level)))
    for room in house.rooms:
        if room.level != level or not room.indoor:
            continue
        r = room.rect
        inside = (
            98 + 20 * r.x0,
            98 + 20 * (house.plot[1] - r.y1),
            98 + 20 * r.x1,
            98 + 20 * (house.plot[1] - r.y0),
        )
        for text, (x0, y0, x1, y1) in lines:
            middle = ((x0 + x1) / 2, (y0 + y1) / 2)
            if inside[0] < middle[0] < inside[2] and inside[1] < middle[1] < inside[3]:
                assert x0 >= inside[0], text
                assert x1 <= inside[2], text
                assert y0 >= inside[1], text
                assert y1 <= inside[3], text


def test_nothing_is_fetched_from_elsewhere(house: Design) -> None:
    for text in plans(house):
        bare = text.replace('xmlns="http://www.w3.org/2000/svg"', "")
        assert "://" not in bare
        assert "href" not in bare
        assert "<script" not in bare
