"""What makes lanes and plots a village: back lanes, gutters, walls between neighbours, terraced fields, and
bridges wherever a lane meets water."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise, permutations

import numpy as np
import pytest

from genhouse.core.draw import Draw
from genhouse.village.backs import BackLane, lay_back_lanes
from genhouse.village.fences import fences
from genhouse.village.fields import lay_fields
from genhouse.village.layout import Site
from genhouse.village.pits import pits
from genhouse.village.public import site
from genhouse.village.roster import why
from genhouse.village.settle import Settled, recounted, settle
from genhouse.village.surface import BRIDGE, FIELD, FORD, GUTTER, LANE, ROAD, TRAIL, TRODDEN
from tests.village.made import SMALL, built
from tests.village.test_plots import _stand_in


def _settled(seed: int, size: int, houses: int) -> tuple[Site, Settled]:
    """With stand-ins for houses."""
    made = site(seed, (size, size), houses)
    sites = [*made.places, *map(_stand_in, made.plots)]
    return made, settle(made.surface, made.before.ground, sites)


@pytest.mark.parametrize("seed", [31, 32, 33])
def test_back_lanes_lead_from_lane_to_lane_behind_houses_in_steps_that_one_walks(seed: int) -> None:
    made, settled = _settled(seed, 512, 40)
    surface = settled.surface
    found = lay_back_lanes(surface, made.plots)
    assert found
    for back in found:
        assert len(back.houses) > 1
        ends = back.cells[0], back.cells[-1]
        assert ends[0] != ends[1]
        assert all(surface.use[at] in TRODDEN for at in ends)
        for a, b in pairwise(back.cells):
            assert abs(a[0] - b[0]) + abs(a[1] - b[1]) == 1
            assert abs(int(surface.ground[a]) - int(surface.ground[b])) <= 1
        inner = back.cells[1:-1]
        assert all(surface.use[at] == TRAIL and surface.level[at] == 0 for at in inner)
        assert len(set(back.cells)) == len(back.cells)


def test_the_roster_tells_of_back_lanes() -> None:
    village = built(1)
    first = village.houses[0].plot.number
    told = replace(village, backs=(BackLane(cells=(), houses=(first,)),))
    assert ", back lane behind" in why(told, first)
    assert ", back lane behind" not in why(replace(village, backs=()), first)


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_lanes_have_a_gutter_in_their_middle_and_no_water_stands_in_it(seed: int) -> None:
    surface = built(seed).settled.surface
    gutter = surface.use == GUTTER
    assert np.count_nonzero(gutter) > 100
    assert (pits(surface)[gutter] == 0).all()
    lane = np.where(np.isin(surface.use, (ROAD, LANE)), surface.ground, -1).astype(int)
    lower = []
    for x, y in np.argwhere(gutter).tolist():
        beside = lane[max(0, x - 1) : x + 2, max(0, y - 1) : y + 2]
        lower.append(int(beside.max()) > int(surface.ground[x, y]))
    assert np.mean(lower) > 0.6


def test_between_plots_side_by_side_stands_a_wall_or_a_hedge() -> None:
    many = 0
    for seed in (31, 32):
        made, settled = _settled(seed, 512, 40)
        surface, plots = settled.surface, made.plots
        stood = {at for _, at in fences(surface, plots, Draw(seed, "fences"))}
        for one, other in permutations(plots, 2):
            gap = other.rect[0] - one.rect[2]
            low, high = max(one.rect[1], other.rect[1]), min(one.rect[3], other.rect[3])
            if 3 <= gap <= 8 and high - low >= 6:
                many += sum((one.rect[2] + gap // 2, y) in stood for y in range(low, high))
    assert many > 20


def test_slopes_are_farmed_in_terraces_that_move_as_much_down_as_up() -> None:
    many = 0
    for seed in (41, 42):
        made, settled = _settled(seed, 512, 40)
        surface = settled.surface
        before = surface.ground.copy()
        found = lay_fields(surface, made.plots, Draw(seed, "fields"))
        changed = surface.ground != before
        for parcel in found:
            x0, y0, x1, y1 = parcel.rect
            own = surface.ground[x0 + 2 : x1 - 2, y0 + 2 : y1 - 2]
            if parcel.kind == "terraces":
                many += 1
                assert (surface.use[x0:x1, y0:y1] == FIELD).all()
                assert len(np.unique(own)) < len(
                    np.unique(before[x0 + 2 : x1 - 2, y0 + 2 : y1 - 2])
                )
                assert np.abs(own.astype(int) - before[x0 + 2 : x1 - 2, y0 + 2 : y1 - 2]).max() <= 8
        assert not changed[np.isin(surface.use, TRODDEN)].any()
        even = recounted(settled, made.before.ground)
        assert abs(even.cut - even.fill) * 20 <= even.cut + even.fill
    assert many > 9


def test_no_ferry_is_needed_for_a_bridge_stands_wherever_a_lane_meets_water() -> None:
    """A strait from edge to edge: lanes go over all of it, on decks that hang together."""
    from scipy.ndimage import label

    x, _ = np.indices(SMALL)
    made = site(3, SMALL, 3, terrain=np.where(np.abs(x - 96) < 30, -1.0, 6.0))
    surface = made.surface
    over = np.isin(surface.use, (BRIDGE, FORD))
    parts, count = label(over, np.ones((3, 3)))
    spans = [np.ptp(np.argwhere(parts == n)[:, 0]) for n in range(1, count + 1)]
    assert max(spans) >= 56
    assert (surface.deck[over] >= 2 * surface.level[over]).all()
    depth = 2 * surface.level[over] - surface.ground[over]
    assert int(depth.max()) <= 8
