"""Plots that are no rectangle: what is built keeps within them, and one comes in from the lane."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, reject, settings
from hypothesis import strategies as st
from scipy.ndimage import label

from genhouse.core.axes import SIDES, STEP
from genhouse.core.draw import Draw
from genhouse.core.errors import GenhouseError, InfeasibleError
from genhouse.core.region import Cell
from genhouse.house import House, make
from genhouse.inspection import inspect
from genhouse.model.brief import Brief, Recipe
from genhouse.model.shapes import SHAPES, can_be, region, roomy
from genhouse.stages.siting import plan_site
from genhouse.traditions.shelf import check_brief
from tests.houses import TIMBER, cells
from tests.outlines import outlines

ELL = ((0, 0), (34, 0), (34, 16), (20, 16), (20, 38), (0, 38))
seeds = st.integers(0, 2**64 - 1)


def built(seed: int, **brief: object) -> House:
    return make(Recipe(seed=seed, brief=Brief(**brief)))  # type: ignore[arg-type]


@given(st.data(), seeds, st.sampled_from((*SIDES, None)))
@settings(max_examples=60, deadline=None)
def test_wings_courts_and_eaves_lie_on_the_plot(data: st.DataObject, seed: int, gate: str) -> None:
    outline = data.draw(st.sampled_from(tuple(SHAPES)) | outlines())
    brief = Brief(outline=outline, gate=gate)  # type: ignore[arg-type]
    try:
        check_brief(brief)
        site = plan_site(brief, TIMBER, Draw(seed).at("site"))
    except GenhouseError:
        reject()
    assert all(site.land.holds(rect.grown(TIMBER.bays.margin)) for rect in site.built)
    assert site.land.bounds[2:] == site.plot
    if isinstance(outline, tuple):
        assert site.land.turned(site.turn) == brief.land
    assert gate in (None, site.gate_side)


def test_most_ells_have_wings_in_both_arms() -> None:
    """The arms are 20 x 38 and 34 x 16."""
    both = 0
    for seed in range(20):
        site = plan_site(Brief(outline=ELL, storeys=2), TIMBER, Draw(seed).at("site"))
        wings = [site.turn.rect(wing.rect) for wing in site.wings]
        both += any(wing.x1 > 20 for wing in wings) and any(wing.y1 > 16 for wing in wings)
    assert both >= 15


@pytest.mark.parametrize("outline", [ELL, *SHAPES])
@pytest.mark.parametrize("seed", range(2))
def test_nothing_lies_beyond_the_outline_and_the_ground_fills_it(
    seed: int, outline: object
) -> None:
    house = built(seed, outline=outline)
    land = np.zeros(house.plan.plot, dtype=bool)
    land[tuple(np.array(sorted(house.plan.land.cells())).T)] = True
    assert np.array_equal((house.voxels.material > 0).any(axis=2), land)
    assert np.array_equal(house.voxels.material[:, :, 0] > 0, land)


@pytest.mark.parametrize("outline", [ELL, *SHAPES])
def test_a_visitor_stands_at_the_edge(outline: object) -> None:
    plan = built(3, outline=outline).plan
    x, y, _ = plan.gate
    i, j = STEP[plan.gate_side]
    assert plan.land.has(x, y)
    assert not plan.land.has(x + i, y + j)


@pytest.mark.parametrize("outline", [ELL, *SHAPES])
@pytest.mark.parametrize("seed", [4, 5])
def test_a_boundary_of_one_kind_closes_the_yards_and_its_gates_open_them(
    seed: int, outline: object
) -> None:
    """What stands on the ground is read from the parts; one walks in from the edge of the plot."""
    house = built(seed, outline=outline)
    plan = house.plan
    house_itself = (*plan.wings, *(court.grown(1) for court in plan.courts))
    ground = plan.land.cells() - {c for rect in house_itself for c in rect.cells()}
    yards = {c for yard in plan.yards for rect in yard.rects for c in rect.cells()}
    assert yards
    leaves = {c[:2] for c in cells(house, "gate-leaf", stage="court")}
    kinds = [{role for role, _ in (*bound.run, *bound.corner)} for _, bound in TIMBER.bounds]
    fences = [
        leaves | {c[:2] for c in cells(house, "bound-post", *roles, stage="court")}
        for roles in kinds
    ]
    (fence,) = [f for f in fences if not walked(plan.land.edge, ground - f) & yards]
    assert fence <= plan.land.cells()
    assert yards <= walked(plan.land.edge, ground - (fence - leaves))


def walked(start: Collection[Cell], free: Collection[Cell]) -> set[Cell]:
    """Where one comes from some cells, side to side."""
    there = np.zeros((64, 64), dtype=bool)
    there[tuple(np.array(sorted(free)).T)] = True
    parts, _ = label(there)
    reached = {parts[cell] for cell in start} - {0}
    return {cell for cell in free if parts[cell] in reached}


@pytest.mark.parametrize("seed", [2, 5])
def test_an_outline_that_is_a_rectangle_is_a_plot(seed: int) -> None:
    assert (
        built(seed, plot=(25, 31))
        == built(seed, outline=((25, 31), (0, 31), (0, 0), (25, 0)))
        == built(seed, plot=(25, 31), outline=((0, 0), (9, 0), (25, 0), (25, 31), (0, 31)))
    )


@pytest.mark.parametrize("shape", SHAPES)
def test_what_is_drawn_can_be_asked_for(shape: str) -> None:
    drawn = built(4, outline=shape)
    plan = drawn.plan
    assert built(4, outline=plan.outline, gate=plan.gate_side) == drawn


@pytest.mark.parametrize("seed", range(2))
def test_a_turned_plot_has_the_turned_house_and_a_mirrored_one_the_mirrored(seed: int) -> None:
    """From south to west is a quarter turn clockwise; these gates lie alike on their plots."""
    south = built(seed, outline=ELL, gate="south").voxels.stage
    clockwise = tuple((y, 34 - x) for x, y in ELL)
    west = built(seed, outline=clockwise, gate="west").voxels.stage
    assert np.array_equal(np.rot90(south, -1), west)
    mirrored = tuple((34 - x, y) for x, y in ELL)
    assert np.array_equal(
        south[::-1], built(seed, outline=mirrored, gate="south", mirror=True).voxels.stage
    )


@given(st.sampled_from(tuple(SHAPES)), st.integers(17, 45), st.integers(19, 61))
@settings(max_examples=60)
def test_shapes_are_cut_where_there_is_room(name: str, wide: int, deep: int) -> None:
    """Larger plots are cut wherever smaller ones are; each way to cut leaves one piece of ground."""
    some = [region((wide, deep), cut) for cut in SHAPES[name]((wide, deep))]
    assert can_be(name, (wide, deep)) == any(map(roomy, some))
    assert all(land.bounds[2:] == (wide, deep) for land in some)
    if can_be(name, (wide, deep)):
        assert can_be(name, (wide + 1, deep + 1))


def test_a_piece_beyond_the_outline_is_found() -> None:
    house = built(1, outline=ELL)
    material = house.voxels.material.copy()
    form = house.voxels.form.copy()
    material[30, 30, 0], form[30, 30, 0] = material[0, 0, 0], form[0, 0, 0]
    found = inspect(replace(house.voxels, material=material, form=form), outline=ELL).findings
    assert ("plot", ((30, 30, 0),)) in [(f.check, f.where) for f in found]


def test_a_plot_without_room_for_a_shape_is_refused_with_one_that_has() -> None:
    with pytest.raises(InfeasibleError, match="no tee plot of 20 x 24 cells has room") as refused:
        check_brief(Brief(plot=(20, 24), outline="tee"))
    (offer,) = refused.value.offers
    wide, deep = map(int, offer.removeprefix("plot ").split(" x "))
    check_brief(Brief(plot=(wide, deep), outline="tee"))


def test_an_outline_none_of_whose_parts_has_room_for_a_ring_is_refused() -> None:
    """Both arms of it are too narrow for a court between wings."""
    with pytest.raises(InfeasibleError, match="no house has an outline of 6 corners"):
        built(3, tradition="hanok", outline=ELL)
