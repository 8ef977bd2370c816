"""Sub-cells: what stays, what opens, what flows."""

from __future__ import annotations

import numpy as np
import pytest

from genhouse.core.forms import FORMS, shapes
from genhouse.inspection.subcells import fine, spread
from tests.houses import anyhow
from tests.houses import fine as one_at_a_time
from tests.inspection.blocks import Hut


@pytest.mark.parametrize("seed", range(3))
def test_spread_is_what_each_cell_is_filled_with(seed: int) -> None:
    v = anyhow(seed).voxels
    assert np.array_equal(spread(v.form, v.shapes), one_at_a_time(v))


def test_every_form_is_spread_as_it_is_drawn() -> None:
    row = np.arange(len(FORMS), dtype=np.uint8).reshape(-1, 1, 1)
    cut = spread(row, shapes())
    for n, form in enumerate(FORMS):
        assert np.array_equal(cut[4 * n : 4 * n + 4], form.shape)


def test_fine_repeats_a_cell_over_its_sub_cells() -> None:
    cells = np.random.default_rng(1).random((3, 2, 4)) < 0.5
    cut = fine(cells)
    assert cut.shape == (12, 8, 16)
    for x, y, z in np.ndindex(*cut.shape):
        assert cut[x, y, z] == cells[x // 4, y // 4, z // 4]


def test_leaves_stay_but_do_not_block_and_water_is_not_solid() -> None:
    hut = Hut()
    hut.set(np.s_[7, 7, 0], "water", "lower slab", "court")
    sub = hut.sub()
    leaf = np.s_[12:16, 5, 4:12]
    assert sub.solid[leaf].all()
    assert not sub.blocked[leaf].any()
    pond = np.s_[28:32, 28:32, 0:2]
    assert sub.liquid[pond].all()
    assert not sub.solid[pond].any()
    assert sub.indoor.sum() == 27
