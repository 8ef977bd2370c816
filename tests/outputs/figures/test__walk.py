"""Walking distances against a walk that knows nothing of this one."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from genhouse.model.voxels import Voxels
from genhouse.outputs.figures._walk import walks
from tests.houses import SEEDS, anyhow


@pytest.mark.parametrize("seed", SEEDS[:6])
def test_every_walkable_room_is_reached(seed: int) -> None:
    house = anyhow(seed)
    found = walks(house.voxels)
    assert [r.id for r in house.plan.rooms if r.walkable and r.id not in found] == []


@pytest.mark.parametrize("seed", SEEDS[:6])
def test_no_walk_is_shorter_than_the_way_there(seed: int) -> None:
    """A cell at a step: never less than the cells east or west and north or south together."""
    house = anyhow(seed)
    x, y, _ = house.plan.gate
    found = walks(house.voxels)
    for room in house.plan.rooms:
        apart = min(abs(x - i) + abs(y - j) for r in room.rects for i, j in r.cells())
        assert found[room.id] >= apart


def corridor(voxels: Voxels, length: int) -> Voxels:
    """A bare strip one cell wide, walled, whose last cell is a room."""
    form = np.zeros((length, 1, 4), dtype=np.uint16)
    full = next(n for n, f in enumerate(voxels.about.forms) if f.name == "whole")
    form[:, :, 0] = full
    room = np.zeros(form.shape, dtype=np.uint16)
    room[-1, 0, 1:] = 1
    solid = next(
        n for n, m in enumerate(voxels.about.materials) if n and not (m.liquid or m.passable)
    )
    return dataclasses.replace(
        voxels,
        form=form,
        material=np.where(form > 0, np.uint8(solid), np.uint8(0)),
        stage=form,
        room=room,
        about=dataclasses.replace(voxels.about, gate=(0, 0, 4)),
    )


def test_a_corridor_is_as_long_as_it_is() -> None:
    assert walks(corridor(anyhow(7).voxels, 9)) == {1: 8}


def test_a_step_too_high_ends_the_walk() -> None:
    strip = corridor(anyhow(7).voxels, 9)
    form = strip.form.copy()
    names = [f.name for f in strip.about.forms]
    form[4, 0, 1] = names.index("half course")
    half = dataclasses.replace(strip, form=form, material=(form > 0) * strip.material.max())
    assert walks(half) == {1: 8}
    form = form.copy()
    form[4, 0, 1] = names.index("whole")
    assert walks(dataclasses.replace(half, form=form)) == {}


def test_a_step_piece_is_climbed_from_its_low_side_only() -> None:
    strip = corridor(anyhow(7).voxels, 9)
    names = [f.name for f in strip.about.forms]
    form = strip.form.copy()
    form[5:, 0, 1] = names.index("whole")
    for side, found in (("east", {1: 8}), ("west", {})):
        form = form.copy()
        form[4, 0, 1] = names.index(f"tread {side}")
        laid = dataclasses.replace(strip, form=form, material=(form > 0) * strip.material.max())
        assert walks(laid) == found
