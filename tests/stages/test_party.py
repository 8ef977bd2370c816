"""Sides that are shared with a neighbour: nothing of the house passes, opens to or drains over them."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any, get_args

import pytest
from hypothesis import given, reject, settings
from hypothesis import strategies as st

from genhouse.core.axes import SIDES, Side
from genhouse.core.box import Rect
from genhouse.core.draw import Draw
from genhouse.core.errors import BriefError, InfeasibleError
from genhouse.generate.briefs import parse_brief
from genhouse.house import House, make
from genhouse.model.brief import Brief, Recipe, Sides
from genhouse.model.design import Design
from genhouse.model.shapes import SHAPES
from genhouse.stages._drains import drains
from genhouse.stages.site import Site, edge_of
from genhouse.stages.siting import plan_site
from tests.houses import TIMBER, arrays
from tests.outside.checker import check_arrays

parties = st.sets(st.sampled_from(SIDES), min_size=1, max_size=3).map(sorted)
CLAIMED = [name for name, _ in TIMBER.plan.arrangements]
"""The arrangements that a tradition which shares walls has: a brief that asks for another is refused."""
SHARED: tuple[tuple[Side, ...], ...] = (
    *((side,) for side in SIDES),
    ("west", "north"),
    ("east", "west"),
    ("north", "south"),
    ("west", "north", "east"),
)


def sides(names: Any) -> Sides:
    return Sides(**dict.fromkeys(names, "party"))


def planned(seed: int, names: Any, **brief: Any) -> Site:
    """Its site; hypothesis tries another where there is none."""
    asked = Brief(sides=sides(names), **brief)
    try:
        return plan_site(asked, TIMBER, Draw(seed).at("site"))
    except InfeasibleError:
        reject()


@given(st.integers(0, 2**64 - 1), parties, st.sampled_from(CLAIMED))
@settings(max_examples=150)
def test_wings_stand_on_the_edge_or_clear_of_it(seed: int, names: list[Side], name: str) -> None:
    site = planned(seed, names, arrangement=name, plot=(34, 44))
    assert site.gate_side not in names
    assert {site.turn.side(side) for side in site.party} == set(names)
    for wing in site.wings:
        gaps = {side: site.gap(wing.rect, side) for side in SIDES}
        assert all(gaps[s] >= TIMBER.bays.margin for s in SIDES if s not in site.party)
        assert all(gaps[s] == 0 or gaps[s] > TIMBER.bays.margin for s in site.party)


@given(st.integers(0, 2**64 - 1), parties)
@settings(max_examples=100)
def test_a_ring_stands_on_every_edge_that_it_may(seed: int, names: list[Side]) -> None:
    site = planned(seed, names, arrangement="ring")
    assert {side for side in SIDES if not site.gap(site.house, side)} == set(site.party)


@given(st.integers(0, 2**64 - 1), parties, st.integers(1, 3))
@settings(max_examples=100)
def test_water_of_courts_runs_to_open_ground_or_to_the_next_court(
    seed: int, names: list[Side], courts: int
) -> None:
    site = planned(seed, names, courts=courts, plot=(34, 52), arrangement="ring")
    leaving = 0
    for axis, way in drains(site):
        assert all(not edge_of(site, side).meets(way) for side in site.party)
        x0, y0, x1, y1 = way.lie(axis)
        ends = Rect(x0 - 1, y0, x1 + 1, y1).lie(axis)
        leaving += any(not any(r.has(*c) for r in site.built) for c in ends.cells())
    assert leaving, "some court's water leaves the house"


@pytest.fixture(scope="module", params=SHARED, ids="-".join)
def house(request: pytest.FixtureRequest) -> House:
    brief = Brief(sides=sides(request.param))
    return make(Recipe(seed=4 + len(request.param), brief=brief))


def test_both_judges_pass_a_house_between_neighbours(house: House) -> None:
    assert house.voxels.about.party == house.recipe.brief.sides.party
    assert house.inspect().findings == ()
    assert check_arrays(arrays(house.voxels), house.recipe.brief.light) == []


def test_a_wall_on_the_edge_is_a_party_wall_and_no_other_is(house: House) -> None:
    plan = house.plan
    for wall in plan.segments:
        at = on_edges(plan, wall.cells)
        along = [s for s in at if (s in ("west", "east")) == (wall.axis == "y")]
        assert (wall.boundary == "party") == bool(along and wall.boundary != "court")
        assert not along or (wall.opening == "none" and wall.bears)


def test_what_lies_on_the_edge_leans_on_it(house: House) -> None:
    """A wing along the edge is a lean-to, or flat where it is walked on; one that ends there has no hip."""
    for cover in house.plan.covers:
        flanks = ("south", "north") if cover.axis == "x" else ("west", "east")
        if set(on_edges(house.plan, cover.rect)) & set(flanks):
            assert cover.form in ("lean-to", "flat")


def on_edges(plan: Design, rect: Any) -> list[Side]:
    """The party sides on whose edge a rectangle lies."""
    wide, deep = plan.plot
    there = {
        "west": not rect.x0,
        "south": not rect.y0,
        "east": rect.x1 == wide,
        "north": rect.y1 == deep,
    }
    return [side for side in plan.recipe.brief.sides.party if there[side]]


@pytest.mark.parametrize("side", SIDES)
def test_a_gate_is_on_a_side_that_is_left(side: Side) -> None:
    others = [s for s in SIDES if s != side]
    assert planned(3, others).gate_side == side
    with pytest.raises(BriefError, match=rf"^gate: the {side} side is shared with a neighbour"):
        parse_brief({"gate": side, "sides": {side: "party"}})


REFUSED = {
    "^sides: all four are shared": dict.fromkeys(SIDES, "party"),
    r"^sides\.nroth: there is no key 'nroth'; did you mean 'north'": {"nroth": "party"},
    r"^sides\.west: there is no kind of side 'shut'; try party": {"west": "shut"},
    r"^sides\.west: it wants the word party": {"west": 3},
    r"^sides: it wants a table of sides": "west",
}


@pytest.mark.parametrize(("words", "said"), REFUSED.items())
def test_sides_that_make_no_sense_are_refused(words: str, said: object) -> None:
    with pytest.raises(BriefError, match=words):
        parse_brief({"sides": said})


def test_a_neighbour_may_be_on_each_side() -> None:
    assert set(asdict(Sides())) == set(get_args(Side))


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("shared", [("west",), ("north",), ("east", "west")])
def test_a_plot_that_is_no_rectangle_has_neighbours_where_it_reaches_to_them(
    shape: str, shared: tuple[Side, ...]
) -> None:
    """Both judges hold every such edge; past an inner step of the outline eaves keep their margin."""
    house = make(Recipe(seed=7, brief=Brief(outline=shape, sides=sides(shared))))
    assert house.inspect().clean
    assert not check_arrays(arrays(house.voxels))
    wide, deep = house.plan.plot
    edges = {"west": Rect(0, 0, 1, deep), "east": Rect(wide - 1, 0, wide, deep)}
    edges["north"] = Rect(0, deep - 1, wide, deep)
    walls = [s for s in house.plan.segments if s.boundary == "party"]
    assert all(any(edges[side].holds(wall.cells) for side in shared) for wall in walls)
