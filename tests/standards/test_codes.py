"""Houses and their rules beside published codes and tables.  A cell stands for a metre."""

from __future__ import annotations

import math

import numpy as np
import pytest

from genhouse.core.axes import STEP
from genhouse.core.light import lux
from genhouse.core.sky import sky_component
from genhouse.house import walked
from genhouse.outputs.plans.light_field import LEAST, TARGET, provided
from tests.benchmarks.count_daylight import luminance, skied
from tests.houses import SEEDS, TIMBER, house, plan
from tests.reference import published

DWELLING, LIGHT = published("dwelling"), published("light")
TASK = LIGHT["dwelling"]["study_lux"][0]
CELL_MM = 1000
FOOT_M = 0.3048


def metres(feet_and_inches: list[int]) -> float:
    feet, inches = feet_and_inches
    return FOOT_M * (feet + inches / 12)


@pytest.mark.parametrize("seed", SEEDS)
def test_no_wood_lies_before_or_beside_a_hearth(seed: int) -> None:
    """Its opening is half a cell wide in the middle of its own: the floor before it, and beside that."""
    found = plan(seed)
    hearth, z = found.rooms.hearth, TIMBER.storeys[0].slab
    reach = DWELLING["hearth"]["large"]
    before = math.ceil(reach["before_mm"] / CELL_MM)
    beside = math.ceil((reach["beside_mm"] - CELL_MM / 4) / CELL_MM)
    (x, y), (dx, dy) = hearth.cell, STEP[hearth.facing]
    floor = {
        (x + a * dx + b * dy, y + a * dy + b * dx)
        for a in range(before + 1)
        for b in range(-beside, beside + 1)
    }
    stone = {c[:2] for p in found.house.plan.parts for c in p.box.cells() if p.role in STONE}
    room = next(r for r in found.rooms.rooms if r.id == hearth.room)
    inside = {c for c in floor if room.has(*c)}
    assert len(inside) >= 2 * (before + 1)
    assert inside - {c for c in inside if _post(found.house.voxels, (*c, z))} <= stone


STONE = ("flag", "hearth-slab")


def _post(voxels: object, cell: tuple[int, int, int]) -> bool:
    about = voxels.about  # type: ignore[attr-defined]
    return str(about.stages[voxels.stage[cell]]) == "frame"  # type: ignore[attr-defined]


def test_rafters_run_no_farther_than_the_table_lets_them() -> None:
    assert TIMBER.roof.rafter <= metres(DWELLING["rafters"]["span_ft_in"])


def test_beams_span_what_a_timber_of_a_foot_square_can() -> None:
    """More than the header of the table: by the root of the ratio of the section moduli."""
    beams = DWELLING["beams"]
    header, timber = (b * d * d / 6 for b, d in (beams["header_in"], beams["timber_in"]))
    table = metres(beams["span_ft_in"])
    assert table < TIMBER.roof.beam <= table * math.sqrt(timber / header)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_body_gets_beside_every_bed(seed: int) -> None:
    """A whole cell is wider than what the guide asks; it is one on which a visitor can stand."""
    found = house(seed)
    assert DWELLING["clear"]["bed_mm"] <= CELL_MM
    beds = [p for p in found.plan.placed if "sleep" in TIMBER.fitting(p.name).tags and p.use]
    assert beds
    solid = found.voxels.form > 0
    for bed in beds:
        assert any(not solid[x, y, bed.floor : bed.floor + 2].any() for x, y in bed.use), bed


SEAT = ("cushion", "stool")


@pytest.mark.parametrize("seed", SEEDS)
def test_a_body_gets_to_every_seat_at_a_table(seed: int) -> None:
    """Between the table's edge and what stands behind lies the seat's own cell, open above it; one walks
    to it, or to a cell beside it."""
    assert DWELLING["clear"]["table_mm"] <= CELL_MM
    found = house(seed)
    voxels, there = found.voxels, walked(found.voxels)
    solid, names = voxels.form > 0, [form.name for form in voxels.about.forms]
    seats = [
        (x, y, p.floor)
        for p in found.plan.placed
        if TIMBER.fitting(p.name).seats
        for x, y in p.cells.cells()
        if names[voxels.form[x, y, p.floor]] in SEAT
    ]
    assert seats
    for x, y, z in seats:
        assert not solid[x, y, z + 1], (x, y, z)
        about = [(x, y), *((x + dx, y + dy) for dx, dy in STEP.values())]
        assert any(there[i, j, z] for i, j in about), (x, y, z)


@pytest.mark.parametrize("n", range(4))
def test_a_point_source_over_a_floor(n: int) -> None:
    """CIE 171:2006, 5.2."""
    scene = LIGHT["cie171"]
    lamp = np.array([(round(8 * scene["aside"][n]), 0, round(8 * scene["height"]))], dtype=np.int32)
    found = lux(4 * math.pi * scene["candela"], lamp, np.zeros((1, 3), dtype=np.int32))
    assert found[0] == pytest.approx(scene["lux"][n], rel=1e-5)


@pytest.mark.parametrize("opening", LIGHT["cie171"]["openings"], ids=lambda o: f"{o['width']} m")
def test_the_sky_through_an_opening_in_a_roof(opening: dict[str, float]) -> None:
    """CIE 171:2006, 5.9: twenty sub-cells a metre; the roof is as thin as one of them."""
    fine = 20
    room, high, half = 4 * fine, round(3 * fine), round(opening["width"] * fine / 2)
    opaque = np.ones((room + 2, room + 2, high + 1), dtype=bool)
    opaque[1:-1, 1:-1, :high] = False
    middle = room // 2 + 1
    opaque[middle - half : middle + half, middle - half : middle + half, high] = False
    point = np.array([(2 * middle, 2 * middle, 0)], dtype=np.int32)
    found = 100 * sky_component(opaque, point, rays=20000)[0]
    assert found == pytest.approx(opening["percent"], rel=0.04)


def test_daylight_is_judged_by_the_standard() -> None:
    """EN 17037: the factors are lux by the sky's; on half of a floor, and on all but a twentieth."""
    table = LIGHT["provision"]
    for (factor, part), told in zip(
        (TARGET, LEAST), (table["target"], table["least"]), strict=True
    ):
        assert 100 * factor == pytest.approx(told["percent"])
        assert 100 * told["lux"] / table["sky_lux"] == pytest.approx(told["percent"], abs=0.05)
        assert part == told["part"]
    floor = np.array([0.03] * 50 + [0.008] * 45 + [0.001] * 5)
    assert provided(floor)
    assert not provided(np.append(floor, 0.001))
    assert not provided(np.append(floor, 0.008))
    assert not provided(np.zeros(0))


ROOMS = {
    "bedroom": ("sleeping", "guest", "dormitory"),
    "living": ("reception", "parlour", "sitting"),
    "stairs": ("stairhall", "landing", "passage", "corridor"),
    "dining": ("dining",),
    "kitchen": ("kitchen",),
    "study": ("study", "schoolroom", "library", "workroom", "workshop", "weaving", "sewing"),
    "bath": ("bath",),
    "entry": ("entry",),
}
"""Kinds of room by those of the table; handwork is lit as study is."""


@pytest.mark.parametrize("name", ROOMS)
def test_rooms_are_lit_for_what_is_done_there(name: str) -> None:
    """JIS Z 9110: kitchen, workroom and study brighter than where one dresses and sleeps."""
    told = tuple(LIGHT["dwelling"][f"{name}_lux"])
    for kind in ROOMS[name]:
        assert tuple(TIMBER.kind(kind).light) == told, kind


@pytest.mark.parametrize("seed", SEEDS)
def test_lamps_bring_a_task_its_light(seed: int) -> None:
    """On the mean of the floor, more than where one dresses and sleeps; one room a house may fall short."""
    found = house(seed)
    means, kinds = dict(found.plan.lit), dict(TIMBER.kinds)
    there = [r for r in found.plan.rooms if r.indoor and r.id in means]
    tasks = [r for r in there if kinds[r.kind].light[0] >= TASK]
    assert tasks
    short = [r.kind for r in tasks if means[r.id] < 1000 * kinds[r.kind].light[0]]
    assert len(short) <= 1, short
    dressing = [means[r.id] for r in there if r.kind in ("dressing", "sleeping")]
    assert max(dressing) < min(means[r.id] for r in tasks if r.kind not in short)


@pytest.mark.parametrize("seed", SEEDS)
def test_windows_above_run_from_post_to_post_where_one_works_or_sleeps(seed: int) -> None:
    """Low walls let in what the whole bay can; what comes of it is counted by count_daylight."""
    found = house(seed).plan
    by_id = {room.id: room for room in found.rooms}
    for wall in found.segments:
        room = by_id.get(wall.low) or by_id.get(wall.high)
        if wall.lofty and wall.opening == "window" and room is not None and room.indoor:
            kind = TIMBER.kind(room.kind)
            if kind.sleeps[0] or kind.light[0] >= TASK:
                assert wall.way == wall.cells or wall.way.area < 2


def test_rooms_above_to_sleep_or_work_in_have_light_by_day() -> None:
    """BS 8206-2: nine in ten by straight light of the sky, a third by its formula with papers drawn to."""
    found = [room for n in SEEDS[:3] for room in skied(house(n).plan, house(n).voxels) if room.aim]
    assert len(found) >= 8
    assert 10 * sum(room.sky >= room.aim for room in found) >= 9 * len(found)
    assert 3 * sum(room.average >= room.aim for room in found) >= len(found)


def test_luminance_of_a_grey_by_hand() -> None:
    """IEC 61966-2-1: half of the scale is 21.6 % of the light."""
    assert luminance("#808080") == pytest.approx(0.21586, abs=1e-5)
    assert (luminance("#000000"), luminance("#ffffff")) == pytest.approx((0, 1))
