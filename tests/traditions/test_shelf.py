"""The shelf: names are checked with a hint, plots with what would do."""

from __future__ import annotations

import pytest

from genhouse.core.errors import BriefError, InfeasibleError
from genhouse.model.brief import LARGEST_PLOT, SMALLEST_PLOT, STAGE_NAMES, Brief, Recipe
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
