"""Small plans, room graphs, and both on one sheet."""

from __future__ import annotations

from xml.etree import ElementTree as ET

import pytest

from genhouse.outputs.figures.figures import figures
from genhouse.outputs.plans._justified import justified
from genhouse.outputs.plans._sketch import Dot, Word, painted
from genhouse.outputs.plans.diagram import small_plans, tints
from genhouse.outputs.plans.room_diagram import room_diagram
from tests.outputs.houses import SEEDS, built, designed


@pytest.mark.parametrize("seed", SEEDS)
def test_every_room_is_numbered_once_on_the_plans_and_once_in_the_graph(seed: int) -> None:
    found = figures(designed(seed), built(seed))
    rooms = sorted(str(room.id) for room in designed(seed).rooms)
    plans = [s for plan in small_plans(designed(seed), found) for s in plan.shapes]
    assert sorted(s.text for s in plans if isinstance(s, Word)) == rooms
    graph = justified(designed(seed), found, 400, 300).shapes
    assert sorted(s.text for s in graph if isinstance(s, Word)) == sorted([*rooms, "out"])


@pytest.mark.parametrize("seed", SEEDS)
def test_rooms_of_one_depth_lie_level_and_apart(seed: int) -> None:
    found = figures(designed(seed), built(seed))
    shapes = justified(designed(seed), found, 290, 300).shapes
    place = {s.text: (s.x, s.y) for s in shapes if isinstance(s, Word)}
    radius = max(s.radius for s in shapes if isinstance(s, Dot))
    levels: dict[int, set[float]] = {}
    for room in found.rooms:
        levels.setdefault(room.depth, set()).add(place[str(room.id)][1])
    assert all(len(heights) == 1 for heights in levels.values())
    for a, (x, y) in place.items():
        assert all(a == b or abs(x - u) + abs(y - v) >= 2 * radius for b, (u, v) in place.items())


def test_a_deeper_room_is_darker() -> None:
    found = figures(designed(7), built(7))
    colours = tints(found)
    rooms = sorted((r for r in found.rooms if r.kind != "court"), key=lambda r: r.depth)
    brightness = [sum(bytes.fromhex(colours[r.id][1:])) for r in rooms]
    assert brightness == sorted(brightness, reverse=True)


def test_the_sheet_is_one_drawing_and_always_the_same() -> None:
    found = figures(designed(7), built(7))
    text = room_diagram(designed(7), found)
    ET.fromstring(text)
    assert text == room_diagram(designed(7), found)
    assert "http" not in text.replace("http://www.w3.org/2000/svg", "")


def test_a_sketch_is_painted_at_its_scale() -> None:
    plan = small_plans(designed(7), figures(designed(7), built(7)))[0]
    picture = painted(plan, 0.5, "#ffffff")
    assert picture.size == (round(plan.width / 2), round(plan.height / 2))
    assert len(picture.getcolors(maxcolors=1 << 20) or ()) > 20
