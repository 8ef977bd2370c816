"""Seats out of doors: beside a veranda, on bare ground; the walk stays free, lamps reach them."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from genhouse.core.axes import STEP, opposite
from genhouse.core.light import lit
from genhouse.inspection import inspect
from genhouse.model.brief import LAMPLIGHT
from genhouse.model.design import Placed
from genhouse.model.lighting import dark, lamps_of
from tests.houses import TIMBER, House, house

SEEDS = range(12)


def outdoors(found: House) -> list[Placed]:
    return [p for p in found.plan.placed if not found.plan.room(p.room).indoor]


@pytest.mark.parametrize("seed", SEEDS)
def test_a_seat_stands_in_the_garden_with_its_back_to_a_veranda(seed: int) -> None:
    found = house(seed)
    verandas = [r for r in found.plan.rooms if r.kind == "veranda"]
    v = found.voxels
    for p in outdoors(found):
        court = found.plan.room(p.room)
        assert court.kind == "court"
        assert court.rect.meet(p.cells) == p.cells
        dx, dy = STEP[opposite(p.facing)]
        back = {(x + dx, y + dy) for x, y in p.cells.cells()} - set(p.cells.cells())
        assert back
        assert any(all(r.has(*c) for c in back) for r in verandas)
        for x, y in back:
            assert not v.form[x, y, p.floor + 1 : p.floor + 3].any(), (
                "something closes the veranda's walk"
            )
        level = v.shapes[v.form[p.cells.x0, p.cells.y0, p.floor]]
        assert level[:, :, 3].all(), "its boards are not level with the veranda's"


def test_most_houses_have_one_and_they_differ() -> None:
    found = [[p.name for p in outdoors(house(seed))] for seed in SEEDS]
    assert sum(map(bool, found)) >= 0.75 * len(found)
    assert len({name for names in found for name in names}) > 1
    assert all(TIMBER.fitting(name).against == "veranda" for names in found for name in names)


@pytest.mark.parametrize("seed", SEEDS)
def test_lamps_reach_whoever_sits_there(seed: int) -> None:
    """A tenth of what rooms get, as on walks: on the boards, by any lamp that is seen."""
    found = house(seed)
    lamps = lamps_of(found.voxels)
    for p in outdoors(found):
        x0, y0, x1, y1 = p.cells
        point = np.array([[4 * (x0 + x1), 4 * (y0 + y1), 8 * (p.floor + 2)]], dtype=np.int32)
        one = np.zeros(len(lamps.at), dtype=np.int32)
        amount = lit(dark(found.voxels), (lamps.lumens, lamps.at, one), (point, one[:1])).sums(1)
        assert amount[0] >= 1000 * LAMPLIGHT // 10


def test_the_inspection_finds_a_seat_that_is_walled_in() -> None:
    found = next(f for f in map(house, SEEDS) if outdoors(f))
    assert inspect(found.voxels).clean
    v, p = found.voxels, outdoors(found)[0]
    form, material, stage = v.form.copy(), v.material.copy(), v.stage.copy()
    whole = [f.name for f in v.about.forms].index("whole")
    for x, y in set(p.cells.grown(1).cells()) - set(p.cells.cells()):
        for z in range(p.floor, p.floor + 4):
            form[x, y, z], material[x, y, z], stage[x, y, z] = (
                whole,
                1,
                v.about.stages.index("walls"),
            )
    for x, y in p.cells.cells():
        z = p.floor + 2
        form[x, y, z], material[x, y, z], stage[x, y, z] = whole, 1, v.about.stages.index("walls")
    changed = replace(v, form=form, material=material, stage=stage)
    said = " ".join(str(f) for f in inspect(changed).findings)
    assert "a fitting cannot be reached" in said
