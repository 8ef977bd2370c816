"""Lamps: as few as bring the brief's light to every floor, each where something holds it."""

from __future__ import annotations

import math
from functools import cache

import numpy as np
import pytest

from genhouse.core.axes import STEP
from genhouse.core.forms import FORMS, NUMBER
from genhouse.core.light import lit
from genhouse.house import House, make
from genhouse.inspection import inspect
from genhouse.inspection import light as inspected
from genhouse.inspection.access import walk
from genhouse.inspection.subcells import subcells
from genhouse.model.brief import LAMPLIGHT, Brief, Recipe
from genhouse.model.lighting import dark as dark_of
from genhouse.model.lighting import floors, lamps_of
from genhouse.model.room import COURTS
from genhouse.stages.lighting.sizes import SIZES
from tests.houses import TIMBER, fine, plan
from tests.reference import published

SEEDS = range(8)


@cache
def house(seed: int) -> House:
    """Its gate to the south, so that its frame is the plot's own."""
    return make(Recipe(seed=seed, brief=Brief(gate="south")))


each_seed = pytest.mark.parametrize("seed", SEEDS)
KINDS = {
    **{TIMBER.role(use): {"hanging lamp"} for use in SIZES["lamp"]},
    **{TIMBER.role(use): {"bracket lamp"} for use in SIZES["wall lamp"]},
    "veranda-lamp": {"bracket lamp"},
    "gallery-lamp": {"rail lamp", "bracket lamp"},
}


def lamps(found: House) -> list[tuple[str, str, tuple[int, int, int]]]:
    """Role, form and cell of each lamp that the stage set."""
    parts = [p for p in found.plan.parts if p.stage == "lamps"]
    return [(p.role, p.form, (p.box.x0, p.box.y0, p.box.z0)) for p in parts]


@each_seed
def test_no_floor_is_darker_than_the_brief_allows(seed: int) -> None:
    (light,) = (v for v in inspect(house(seed).voxels).verdicts if v.check == "light")
    assert light.kept, [str(finding) for finding in light.findings]


@pytest.mark.parametrize("seed", [1773, 1794])
def test_no_table_throws_a_corner_into_the_dark(seed: int) -> None:
    """Seeds that once had one, beside a barrel nobody climbs."""
    (light,) = (v for v in inspect(make(Recipe(seed=seed)).voxels).verdicts if v.check == "light")
    assert light.kept, [str(finding) for finding in light.findings]


@pytest.mark.parametrize("seed", SEEDS)
def test_the_plan_knows_the_light_that_the_inspection_finds(seed: int) -> None:
    """To the last thousandth of a lux, at each point that the inspection looks at."""
    voxels = plan(seed).house.voxels
    cells, points, rooms = inspected.floors(voxels, walk(voxels, subcells(voxels)))
    lamps, dark = lamps_of(voxels), dark_of(voxels)
    homes = voxels.room[tuple(lamps.cells.T)].astype(np.int32)
    found = lit(dark, (lamps.lumens, lamps.at, homes), (points, rooms)).sums(len(points))
    planned = {
        (floor.room, *at): amount
        for floor in plan(seed).all["lamps"].floors
        for at, amount in zip(floor.points.tolist(), floor.amount.tolist(), strict=True)
    }
    assert len(cells) > 100
    for room, at, amount in zip(rooms.tolist(), points.tolist(), found.tolist(), strict=True):
        assert planned[room, *at] == amount


@pytest.mark.parametrize("seed", range(3))
def test_galleries_are_lit_as_verandas_are(seed: int) -> None:
    """Every cell of a walk on which one can stand gets a tenth of what a room gets, or more.

    Its lamps leave the walk itself, two cells high, free.
    """
    brief = Brief(plot=(27, 34), gate="south", gallery=True, low=())
    found = make(Recipe(seed=seed, brief=brief))
    assert found.inspect().clean
    walks = [r for r in found.light() if r.kind in ("gallery", "veranda")]
    assert {room.kind for room in walks} == {"gallery", "veranda"}
    assert all(room.lux.min() >= LAMPLIGHT / 10 for room in walks)
    over = [(form, cell) for role, form, cell in lamps(found) if role == "gallery-lamp"]
    assert over
    hung = [form for form, _ in over if not form.startswith("rail")]
    assert sum(room.lamps for room in walks if room.kind == "gallery") == len(hung)
    power = np.array([material.lumens for material in found.voxels.about.materials])
    burning = power[found.voxels.material] > 0
    room = np.pad(found.voxels.room, ((1, 1), (1, 1), (0, 0)))
    middle, beside = (
        room[1:-1, 1:-1],
        (room[2:, 1:-1], room[:-2, 1:-1], room[1:-1, 2:], room[1:-1, :-2]),
    )
    inside = np.logical_or.reduce([middle > 0, *(side > 0 for side in beside)])
    assert sum(room.lamps for room in found.light()) == (burning & inside).sum()
    for room in (room for room in found.plan.rooms if room.kind == "gallery"):
        assert not any(room.has(x, y) and z < room.floor + 2 for _, (x, y, z) in over)


@pytest.mark.parametrize("seed", range(3))
def test_lamps_on_a_rail_stand_across_the_walk_from_a_post(seed: int) -> None:
    """The lamp leans on the rail, which looks away from the walk; beyond the walk a post bears it, or
    without it the court, or one of its walks, would be left too dark."""
    found = make(Recipe(seed=seed, brief=Brief(plot=(27, 34), gallery=True)))
    posts = {cell[:2] for p in found.plan.parts if p.role == "post" for cell in p.box.cells()}
    railed = [(form, cell) for _, form, cell in lamps(found) if form.startswith("rail lamp")]
    assert railed
    for form, (x, y, z) in railed:
        dx, dy = STEP[FORMS[NUMBER[form]].facing]  # type: ignore[index]
        assert FORMS[found.voxels.form[x, y, z - 1]].piece == "rail"
        dark = darkest(found, ("gallery", "veranda", *COURTS), (x, y, z)) < LAMPLIGHT / 10
        assert (x + 2 * dx, y + 2 * dy) in posts or dark


def test_the_brief_asks_for_what_the_standard_names() -> None:
    assert published("light")["dwelling"]["bedroom_lux"][0] == LAMPLIGHT


@each_seed
def test_the_lamps_are_near_the_fewest(seed: int) -> None:
    """No placing does with fewer than ``fewest_lamps``; one in four more is the most allowed here.

    Beside these a room has lamps to work by, two at most, and none without which it has its light.
    """
    made = plan(seed)
    found, rooms = made.all["lamps"], {r.id: r for r in made.rooms.rooms}
    least, means = dict(found.fewest), dict(found.means)
    number = dict.fromkeys(least, 0)
    for spot in found.lamps:
        x, y, z = spot.cell
        home = next(
            (
                r.id
                for r in rooms.values()
                if r.indoor
                and r.has(x, y)
                and r.floor <= z < r.floor + 9
                and (r.level == 2) == (z > 7)
            ),
            None,
        )
        if home is not None:
            number[home] += 1
    total = len(found.lamps)
    for id, n in number.items():
        kind = rooms[id].kind
        task = 1000 * TIMBER.kind(kind).light[0] if rooms[id].indoor else 0
        if n > least[id] and means[id] * (n - 1) // n < task:
            assert n <= max(math.ceil(5 * least[id] / 4), least[id]) + 2
            total -= n - least[id]
    whole = sum(least.values())
    assert whole <= len(found.lamps)
    assert total <= math.ceil(5 * whole / 4)


@each_seed
def test_every_kind_of_lamp_has_its_form_and_gives_light(seed: int) -> None:
    materials = dict(house(seed).plan.palette.roles)
    for role, form, _ in lamps(house(seed)):
        assert FORMS[NUMBER[form]].piece in KINDS[role]
        assert materials[role].lumens > 0
        assert materials[role].clear


@each_seed
def test_every_lamp_is_held(seed: int) -> None:
    """Some sub-cell of it touches a filled one of the cell above, beside or below, face to face."""
    found = house(seed)
    solid = fine(found.voxels)
    for role, form, (x, y, z) in lamps(found):
        facing = "" if form.startswith("rail lamp") else FORMS[NUMBER[form]].facing
        dx, dy = STEP[facing] if facing else (0, 0)  # type: ignore[index]
        dz = 0 if facing else 1 if form == "hanging lamp" else -1
        here, there = (
            solid[4 * a : 4 * a + 4, 4 * b : 4 * b + 4, 4 * c : 4 * c + 4]
            for a, b, c in ((x, y, z), (x + dx, y + dy, z + dz))
        )
        axis, up = next((n, d) for n, d in enumerate((dx, dy, dz)) if d)
        near, far = (3, 0) if up > 0 else (0, 3)
        assert (np.take(here, near, axis) & np.take(there, far, axis)).any(), (role, x, y, z)


@each_seed
def test_lamps_overhead_leave_room_for_a_head(seed: int) -> None:
    """Hung and bracketed lamps but those on the wall plate: two cells over the floor, or more."""
    for room in house(seed).plan.rooms:
        for role, _, (x, y, z) in lamps(house(seed)):
            if (
                room.level == 1
                and role in (*map(TIMBER.role, SIZES["lamp"]), "veranda-lamp")
                and room.has(x, y)
                and z < 8
            ):
                assert z - room.floor >= 2


@each_seed
def test_veranda_lamps_are_on_posts(seed: int) -> None:
    """Or on a wall, where the court or its walks would be left too dark without it."""
    found = house(seed)
    posts = {c for p in found.plan.parts if p.role == "post" for c in p.box.cells()}
    for role, _, (x, y, z) in lamps(found):
        beside = {(x + dx, y + dy, z) for dx, dy in STEP.values()}
        if role == "veranda-lamp" and not beside & posts:
            assert darkest(found, ("veranda", *COURTS), (x, y, z)) < LAMPLIGHT / 10


def darkest(found: House, kinds: tuple[str, ...], without: tuple[int, int, int]) -> float:
    """The lux that the lamps in rooms of some kinds bring, but for one, to their darkest floor, walked on
    or not; but for what stands on the rails above."""
    railed = {cell for role, _, cell in lamps(found) if role == "gallery-lamp"}
    left_out = {without, *(() if "gallery" in kinds else railed)}
    voxels, rooms = found.voxels, [r.id for r in found.plan.rooms if r.kind in kinds]
    burning = lamps_of(voxels)
    home = np.isin(voxels.room[tuple(burning.cells.T)], rooms)
    home &= [tuple(cell) not in left_out for cell in burning.cells.tolist()]
    _, points, _ = floors(voxels, np.isin(voxels.room, rooms))
    own, all_of_them = home.astype(np.int32), np.ones(len(points), dtype=np.int32)
    given = lit(dark_of(voxels), (burning.lumens, burning.at, own), (points, all_of_them))
    return float(given.sums(len(points)).min()) / 1000


def test_a_brighter_brief_gets_more_lamps() -> None:
    dim, bright = (
        make(Recipe(seed=3, brief=Brief(plot=(23, 32), gate="south", light=n))) for n in (2, 20)
    )
    assert len(lamps(dim)) < len(lamps(bright))
    assert inspect(bright.voxels, light=20).clean
    assert inspect(dim.voxels, light=2).clean
    assert not inspect(dim.voxels, light=20).clean


def test_a_mirrored_plot_has_the_mirrored_lamps() -> None:
    one, other = (
        make(Recipe(seed=5, brief=Brief(plot=(23, 32), gate="south", mirror=m)))
        for m in (False, True)
    )
    wide = one.plan.plot[0]
    assert {(wide - 1 - x, y, z) for _, _, (x, y, z) in lamps(one)} == {
        cell for _, _, cell in lamps(other)
    }


def test_the_lamps_seed_moves_nothing_else() -> None:
    one, other = (
        make(Recipe(seed=3, brief=Brief(plot=(23, 32)), stage_seeds=stages))
        for stages in ((), (("lamps", 9),))
    )
    assert [p for p in one.plan.parts if p.stage != "lamps"] == [
        p for p in other.plan.parts if p.stage != "lamps"
    ]


BRIGHT, QUIET = (
    ("kitchen", "workroom", "workshop", "study", "weaving"),
    ("dressing", "pantry", "loft"),
)


def test_where_one_works_it_is_brighter_than_where_one_dresses_or_stores() -> None:
    """On the mean of the floors, as the inspection's own rays find it: each kind of the first sort above
    each of the second, and nearly every room at what JIS Z 9110 asks of such rooms (second-hand)."""
    least = {
        "kitchen": 50,
        "study": 75,
        "workroom": 75,
        "dressing": 20,
        "pantry": 20,
        "sleeping": 10,
    }
    means: dict[str, list[float]] = {}
    for seed in range(40):
        for room in house(seed).light():
            if room.lux.size:
                means.setdefault(room.kind, []).append(float(room.lux.mean()))
    average = {kind: sum(found) / len(found) for kind, found in means.items()}
    quiet = [average[k] for k in QUIET if k in average]
    assert len(quiet) > 1
    assert min(average[k] for k in BRIGHT if k in average) > 1.5 * max(quiet)
    short = [m < 0.97 * lux for kind, lux in least.items() for m in means.get(kind, ())]
    assert sum(short) <= len(short) // 20
