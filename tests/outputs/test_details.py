"""Details cut out of a house: what must be in each, and that it is seen."""

from __future__ import annotations

import numpy as np
import pytest

from genhouse.house import House, make
from genhouse.model.brief import Brief, Recipe
from genhouse.outputs.details import detail_picture, details
from genhouse.outputs.pictures import picture
from genhouse.outputs.steps.steps import building_steps
from genhouse.traditions.shelf import names

SEED = 40321


def _house(tradition: str) -> House:
    return make(Recipe(seed=SEED, brief=Brief(tradition=tradition)))


@pytest.mark.parametrize("tradition", names())
def test_what_is_told_of_a_detail_is_in_it(tradition: str) -> None:
    house = _house(tradition)
    steps = building_steps(house.plan, house.voxels)
    found = {one.name: one for one in details(house.plan, steps)}
    assert {"corner", "slice", "end"} <= found.keys()
    assert ("stair" in found) == bool(house.plan.stairs)
    for one in found.values():
        x0, y0, z0, x1, y1, z1 = one.box
        assert 0 <= x0 < x1 <= house.plan.plot[0]
        assert 0 <= y0 < y1 <= house.plan.plot[1]
        shown = steps.of[x0:x1, y0:y1, z0:z1]
        there = (shown > 0) & (shown <= one.upto)
        assert there[:, :, -1].any(), "no higher than what is shown"
        assert one.step <= len(steps.steps)
    for name, stage in (
        ("stair", "stair"),
        ("flue", "roof"),
        ("slice", "roof"),
        ("corner", "walls"),
    ):
        if name in found:
            x0, y0, z0, x1, y1, z1 = found[name].box
            assert house.voxels.set_by(stage)[x0:x1, y0:y1, z0:z1].any()


def test_each_detail_is_drawn_large() -> None:
    """No blank sheet, and most of its height is the model."""
    house = _house(names()[0])
    steps = building_steps(house.plan, house.voxels)
    finishes = {m.name: m.finish for m in house.plan.palette.materials}
    scene = picture.scene(house.voxels, finishes)
    for one in details(house.plan, steps):
        drawn = np.asarray(detail_picture(scene, steps, one)).astype(int)
        dark = (drawn.sum(axis=2) < 3 * 120).any(axis=1)
        high = np.flatnonzero(dark)
        assert high[-1] - high[0] > 0.6 * len(dark), one.name
