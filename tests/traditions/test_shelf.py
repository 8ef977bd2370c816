"""The shelf: names are checked with a hint, plots with what would do."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from genhouse.core.errors import BriefError, InfeasibleError
from genhouse.model.bounds import BOUNDS, LARGEST_PLOT, SMALLEST_PLOT
from genhouse.model.brief import STAGE_NAMES, Brief, Ground, Recipe, RoofWish, Wish
from genhouse.traditions.shelf import check_brief, check_name, check_recipe, names


def test_the_shelf_is_sorted_and_holds_the_first_tradition() -> None:
    assert names() == tuple(sorted(names()))
    assert "timber" in names()


def test_a_near_miss_gets_a_hint_and_a_far_one_the_list() -> None:
    check_name("bird", "wren", ["wren"])
    with pytest.raises(BriefError, match="no bird 'wern'; did you mean 'wren'"):
        check_name("bird", "wern", ["wren", "owl"])
    with pytest.raises(BriefError, match="try wren, owl"):
        check_name("bird", "zzz", ["wren", "owl"])


@pytest.mark.parametrize("seed", [0, 1, (1 << 64) - 1])
def test_seeds_of_sixty_four_bits_are_taken(seed: int) -> None:
    check_recipe(Recipe(seed=seed, stage_seeds=(("roof", seed),)))


@pytest.mark.parametrize("seed", [-1, 1 << 64])
@pytest.mark.parametrize("stage", [None, *STAGE_NAMES[:2]])
def test_other_seeds_are_refused_by_the_name_of_their_stage(seed: int, stage: str | None) -> None:
    recipe = Recipe(seed=seed) if stage is None else Recipe(seed=1, stage_seeds=((stage, seed),))
    with pytest.raises(BriefError, match=f"^{stage or 'seed'}: "):
        check_recipe(recipe)


@pytest.mark.parametrize(
    ("plot", "offer"),
    [
        ((16, 30), "17 x 30"),
        ((30, 18), "30 x 19"),
        ((5, 5), "17 x 19"),
        ((46, 30), "45 x 30"),
        ((30, 62), "30 x 61"),
        ((0, 0), "17 x 19"),
        ((-3, 1000), "17 x 61"),
    ],
)
def test_a_plot_out_of_bounds_is_answered_with_the_nearest_that_works(
    plot: tuple[int, int], offer: str
) -> None:
    with pytest.raises(
        InfeasibleError, match=f"{plot[0]} x {plot[1]}.*{offer} would work"
    ) as error:
        check_brief(Brief(plot=plot))
    assert error.value.stage == "site"
    width, depth = map(int, offer.split(" x "))
    check_brief(Brief(plot=(width, depth)))


def test_the_bounds_themselves_are_taken() -> None:
    for plot in (SMALLEST_PLOT, LARGEST_PLOT):
        check_brief(Brief(plot=plot))


@pytest.mark.parametrize("count", [1000, 10**6, 10**30])
def test_more_rooms_than_any_plot_holds_are_refused_without_a_search(count: int) -> None:
    with pytest.raises(
        BriefError, match=rf"^rooms\[0\]\.count: {count} is not a number from \d+ to"
    ):
        check_brief(Brief(rooms=(Wish(kind="bath", count=count),)))


def test_more_rooms_than_this_plot_holds_are_refused_without_a_search() -> None:
    """A bay with its walls takes 4 x 4 cells, a court 6 x 6: (12 x 14 - 36) / 16 = 8 on a storey."""
    wishes = (Wish(kind="bath", count=9), Wish(kind="sleeping", count=8))
    with pytest.raises(InfeasibleError, match=r"17 are wished, .* more than 16 on 2 storeys"):
        check_brief(Brief(plot=(17, 19), storeys=2, rooms=wishes))
    check_brief(Brief(plot=(18, 20), storeys=2, rooms=wishes))
    check_brief(Brief(plot=(17, 19), rooms=wishes))


TABLES: dict[str, Callable[..., object]] = {"roof": RoofWish, "ground": Ground}


@pytest.mark.parametrize("key", sorted(set(BOUNDS) - {"rooms.count", "rooms.area", "rooms.storey"}))
def test_every_number_of_a_brief_has_a_least_and_a_most(key: str) -> None:
    low, high = BOUNDS[key]
    for value in (low - 1, high + 1, 10**40):
        table, _, name = key.rpartition(".")
        given: object = ((0, value), (0, 0)) if name == "levels" else value
        brief = Brief(**({table: TABLES[table](**{name: given})} if table else {name: given}))
        with pytest.raises(BriefError, match=f"^{key}: {value} .* {low} to {high}"):
            check_brief(brief)
