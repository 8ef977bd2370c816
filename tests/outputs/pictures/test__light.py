"""Light that is counted beam by beam, against light swept down layer by layer."""

from __future__ import annotations

import numpy as np
import pytest

from genhouse.outputs.pictures import _light


@pytest.mark.parametrize("toward", [*_light.SKY, (3, -7, 8)])
def test_beams_reach_what_a_sweep_lights(toward: tuple[int, int, int]) -> None:
    air = (np.random.default_rng(7).random((12, 9, 14)) < 0.9).astype(np.uint8)
    counted = np.zeros_like(air)
    _light._add_beams(counted, air, toward)
    assert np.array_equal(counted * 255, _light.sweep(air * np.uint8(255), toward))


@pytest.mark.parametrize("most", [1, 31, 63, 255])
def test_sums_about_a_corner(most: int) -> None:
    field = np.random.default_rng(most).integers(0, most + 1, (5, 6, 7), dtype=np.uint8)
    sums = _light.around(field, 2, 0, most)
    wide = np.full((9, 10, 11), most, dtype=int)
    wide[2:-2, 2:-2, 2:-2] = field
    wide[:2] = 0
    for k, i, j in np.ndindex(sums.shape):
        assert sums[k, i, j] == wide[k : k + 4, i : i + 4, j : j + 4].sum()
