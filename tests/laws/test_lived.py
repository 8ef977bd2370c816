"""Any house can be lived in: ways, proportion, daylight, and a place at table for all who sleep there."""

from __future__ import annotations

import pytest

from genhouse.generate.recipe import design_house, design_shell
from genhouse.model.brief import Brief, Recipe, Wish
from genhouse.model.design import Design
from genhouse.model.raster import raster
from genhouse.outputs.figures._fitted import arrangement
from genhouse.outputs.figures._lived import landings, seats, sleepers
from genhouse.outputs.figures._tables import ShellFigures
from genhouse.outputs.figures.figures import shell_figures
from genhouse.traditions.loader import load_tradition
from tests.benchmarks.count_fittings import ASKED

TIMBER = load_tradition("timber")
PLOTS = ((17, 21), (19, 33), (23, 45), (29, 59), (37, 49), (43, 57), (45, 61))
UPPER = tuple(Wish(kind="sleeping", count=n, storey=2) for n in (2, 3, 4))
BRIEFS = (
    *(Brief(plot=plot) for plot in PLOTS),
    *(Brief(plot=(30, 40), rooms=(wish, Wish(kind="bath"))) for wish in UPPER),
    Brief(storeys=1),
    Brief(gallery=False),
    Brief(courts=2, plot=(29, 44)),
)
RECIPES = (
    *(Recipe(seed=seed) for seed in range(20)),
    *(Recipe(seed=40 + n, brief=brief) for n, brief in enumerate(BRIEFS)),
)
ALL = pytest.mark.parametrize("recipe", RECIPES, ids=lambda r: f"{r.seed}-{r.brief.plot}")


def looked_at(recipe: Recipe) -> tuple[Design, ShellFigures]:
    design = design_shell(recipe)
    return design, shell_figures(design, raster(design))


@ALL
def test_nobody_walks_through_a_private_room(recipe: Recipe) -> None:
    design, figures = looked_at(recipe)
    assert figures.lived.strung == figures.lived.corridors == figures.lived.landing == 0
    assert {design.room(n).kind for n in landings(design)} <= {"landing"}


@ALL
def test_rooms_keep_to_their_measure(recipe: Recipe) -> None:
    design, figures = looked_at(recipe)
    kinds = dict(TIMBER.kinds)
    there = [room for room in design.rooms if room.indoor]
    for name, kind in kinds.items():
        asked = sum(wish.count for wish in recipe.brief.rooms if wish.kind == name)
        assert sum(room.kind == name for room in there) <= max(kind.most, asked)
        assert all(room.area <= kind.area[2] for room in there if room.kind == name)
    halls = [room.area for room in there if room.kind == "stairhall"]
    receptions = [room.area for room in there if room.kind == "reception"]
    if halls and receptions:
        assert halls[0] <= max(receptions)
    assert figures.lived.hall_court <= 1


@ALL
def test_every_room_has_a_tenth_of_its_floor_in_glazing(recipe: Recipe) -> None:
    _, figures = looked_at(recipe)
    assert figures.lived.dim == 0


@pytest.mark.parametrize("seed", range(12))
def test_who_sleeps_in_a_house_can_sit_at_its_tables(seed: int) -> None:
    design = design_house(Recipe(seed=seed))
    assert seats(design, TIMBER) >= sleepers(design, TIMBER) > 0


@pytest.mark.parametrize("seed", range(12, 36))
def test_a_room_holds_what_it_is_for(seed: int) -> None:
    """A kitchen cooks, and has water and wood; where one bakes there is an oven; a bath has a tub."""
    design = design_house(Recipe(seed=seed))
    for room in design.rooms:
        for what, words in ASKED.get(room.kind, {}).items():
            if (room.kind, what) in ALWAYS:
                held = arrangement(design, room)
                assert any(word in name for name in held for word in words), (room, what, held)


ALWAYS = {
    ("kitchen", "a hearth or range to cook on"),
    ("kitchen", "water"),
    ("kitchen", "firewood"),
    ("bakehouse", "an oven"),
    ("bath", "a tub"),
    ("weaving", "a loom"),
}


STORE = {"clothes chest", "trunk", "tall cupboard", "low chest", "night chest", "bedding pile"}


@pytest.mark.parametrize("seed", range(30, 42))
def test_one_sees_whose_room_to_sleep_in_it_is(seed: int) -> None:
    """Who lives there keeps things there; for a guest water is set out, and there is nothing to fill."""
    design = design_house(Recipe(seed=seed, brief=Brief(rooms=(Wish(kind="guest"),))))
    found = {
        room.kind: {p.name for p in design.placed if p.room == room.id}
        for room in design.rooms
        if room.kind in ("guest", "sleeping")
    }
    assert "wash bowl" in found["guest"]
    assert not found["guest"] & STORE
    assert found.get("sleeping", STORE) & STORE
    assert "wash bowl" not in found.get("sleeping", ())
