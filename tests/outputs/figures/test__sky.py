"""The sky over courts: closed form, horizon and rays, against the published table and each other."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
import pytest

from genhouse.core.sky import sky_component
from genhouse.house import House
from genhouse.outputs.figures import _sky
from tests.houses import anyhow, fine
from tests.houses import house as ring
from tests.reference import published

TABLES = published("sky")
SQUARE = tuple(zip(TABLES["square"]["height_to_width"], TABLES["square"]["centre"], strict=True))


def walled(width: int, depth: int, height: float) -> npt.NDArray[np.float64]:
    """How high the columns stand in and about a court, whose walls are three cells thick."""
    tops = np.full((width + 6, depth + 6), float(height))
    tops[3:-3, 3:-3] = 0
    return tops


@pytest.mark.parametrize(("ratio", "centre"), SQUARE)
def test_the_closed_form_is_the_table(ratio: float, centre: float) -> None:
    assert _sky.rectangle(1, 1, ratio) == pytest.approx(centre, abs=6e-6)


@pytest.mark.parametrize("table", TABLES["oblong"], ids=lambda t: str(t["depth"]))
def test_the_closed_form_for_oblong_courts(table: dict[str, float]) -> None:
    found = _sky.rectangle(table["width"], table["depth"], table["height"])
    assert found == pytest.approx(table["centre"], abs=6e-6)


def test_a_long_court_is_a_street() -> None:
    street = TABLES["street"]
    for ratio, centre in zip(street["height_to_width"], street["centre"], strict=True):
        assert _sky.rectangle(1, 1000, ratio) == pytest.approx(centre, abs=1e-4)


@pytest.mark.parametrize(("ratio", "centre"), SQUARE)
def test_the_horizon_over_cells_is_within_one_in_a_hundred(ratio: float, centre: float) -> None:
    found = _sky.over(walled(12, 12, 12 * ratio), 9, 9)
    assert found == pytest.approx(centre, rel=0.01)


@pytest.mark.parametrize("size", [(8, 12), (10, 21), (5, 17)])
def test_rays_counted_over_cells_agree(size: tuple[int, int]) -> None:
    """Within one in a hundred of the whole sky: rays that pass a corner by less than a sub-cell."""
    width, depth = size
    height = 7
    tops = walled(width, depth, height)
    opaque = np.zeros((4 * (width + 6), 4 * (depth + 6), 4 * height), dtype=bool)
    opaque[np.kron(tops > 0, np.ones((4, 4), dtype=bool))] = True
    middle = np.array([[4 * (width + 6), 4 * (depth + 6), 0]])
    counted = float(sky_component(opaque, middle, rays=6000)[0])
    closed = _sky.rectangle(width, depth, height)
    assert counted == pytest.approx(closed, abs=0.01)
    assert _sky.over(tops, width / 2 + 3, depth / 2 + 3) == pytest.approx(closed, rel=0.01)


def counted(house: House) -> float:
    """The sky over its first court, by rays through all that is built."""
    voxels, court = house.voxels, house.plan.courts[0]
    stages = [voxels.about.stages.index(s) for s in ("frame", "walls", "floors", "roof")]
    built = np.isin(voxels.stage, stages).repeat(4, 0).repeat(4, 1).repeat(4, 2) & fine(voxels)
    ground = 4 * int(voxels.about.gate[2] // 4)
    middle = np.array([[4 * (court.x0 + court.x1), 4 * (court.y0 + court.y1), 2 * ground + 1]])
    return float(sky_component(built, middle, rays=4000)[0])


@pytest.mark.parametrize("seed", [1, 3, 5])
def test_rays_counted_over_the_cells_of_a_house_agree(seed: int) -> None:
    """Real eaves hang over the court and roofs rise behind them."""
    house = ring(seed)
    assert house.figures().courts[0].sky == pytest.approx(counted(house), abs=0.025)


@pytest.mark.parametrize("seed", range(6))
def test_no_more_sky_is_said_than_rays_count_over_any_court(seed: int) -> None:
    """Through a gate, and under its roof, rays pass where the figure has a column down to the ground."""
    house = anyhow(seed)
    most = counted(house)
    assert most - 0.05 < house.figures().courts[0].sky < most + 0.02


def test_open_ground_sees_the_whole_sky() -> None:
    assert _sky.over(np.zeros((9, 9)), 4.5, 4.5) == 1
