"""The sky seen from courts and behind obstructions, against published tables."""

from __future__ import annotations

import math

import numpy as np
import pytest

from genhouse.core.sky import sky_component
from tests.reference import published

COURT = published("light")["court"]["rows"]
OBSTRUCTION = published("light")["obstruction"]["rows"]
WIDE = 160
"""Sub-cells across the court."""


@pytest.mark.parametrize("row", COURT, ids=lambda row: f"H/W {row['height']}")
def test_sky_view_factor_of_a_square_court(row: dict[str, float]) -> None:
    """Within 2 %: the edge and corner points lie half a sub-cell off the wall, and a ray may pass a
    corner by half a sub-cell."""
    high = round(WIDE * row["height"])
    opaque = np.ones((WIDE + 2, WIDE + 2, high), dtype=bool)
    opaque[1:-1, 1:-1] = False
    middle = WIDE + 2
    points = np.array([(middle, middle, 0), (3, middle, 0), (3, 3, 0)], dtype=np.int32)
    found = sky_component(opaque, points, rays=20000)
    assert found[0] == pytest.approx(row["centre"], rel=0.01)
    assert found[1] == pytest.approx(row["edge"], rel=0.025)
    assert found[2] == pytest.approx(row["corner"], rel=0.04)


@pytest.mark.parametrize("row", OBSTRUCTION, ids=lambda row: f"{row['degrees']} degrees")
def test_vertical_sky_component(row: dict[str, float]) -> None:
    """A wall 40 sub-cells off, long enough to stand for an endless one."""
    far, long = 40, 801
    high = round(far * math.tan(math.radians(row["degrees"])))
    opaque = np.zeros((far + 1, long, max(high, 1)), dtype=bool)
    opaque[far, :, :high] = high > 0
    found = sky_component(
        opaque,
        np.array([(0, long, 0)], dtype=np.int32),
        sky="overcast",
        normal=(1, 0, 0),
        rays=6000,
    )
    # A wall of whole sub-cells misses the wanted angle by up to half of one.
    slack = 0.01 + 0.5 / max(high, 12)
    assert 100 * found[0] == pytest.approx(row["percent"], rel=min(slack, 0.025))


def test_open_ground_sees_all_of_either_sky() -> None:
    opaque = np.zeros((3, 3, 2), dtype=bool)
    points = np.array([(3, 3, 0)], dtype=np.int32)
    assert sky_component(opaque, points)[0] == pytest.approx(1)
    assert sky_component(opaque, points, sky="overcast")[0] == pytest.approx(1)


def test_under_a_roof_there_is_none_but_what_comes_in_aside() -> None:
    opaque = np.zeros((40, 40, 9), dtype=bool)
    opaque[:, :, 8] = True
    points = np.array([(40, 40, 0), (1, 40, 0)], dtype=np.int32)
    inner, outer = sky_component(opaque, points)
    assert inner < 0.2 < 0.4 < outer < 0.7
    opaque[[0, -1]] = True
    opaque[:, [0, -1]] = True
    assert sky_component(opaque, points[:1])[0] == 0
