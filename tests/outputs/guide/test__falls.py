"""Ridges, hips, valleys and falls of roofs whose heights are worked by hand, in quarters of a cell."""

from __future__ import annotations

import numpy as np

from genhouse.outputs.guide._falls import NONE, Surface
from genhouse.outputs.guide._roof import roof_plan
from genhouse.outputs.sheets.sheet import Sheets
from genhouse.outputs.steps.steps import building_steps
from tests.houses import anyhow


def lines(*rows: list[int]) -> set[tuple[str, float, float, float, float]]:
    """Of heights as one reads them on a sheet, north at the top."""
    return {(k.kind, k.x0, k.y0, k.x1, k.y1) for k in surface(*rows).lines()}


def surface(*rows: list[int]) -> Surface:
    return Surface(np.array(rows, dtype=np.int64)[::-1].T)


def falls(roof: Surface) -> set[str]:
    return {fall.side for fall in roof.falls()}


HIPPED = (
    [2, 2, 2, 2, 2, 2, 2],
    [2, 4, 4, 4, 4, 4, 2],
    [2, 4, 6, 6, 6, 4, 2],
    [2, 4, 4, 4, 4, 4, 2],
    [2, 2, 2, 2, 2, 2, 2],
)


def test_a_hipped_roof_has_four_hips_and_a_ridge_between_them() -> None:
    found = lines(*HIPPED)
    assert ("ridge", 2, 2.5, 5, 2.5) in found
    assert {line for line in found if line[0] == "hip"} >= {
        ("hip", 0, 0, 2, 2),
        ("hip", 0, 5, 2, 3),
        ("hip", 5, 2, 7, 0),
        ("hip", 5, 3, 7, 5),
    }
    assert "valley" not in {line[0] for line in found}


def test_a_gable_has_no_hip_though_its_verge_stands_higher() -> None:
    rows = ([4, 2, 2, 2, 4], [6, 4, 4, 4, 6], [8, 6, 6, 6, 8], [6, 4, 4, 4, 6], [4, 2, 2, 2, 4])
    assert lines(*rows) == {("ridge", 0, 2.5, 5, 2.5)}


def test_two_rows_on_top_have_their_ridge_between_them() -> None:
    assert lines([2] * 4, [4] * 4, [4] * 4, [2] * 4) == {("ridge", 0, 2, 4, 2)}


def test_slopes_that_meet_in_an_inner_corner_have_a_valley() -> None:
    """Down to a court in the north-east: a column is as high as the higher of the two."""
    high = [6, 8, 10, 8, 6, 4, 2]
    rows = [[max(high[x], high[y]) for x in range(7)] for y in reversed(range(7))]
    assert ("valley", 3, 3, 6, 6) in lines(*rows)
    assert "hip" not in {line[0] for line in lines(*rows)}


def test_water_runs_down_every_slope() -> None:
    wide = tuple([min(x, 8 - x, y, 8 - y) * 2 + 2 for x in range(9)] for y in range(9))
    assert falls(surface(*wide)) == {"east", "north", "west", "south"}


def test_a_flat_roof_runs_out_where_its_parapet_is_open_and_to_its_spouts() -> None:
    rows = [[8] * 7, *([8, 4, 4, 4, 4, 4, 8] for _ in range(4)), [8, 8, 4, 4, 8, 8, 8]]
    assert {(f.x, f.y, f.side) for f in surface(*rows).falls()} == {
        (2, 0, "south"),
        (3, 0, "south"),
    }
    tops = np.full((8, 5), 4, dtype=np.int64)
    tops[6:] = NONE
    (fall,) = Surface(tops, spouts=[((5, 2), "x")]).falls()
    assert (fall.x, fall.y, fall.side) == (3, 2, "east")


def test_what_drops_far_is_another_roof() -> None:
    high, low = [20, 22, 24, 22, 20], [4, 6, 8, 6, 4]
    assert lines(low, low, low, high, high, high) == {("ridge", 2.5, 0, 2.5, 6)}


def test_every_line_of_a_plan_is_in_its_key() -> None:
    house = anyhow(7)
    sheets = Sheets(house.plan, house.voxels, building_steps(house.plan, house.voxels))
    text = roof_plan(house.plan, house.voxels, sheets)
    for kind in ("ridge", "hip", "valley", "fall"):
        assert f'data-line="{kind}"' in text
