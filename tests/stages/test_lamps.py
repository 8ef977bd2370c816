"""Lamps: as few as bring the brief's light to every floor, each where something holds it."""

from __future__ import annotations

import math
from functools import cache

import numpy as np
import pytest

from genhouse.core.axes import STEP
from genhouse.core.forms import FORMS, NUMBER
from genhouse.house import House, make
from genhouse.inspection import inspect
from genhouse.model.brief import LAMPLIGHT, Brief, Recipe
from tests.houses import fine
from tests.reference import published

SEEDS = range(8)


@cache
def house(seed: int) -> House:
    """Its gate to the south, so that its frame is the plot's own."""
    return make(Recipe(seed=seed, brief=Brief(gate="south")))


each_seed = pytest.mark.parametrize("seed", SEEDS)
KINDS = {
    "lamp": {"hanging lamp", "standing lamp"},
    "wall-lamp": {"bracket lamp"},
    "veranda-lamp": {"bracket lamp"},
}


def lamps(found: House) -> list[tuple[str, str, tuple[int, int, int]]]:
    """Role, form and cell of each lamp that the stage set, tables under lamps left out."""
    parts = [p for p in found.plan.parts if p.stage == "lamps" and p.role != "table"]
    return [(p.role, p.form, (p.box.x0, p.box.y0, p.box.z0)) for p in parts]


@each_seed
def test_no_floor_is_darker_than_the_brief_allows(seed: int) -> None:
    (light,) = (v for v in inspect(house(seed).voxels).verdicts if v.check == "light")
    assert light.kept, [str(finding) for finding in light.findings]


def test_the_brief_asks_for_what_the_standard_names() -> None:
    assert published("light")["dwelling"]["bedroom_lux"][0] == LAMPLIGHT


@each_seed
def test_the_lamps_are_near_the_fewest(seed: int) -> None:
    """No placing does with fewer than ``fewest_lamps``; one in four more is the most allowed here."""
    found = house(seed)
    least = sum(n for _, n in found.plan.fewest_lamps)
    assert least <= len(lamps(found)) <= math.ceil(5 * least / 4)


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
        facing = FORMS[NUMBER[form]].facing
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
            if room.level == 1 and role in ("lamp", "veranda-lamp") and room.has(x, y) and z < 8:
                assert z - room.floor >= 2


@each_seed
def test_veranda_lamps_are_on_posts(seed: int) -> None:
    found = house(seed)
    posts = {c for p in found.plan.parts if p.role == "post" for c in p.box.cells()}
    for x, y, z in (cell for role, _, cell in lamps(found) if role == "veranda-lamp"):
        assert any((x + dx, y + dy, z) in posts for dx, dy in STEP.values())


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
