"""Sub-cells: what stays, what opens, what flows."""

from __future__ import annotations

import numpy as np
import pytest

from genhouse.core.forms import FORMS, shapes
from genhouse.inspection.subcells import cut, lowered, raised, spread
from tests.houses import anyhow
from tests.houses import fine as one_at_a_time
from tests.inspection.blocks import Hut


@pytest.mark.parametrize("seed", range(3))
def test_spread_is_what_each_cell_is_filled_with(seed: int) -> None:
    v = anyhow(seed).voxels
    assert np.array_equal(cut(spread(v.form, v.shapes)), one_at_a_time(v))


def test_every_form_is_spread_as_it_is_drawn() -> None:
    row = np.arange(len(FORMS), dtype=np.uint16).reshape(-1, 1, 1)
    filled = cut(spread(row, shapes()))
    for n, form in enumerate(FORMS):
        assert np.array_equal(filled[4 * n : 4 * n + 4], form.shape)


@pytest.mark.parametrize("by", [1, 2, 3])
def test_quarters_move_up_and_down_within_their_own_column(by: int) -> None:
    quarters = np.random.default_rng(by).integers(0, 16, (3, 2, 4)).astype(np.uint8)
    here, up, down = cut(quarters), cut(raised(quarters, by)), cut(lowered(quarters, by))
    assert here.shape == up.shape == down.shape == (3, 2, 16)
    assert np.array_equal(up[:, :, by:], here[:, :, :-by])
    assert np.array_equal(down[:, :, :-by], here[:, :, by:])
    assert not up[:, :, :by].any()
    assert not down[:, :, -by:].any()


def test_leaves_stay_but_do_not_block_and_water_is_not_solid() -> None:
    hut = Hut()
    hut.set(np.s_[7, 7, 0], "water", "half course", "court")
    sub = hut.sub()
    leaf = np.s_[12:16, 5, 4:12]
    assert cut(sub.solid)[leaf].all()
    assert not cut(sub.blocked)[leaf].any()
    pond = np.s_[28:32, 28:32, 0:2]
    assert cut(sub.liquid)[pond].all()
    assert not cut(sub.solid)[pond].any()
    assert sub.indoor.sum() == 27
