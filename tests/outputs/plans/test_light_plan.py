"""The light plan: sound SVG, true figures, contours where the formula says."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from xml.etree import ElementTree as ET

import numpy as np
import pytest

from genhouse.inspection import walked
from genhouse.model.voxels import Voxels
from genhouse.outputs.plans._light_contours import bands
from genhouse.outputs.plans.light_field import RoomLight, daylight, house_light
from genhouse.outputs.plans.light_plan import light_plan
from genhouse.outputs.plans.plan import plans
from tests.outputs.houses import SEEDS, built, designed

SVG = "{http://www.w3.org/2000/svg}"


def lit(v: Voxels) -> tuple[RoomLight, ...]:
    return house_light(v, walked(v))


@pytest.mark.parametrize("seed", SEEDS)
def test_it_is_sound_svg_and_the_same_each_time(seed: int) -> None:
    text = light_plan(designed(seed), lit(built(seed)))
    root = ET.fromstring(text)
    assert root.tag == f"{SVG}svg"
    assert text == light_plan(designed(seed), lit(built(seed)))
    assert "nan" not in text
    assert "inf" not in text.replace("infill", "")
    assert plans(designed(seed))[0].split("\n")[0] != text.split("\n")[0]


def test_every_room_stands_in_the_table_with_its_least_light() -> None:
    text = light_plan(designed(3), lit(built(3)))
    words = [t.text or "" for t in ET.fromstring(text).iter(f"{SVG}text")]
    for light in lit(built(3)):
        assert any(w.endswith(f" · {light.lux.min():.1f} lx") for w in words), light.kind


def under_lone_lamps(seed: int) -> Iterator[tuple[float, float]]:
    """For each room with one lamp and bare floor under it: lux there, and I / h^2 worked out apart."""
    v = built(seed)
    power = np.array([m.lumens for m in v.about.materials])[v.material]
    for light in lit(v):
        cells = np.argwhere((v.room == light.room) & (power > 0))
        if len(cells) != 1 or not light.indoor:
            continue
        x, y, z = cells[0].tolist()
        middle = z + (np.argwhere(v.shapes[v.form[x, y, z]])[:, 2].mean() + 0.5) / 4
        for (a, b, c), point, lux in zip(light.cells, light.points, light.lux, strict=True):
            if (a, b) == (x, y) and point[2] == 8 * c:
                yield lux, power[x, y, z] / (4 * math.pi) / (middle - c) ** 2


def test_figures_agree_with_the_formula() -> None:
    """Within 2 %."""
    pairs = [pair for seed in (*SEEDS, 9) for pair in under_lone_lamps(seed)]
    assert len(pairs) > 5
    for lux, wanted in pairs:
        assert lux == pytest.approx(wanted, rel=0.02)


def test_contours_of_a_cone_are_circles() -> None:
    """A field that falls off evenly from its middle: each point of a loop lies at the level."""
    x, y = np.mgrid[0:21, 0:21] + 0.5
    field = 10 - np.hypot(x - 10.5, y - 10.5)
    (loop,) = bands(field, 4.0)
    radii = [math.hypot(a - 10.5, b - 10.5) for a, b in loop]
    assert radii == pytest.approx([6.0] * len(radii), abs=0.03)


def test_a_field_that_is_high_to_the_edge_is_closed_there() -> None:
    (loop,) = bands(np.full((3, 2), 7.0), 5.0)
    assert {(0.0, 0.0), (3.0, 0.0), (3.0, 2.0), (0.0, 2.0)} <= set(loop)
    assert bands(np.full((3, 2), 7.0), 9.0) == ()


def area(loop: tuple[tuple[float, float], ...]) -> float:
    pairs = zip(loop, (*loop[1:], loop[0]), strict=True)
    return abs(sum(a * d - b * c for (a, b), (c, d) in pairs)) / 2


def test_a_saddle_is_parted_by_its_mean() -> None:
    field = np.array([[10.0, 0.0], [0.0, 10.0]])
    assert len(bands(field, 4.9)) == 1
    assert len(bands(field, 5.1)) == 2
    assert sum(map(area, bands(field, 5.1))) < 2


def test_numbers_are_short() -> None:
    assert not re.search(r"\d\.\d{3}", light_plan(designed(7), lit(built(7))))


def test_the_sky_is_in_the_court_not_in_the_rooms() -> None:
    rooms = lit(built(1))
    parts = [part.mean() for part in daylight(built(1), rooms)]
    sky = dict(zip((r.kind for r in rooms), parts, strict=True))
    indoor = [part for r, part in zip(rooms, parts, strict=True) if r.indoor]
    assert 0.1 < sky["court"] < 0.9
    assert max(indoor) < sky["court"]
    assert max(indoor) > 0
