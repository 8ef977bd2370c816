"""Plots and their people; houses settled."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations, pairwise

import numpy as np
import pytest

from genhouse.core.axes import STEP, opposite
from genhouse.core.draw import Draw
from genhouse.core.errors import BriefError, InfeasibleError
from genhouse.house import make
from genhouse.model.brief import Brief, Recipe
from genhouse.traditions.shelf import names
from genhouse.village.grids import Mask
from genhouse.village.paths import way_out
from genhouse.village.people import TRADES, Customs, brief_for, sizes
from genhouse.village.pits import pits
from genhouse.village.plots import APRON, QUARTERS, SIZES, Plot
from genhouse.village.public import site
from genhouse.village.settle import settle
from genhouse.village.surface import PLOT, TRODDEN
from genhouse.village.terrain import given_land, given_mask
from tests.village.made import HOUSES, SMALL, built, laid

SEEDS = (1, 2, 3)


@pytest.mark.parametrize("seed", SEEDS)
def test_plots_lie_apart_on_dry_ground_and_face_a_lane(seed: int) -> None:
    village = built(seed)
    surface, plots = village.settled.surface, village.site.plots
    assert [plot.number for plot in plots] == list(range(1, HOUSES + 1))
    for plot, path in zip(plots, village.settled.paths[len(village.site.places) :], strict=True):
        x0, y0, x1, y1 = plot.rect
        covers = village.houses[plot.number - 1].covers
        assert (surface.use[x0:x1, y0:y1][covers] == PLOT).all()
        assert covers.mean() > 0.6
        assert (surface.level[x0 - 2 : x1 + 2, y0 - 2 : y1 + 2] == 0).all()
        assert plot.quarter in QUARTERS
        front, deep = (x1 - x0, y1 - y0) if plot.gate in ("south", "north") else (y1 - y0, x1 - x0)
        assert all(
            low <= n <= high for n, (low, high) in zip((front, deep), SIZES[plot.size], strict=True)
        )
        x, y = path[0]
        dx, dy = STEP[plot.gate]
        assert (x - dx, y - dy) == village.houses[plot.number - 1].door
        assert surface.use[path[-1]] in TRODDEN
    for one, other in combinations(plots, 2):
        a, b = one.rect, other.rect
        aside = max(a[0] - b[2], b[0] - a[2], a[1] - b[3], b[1] - a[3])
        assert aside == 0 if one.row == other.row else aside >= APRON


def test_in_the_middle_houses_stand_wall_to_wall_on_one_level_and_outside_none_do() -> None:
    many = 0
    for seed in range(1, 9):
        village = built(seed)
        levels, plots = village.levels, village.site.plots
        for one, other in pairwise(plots):
            if one.row != other.row:
                continue
            many += 1
            side = one.party[-1]
            assert other.party[0] == opposite(side)
            assert len(one.party) == 1 or one.party[0] == opposite(side)
            assert {one.quarter, other.quarter} == {"green"}
            assert one.gate == other.gate
            assert levels[one.number - 1] == levels[other.number - 1]
            n = {"west": 0, "south": 1, "east": 2, "north": 3}[side]
            assert one.rect[n] == other.rect[n ^ 2]
        alone = [plot for plot in plots if plot.quarter != "green"]
        assert all(plot.party == () and plot.row == plot.number for plot in alone)
        for plot, house in zip(plots, village.houses, strict=True):
            assert house.recipe.brief.sides.party in ((), plot.party)
    assert many


@pytest.mark.parametrize("seed", SEEDS)
def test_from_gate_to_lane_no_step_is_higher_than_half_a_cell(seed: int) -> None:
    village = built(seed)
    top = village.settled.surface.top
    for house, path in zip(
        village.houses, village.settled.paths[len(village.site.places) :], strict=True
    ):
        heights = [int(top[house.door]), *(int(top[cell]) for cell in path)]
        assert max(abs(a - b) for a, b in pairwise(heights)) <= 1


@pytest.mark.parametrize("seed", range(1, 9))
def test_what_is_cut_is_filled_within_a_twentieth(seed: int) -> None:
    village = built(seed)
    before_, after = village.site.before, village.settled.surface
    change = (after.ground.astype(int) - before_.ground)[after.level == 0]
    cut, fill = -int(change[change < 0].sum()), int(change[change > 0].sum())
    assert (cut, fill) == (village.settled.cut, village.settled.fill)
    assert cut > 0
    assert abs(cut - fill) * 20 <= cut + fill


@pytest.mark.parametrize("seed", SEEDS)
def test_no_water_stands_on_what_is_trodden_or_built_on(seed: int) -> None:
    surface = built(seed).settled.surface
    assert (pits(surface)[np.isin(surface.use, (PLOT, *TRODDEN))] == 0).all()


def test_who_lives_there_follows_from_the_place() -> None:
    plot = laid(1).plots[0]
    asked = [brief_for(plot, Customs(), Draw(5, "people"), tries) for tries in (0, 2, 4)]
    x0, y0, x1, y1 = plot.rect
    assert {(b.plot, b.gate) for b in asked} == {((x1 - x0, y1 - y0), plot.gate)}
    assert asked[0].trade in TRADES[plot.quarter]
    assert (asked[1].people, asked[2].trade) == (None, None)
    own = brief_for(plot, Customs(base=Brief(palette="frost", storeys=1)), Draw(5, "people"), 0)
    assert (own.palette, own.storeys) == ("frost", 1)


def test_an_inn_lies_on_a_road_and_lodges_many() -> None:
    many = 0
    for seed in range(1, 6):
        made = site(seed, (256, 256), 12)
        for plot in made.plots:
            if plot.quarter == "inn":
                many += 1
                assert made.lanes.lanes[plot.lane].kind == "road"
                asked = brief_for(plot, Customs(), Draw(seed, "people"), 0)
                assert asked.client
                assert asked.client.endswith(", innkeeper")
                assert (asked.people or 0) >= 6
        assert sum(plot.quarter == "inn" for plot in made.plots) <= 1
    assert many


def test_a_gate_with_nothing_before_it_has_no_way() -> None:
    surface = laid(1).surface
    shut = type(surface)(
        ground=surface.ground,
        level=surface.level,
        deck=surface.deck,
        use=np.full_like(surface.use, PLOT),
    )
    assert way_out(shut, (50, 50), "south") == ()


def test_too_many_houses_are_told_how_many_fit() -> None:
    with pytest.raises(
        InfeasibleError, match=r"houses: \d+ fit on this ground, not 900; the limit is"
    ):
        site(1, SMALL, 900)


ONE = np.full(SMALL, 5.0)


@pytest.mark.parametrize(
    ("terrain", "units", "said"),
    [
        (np.zeros((10, 10)), 1, "size: 10 is not a whole number from 192"),
        (np.full((200, 200), 5.0), 1, "both are multiples of 64; 256x256 would work"),
        (np.zeros((4, 4, 4)), 1, "one number a cell"),
        (np.where(np.eye(192) > 0, np.nan, 5), 1, "its height at 0, 0 is no number"),
        (np.zeros(SMALL), 1, "nearly all of it is under water"),
        (np.indices(SMALL)[0] * 9.0, 1, "it rises by 1719 cells, and 160 are the most"),
        (ONE, -1, "units: -1 is not how many cells"),
        ([["a", "b"]], 1, "one number a cell"),
        ([[1, 2], [3]], 1, "rows are of unlike lengths"),
    ],
)
def test_ground_that_is_none_is_refused(terrain: object, units: float, said: str) -> None:
    with pytest.raises(BriefError, match=said):
        given_land(terrain, units)


def test_cliffs_everywhere_leave_no_room() -> None:
    cliffs = (np.indices(SMALL).sum(axis=0) // 6 % 2) * 40.0 + 1
    with pytest.raises(InfeasibleError, match=r"houses: \d+ fit on this ground"):
        site(1, SMALL, 4, terrain=cliffs)


def test_ground_of_ones_own_is_kept_where_nothing_is_built() -> None:
    x, y = np.indices(SMALL)
    own = 6 + np.abs(y - 96) / 12 + x / 40
    made = site(3, SMALL, 3, terrain=own, keep_out=(x < 60))
    change = made.before.ground / 2 - own
    assert float(np.quantile(np.abs(change - np.median(change)), 0.7)) <= 0.5
    assert all(plot.rect[0] >= 60 for plot in made.plots)


def test_a_mask_wants_the_size_of_the_map() -> None:
    with pytest.raises(BriefError, match="keep-out: it has 5x5 cells, and the map 192x192"):
        given_mask(np.zeros((5, 5)), SMALL)
    with pytest.raises(BriefError, match="it leaves no cell"):
        given_mask(np.ones(SMALL), SMALL)


@dataclass(frozen=True)
class StandIn:
    """What is set down on a plot, before its house is made."""

    plot: Plot
    door: tuple[int, int]
    rect = property(lambda self: self.plot.rect)
    gate = property(lambda self: self.plot.gate)
    row = property(lambda self: self.plot.row)

    @property
    def covers(self) -> Mask:
        x0, y0, x1, y1 = self.rect
        return np.ones((x1 - x0, y1 - y0), dtype=bool)


def _stand_in(plot: Plot) -> StandIn:
    """Its gate anywhere along its front."""
    x0, y0, x1, y1 = plot.rect
    x, y = (low + 3 + 5 * plot.number % (high - low - 6) for low, high in ((x0, x1), (y0, y1)))
    ends = {"south": (x, y0), "north": (x, y1 - 1), "west": (x0, y), "east": (x1 - 1, y)}
    return StandIn(plot, ends[plot.gate])


@pytest.mark.parametrize("seed", [2, 4, 9, 14])
def test_on_steep_ground_no_way_passes_a_plot_higher_than_a_step(seed: int) -> None:
    x, y = np.indices((512, 512))
    made = site(seed, (512, 512), 40, terrain=6 + x * 100 / 512 + 4 * np.sin(y / 25 + seed))
    sites = [*made.places, *map(_stand_in, made.plots)]
    settled = settle(made.surface, made.before.ground, sites)
    high = settled.surface.ground.astype(int)
    for one, level in zip(sites, settled.levels, strict=True):
        x0, y0, x1, y1 = one.rect
        high[x0:x1, y0:y1] = 2 * level
    for plot, level in zip(made.plots, settled.levels[len(made.places) :], strict=True):
        x0, y0, x1, y1 = plot.rect
        about = high[x0 - 1 : x1 + 1, y0 - 1 : y1 + 1]
        assert int(about.max()) <= 2 * level + 1
        assert 5 * np.count_nonzero(about < 2 * level - 1) <= 2 * sum(about.shape) - 4


@pytest.mark.parametrize("seed", [11, 61])
def test_plots_are_raised_until_water_stands_on_none(seed: int) -> None:
    """Of the first a raised plot dams the next, time after time."""
    made = site(seed, (512, 512), 40)
    sites = [*made.places, *map(_stand_in, made.plots)]
    surface = settle(made.surface, made.before.ground, sites).surface
    assert (pits(surface)[np.isin(surface.use, (PLOT, *TRODDEN))] == 0).all()


@pytest.mark.parametrize("tradition", names())
def test_on_the_least_and_the_largest_plots_of_each_way_a_house_comes_about(tradition: str) -> None:
    spans = sizes(Customs(traditions=((tradition, 1),)))
    corners = (
        (spans["small"][0][0], spans["small"][1][0]),
        (spans["large"][0][1], spans["large"][1][0]),
        (spans["large"][0][1], spans["large"][1][1]),
    )
    for n, (front, deep) in enumerate(corners):
        along = n % 2 == 0
        brief = Brief(
            plot=(front, deep) if along else (deep, front),
            gate="south" if along else "east",
            tradition=tradition,
        )
        assert make(Recipe(seed=71 + n, brief=brief)).voxels.size[:2] == brief.plot
