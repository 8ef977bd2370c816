"""A village on the desk: a moved plot, and what may not be."""

from __future__ import annotations

import json

import numpy as np
import pytest

from genhouse.core.errors import BriefError, InfeasibleError
from genhouse.desk.address import recipe_at
from genhouse.desk.hamlet import mapped, moved
from genhouse.house import make
from genhouse.model.brief import Recipe
from genhouse.village.public import site

SEED, SIDE, MANY = 7, 192, 3


def test_a_house_of_the_map_is_that_of_its_address() -> None:
    told = json.loads(mapped(Recipe(seed=SEED), f"{SIDE}", f"{MANY}").body)
    assert told["picture"].startswith("data:image/jpeg;base64,")
    for house in told["houses"]:
        plan = make(recipe_at(house["query"])).plan
        x0, y0, x1, y1 = house["rect"]
        assert (plan.plot, plan.gate_side) == ((x1 - x0, y1 - y0), house["gate"])


def test_the_way_of_building_is_one_or_all() -> None:
    def ways(said: str, many: int) -> set[str]:
        told = json.loads(mapped(Recipe(seed=SEED), "320", f"{many}", ways=said).body)
        return {recipe_at(house["query"]).brief.tradition for house in told["houses"]}

    assert ways("farm", 2) == {"farm"}
    assert len(ways("all", 6)) > 1
    for said in ("straw", "./farm", "/etc"):
        with pytest.raises(BriefError, match="ways"):
            mapped(Recipe(seed=SEED), ways=said)


def test_a_moved_plot_moves_and_the_rest_stays_where_it_was() -> None:
    ground, many = site(SEED, (SIDE, SIDE), MANY), 0
    for number in range(1, MANY + 1):
        ways = [(4, 0), (-4, 0), (0, 4), (0, -4)]
        free = [way for way in ways if _lies(ground, number, way)]
        for east, north in free:
            other = moved(ground, number, east, north)
            before, after = ground.plots[number - 1].rect, other.plots[number - 1].rect
            shift = (east, north, east, north)
            assert after == tuple(a + b for a, b in zip(before, shift, strict=True))
            assert [p for p in other.plots if p.number != number] == [
                p for p in ground.plots if p.number != number
            ]
            assert np.count_nonzero(other.surface.use) == np.count_nonzero(ground.surface.use)
        many += len(free)
    assert many


def test_where_plots_are_laid_out_they_may_also_be_moved_along_their_lane() -> None:
    """By four cells, some way: only those between neighbours can not."""
    ways = [(4, 0), (-4, 0), (0, 4), (0, -4)]
    free = [
        any(_lies(ground, plot.number, way) for way in ways)
        for seed in range(41, 45)
        for ground in [site(seed, (SIDE, SIDE), 6)]
        for plot in ground.plots
    ]
    assert 2 * sum(free) > len(free)


def _lies(ground: object, number: int, way: tuple[int, int]) -> bool:
    try:
        moved(ground, number, *way)  # type: ignore[arg-type]
    except InfeasibleError:
        return False
    return True


def test_a_plot_is_not_moved_off_the_map_nor_onto_another() -> None:
    ground = site(SEED, (SIDE, SIDE), MANY)
    with pytest.raises(InfeasibleError, match="edge"):
        moved(ground, 1, SIDE, 0)
    one, two = ground.plots[0].rect, ground.plots[1].rect
    with pytest.raises(InfeasibleError, match="lies there"):
        moved(ground, 1, two[0] - one[0], two[1] - one[1])
    with pytest.raises(InfeasibleError, match="none of number 9"):
        moved(ground, 9, 1, 0)


@pytest.mark.parametrize(
    "words",
    [("x", "3", ""), ("100", "3", ""), ("192", "99", ""), ("192", "3", "1:a:2"), ("192", "3", "1")],
)
def test_what_is_no_village_is_said(words: tuple[str, str, str]) -> None:
    answer = mapped(Recipe(seed=SEED), *words)
    assert answer.status == 400
    assert json.loads(answer.body)["sentence"].startswith("village: ")
