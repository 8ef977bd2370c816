"""Lower wings: roofs that lean on higher walls and let nothing in, terraces reached and guarded."""

from __future__ import annotations

from functools import cache

import networkx as nx
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import ndimage

from genhouse.core.axes import STEP
from genhouse.core.errors import BriefError, InfeasibleError
from genhouse.generate.briefs import parse_brief
from genhouse.generate.recipe import design_house
from genhouse.house import House, design
from genhouse.inspection import inspect, walked
from genhouse.model.brief import Brief, Recipe, RoofWish
from genhouse.model.raster import raster
from genhouse.model.roof import ROOF_FORMS
from genhouse.outputs.document.document import room_graph
from tests.houses import SUB, TIMBER, arrays, cells, fine
from tests.outside.checker import check_arrays
from tests.planted.edit import Edit
from tests.reference import published

LOW, HIGH = TIMBER.storeys
GUARD = published("dwelling")["guard"]
PLOT = [29, 36]
WISHES = (["front"], ["left"], ["right"], ["rear"], ["front", "left"], ["front", "left", "right"])
asked = pytest.mark.parametrize("low", WISHES, ids="-".join)


@cache
def built(seed: int, low: tuple[str, ...], form: str | None = None) -> House:
    """A house with these wings low; ``flat`` puts a terrace on each, other forms go for all wings."""
    roof = dict.fromkeys(low, "flat") if form == "flat" else {"form": form} if form else {}
    return design(
        seed,
        {
            "plot": PLOT,
            "arrangement": "ring",
            "closed": 4,
            "low": list(low),
            "roof": roof,
            "gate": "south",
        },
    )


def houses(low: list[str], form: str | None = None) -> list[House]:
    """Those of four seeds that have room for a stair beside them."""
    found = []
    for seed in range(4):
        try:
            found.append(built(seed, tuple(low), form))
        except InfeasibleError:
            continue
    assert found, "some seed has such a house"
    return found


@asked
def test_nobody_lives_over_a_lower_wing(low: list[str]) -> None:
    for house in houses(low):
        covers = {cover.rect: cover for cover in house.plan.covers}
        for cover in covers.values():
            assert cover.storeys == (1 if cover.wing in low else 2)
            over = [r for r in house.plan.rooms if r.level == 2 and r.indoor]
            inner = cover.rect.grown(-1)
            assert any(r.rect.meet(inner).area for r in over) == (cover.wing not in low)


@asked
def test_its_roof_is_two_layers_lower_and_meets_no_window(low: list[str]) -> None:
    """The plate of a lower wing is the upper tie: its roof begins as much below as the plates differ."""
    for house in houses(low, "hip"):
        bases = {cover.storeys: cover.base for cover in house.plan.covers}
        assert bases[2] - bases[1] >= 2 * (HIGH.head - LOW.head)
        solid = fine(house.voxels)
        leaning = [s for s in house.plan.segments if s.abuts]
        assert leaning
        for s in leaning:
            assert s.opening == "none"
            for x, y in s.cells.cells():
                column = solid[SUB * x : SUB * x + SUB, SUB * y : SUB * y + SUB]
                wall = column[:, :, SUB * HIGH.floor : SUB * (HIGH.head + 1)]
                assert wall.all(), "a wall that a roof leans on is whole"


@pytest.mark.parametrize("form", ["gable", "hip", "hip-and-gable", "inward", "flat"])
@asked
def test_both_judges_find_nothing(low: list[str], form: str) -> None:
    for house in houses(low, form)[:2]:
        assert house.inspect().findings == ()
        assert list(check_arrays(arrays(house.voxels), house.recipe.brief.light)) == []


@pytest.mark.parametrize("form", ["gable", "inward", "flat"])
@asked
def test_all_of_it_drains_and_is_carried(low: list[str], form: str) -> None:
    """Steepest descent meets no pit, terraces counted; each piece of roof hands its load to the ground."""
    for house in houses(low, form)[:2]:
        found = house.figures()
        assert found.water.pits == 0
        assert found.loads.carried == found.loads.pieces
        assert found.loads.longest_span <= TIMBER.roof.beam + 1
        if form == "flat":
            decks = sum(r.area for r in house.plan.rooms if r.kind == "terrace")
            assert sum(found.water.catchment.values()) >= decks


@asked
def test_no_way_round_a_corner_leads_from_the_sky_into_the_void(low: list[str]) -> None:
    """The shell rule at a lower wing: its void's air, flooded over faces, edges and corners."""
    for house in houses(low, "hip")[:2]:
        solid = fine(house.voxels)
        whole = ndimage.generate_binary_structure(3, 3)
        air = np.pad(
            ~solid[:, :, SUB * HIGH.floor :], ((1, 1), (1, 1), (0, 1)), constant_values=True
        )
        flood, _ = ndimage.label(air, whole)
        sky = (flood == flood[0, 0, -1])[1:-1, 1:-1, :-1]
        roof = house.voxels.stage == house.voxels.about.stages.index("roof")
        for cover in (c for c in house.plan.covers if c.storeys == 1):
            for x, y in cover.rect.grown(-1).cells():
                above = np.flatnonzero(roof[x, y, HIGH.floor :])
                assert above.size, "every cell of the wing is roofed"
                column = sky[
                    SUB * x : SUB * x + SUB, SUB * y : SUB * y + SUB, : SUB * int(above[0])
                ]
                assert not column.any()


@asked
def test_a_terrace_is_reached_from_an_upper_room(low: list[str]) -> None:
    for house in houses(low, "flat"):
        graph = room_graph(house.plan)
        assert nx.is_connected(graph)
        decks = [r for r in house.plan.rooms if r.kind == "terrace"]
        assert decks
        assert sum(r.area for r in decks) > 0
        for deck in decks:
            assert any(graph.nodes[n]["level"] == 2 for n in graph[deck.id])


@asked
def test_nobody_falls_off_a_terrace(low: list[str]) -> None:
    """Wherever one gets to from a terrace, what has no floor beyond it has a guard before it; IRC 2018
    R312.1.2 asks 36 in (914 mm) of its height."""
    for house in houses(low, "flat"):
        solid, bottom = fine(house.voxels), SUB * HIGH.floor
        rooms = [r for r in house.plan.rooms if r.level == 2]
        walk = {c for r in rooms if not r.indoor for q in r.rects for c in q.cells()}
        indoors = {c for r in rooms if r.indoor for q in r.rects for c in q.cells()}
        edge, drops = sorted(walk), 0
        while edge:
            x, y = edge.pop()
            for dx, dy in STEP.values():
                beyond = (x + dx, y + dy)
                at = 0 if dx else 1
                high = 1000 // SUB * _guarded(solid, (x, y), (dx, dy)[at], at, bottom)
                i, j = SUB * beyond[0], SUB * beyond[1]
                if solid[i : i + SUB, j : j + SUB, bottom - 1].mean() < 0.5:
                    drops += 1
                    assert high >= GUARD["height_mm"]
                elif beyond not in walk | indoors and high < GUARD["height_mm"]:
                    walk.add(beyond)
                    edge.append(beyond)
        assert drops


def _guarded(solid: np.ndarray, cell: tuple[int, int], step: int, at: int, low: int) -> int:
    """Quarters of a cell to the top of what bars an edge of a cell all along; it begins at the floor."""
    span = [np.s_[SUB * cell[0] : SUB * cell[0] + SUB], np.s_[SUB * cell[1] : SUB * cell[1] + SUB]]
    edge = SUB * cell[at] + (SUB if step > 0 else -SUB)
    closed = np.zeros(SUB, dtype=bool)[:, None] | np.zeros((SUB, SUB), dtype=bool)
    for start in (edge, edge - step * SUB):
        span[at] = np.s_[start : start + SUB]
        closed = closed | solid[span[0], span[1], low : low + SUB].any(axis=at)
    rows = np.flatnonzero(closed.all(axis=0))
    return int(rows[-1]) + 1 if rows.size and rows[0] == 0 else 0


def test_nobody_steps_from_a_terrace_onto_a_pitched_roof() -> None:
    """Where a terrace ends under the eaves of a lower wing a rail stands in the way, in the first draw."""
    brief = Brief(low=("front", "right"), roof=RoofWish(right="flat"))
    for seed in (1, 2, 444):
        voxels = raster(design_house(Recipe(seed=seed, brief=brief)))
        roof = voxels.stage == voxels.about.stages.index("roof")
        on = roof.copy()
        on[:, :, 1:] |= roof[:, :, :-1]
        assert any(room.kind == "terrace" for room in voxels.about.rooms)
        assert not (walked(voxels) & on & (voxels.room == 0))[:, :, HIGH.floor :].any()


def test_the_stack_through_a_terrace_is_solid_and_higher_than_heads() -> None:
    seen = 0
    for seed in range(12):
        try:
            house = built(seed, ("front",), "flat")
        except InfeasibleError:
            continue
        decks = {
            c for r in house.plan.rooms if r.kind == "terrace" for q in r.rects for c in q.cells()
        }
        shaft = [p for p in house.plan.parts if p.role == "flue" and p.box[:2] in decks]
        if shaft:
            seen += 1
            x, y = shaft[0].box[:2]
            column = fine(house.voxels)[SUB * x : SUB * x + SUB, SUB * y : SUB * y + SUB]
            assert column[:, :, SUB * LOW.head : SUB * (HIGH.floor + 2)].all()
            assert max(p.box.z1 for p in shaft) >= HIGH.floor + 3
    assert seen


@pytest.mark.parametrize(
    ("fault", "stage", "role"),
    [("a piece of the lower roof", "roof", "tile"), ("the wall it leans on", "walls", "infill")],
)
def test_the_inspector_finds_a_hole_at_a_lower_wing(fault: str, stage: str, role: str) -> None:
    house = houses(["left"], "hip")[0]
    edit = Edit(house)
    low = next(c.rect for c in house.plan.covers if c.storeys == 1)
    walls = {c for s in house.plan.segments if s.abuts for c in s.cells.cells()}
    wanted = walls if role == "infill" else set(low.grown(-2).cells())
    (x, y) = sorted(c[:2] for c in cells(house, role, stage=stage) if c[:2] in wanted)[0]
    edit.clear(
        [c for c in cells(house, role, stage=stage) if c[:2] == (x, y) and c[2] >= HIGH.floor]
    )
    found = inspect(edit.voxels(), rows=edit.list()).findings
    assert "weather" in {f.check for f in found}, fault


@settings(max_examples=12, deadline=None)
@given(
    seed=st.integers(0, 2**64 - 1),
    width=st.integers(23, 45),
    depth=st.integers(26, 61),
    low=st.sampled_from(WISHES),
    form=st.sampled_from([None, "inward", *(f for f in ROOF_FORMS if f != "two-tier")]),
)
def test_any_house_with_lower_wings_is_sound(
    seed: int, width: int, depth: int, low: list[str], form: str | None
) -> None:
    roof = {"form": form} if form else {}
    try:
        house = design(seed, {"plot": [width, depth], "low": low, "roof": roof})
    except InfeasibleError:
        return
    assert house.inspect().findings == ()


def test_half_of_the_houses_have_one_unasked() -> None:
    """Three in five of those of two storeys, and where a court would be a well."""
    some = sum(
        len({c.storeys for c in design(seed, {"plot": [27, 34]}).plan.covers}) > 1
        for seed in range(40)
    )
    assert 12 <= some <= 30


def test_without_one_every_wing_has_the_storeys_asked_for() -> None:
    for storeys in (1, 2):
        covers = design(
            5,
            {"storeys": storeys, "arrangement": "ring", **({"low": []} if storeys == 2 else {})},
        ).plan.covers
        assert {c.storeys for c in covers} == {storeys}


@pytest.mark.parametrize(
    ("brief", "said"),
    [
        ({"low": ["attic"]}, r"low\[0\]: there is no wing 'attic'"),
        ({"low": ["front"], "storeys": 1}, "low: with storeys = 1 every wing is low"),
        ({"low": ["front", "front"]}, "low: a wing stands twice"),
        ({"low": ["front", "cross", "rear", "left", "right"]}, "low: one wing has to stay"),
    ],
)
def test_a_brief_that_makes_no_sense_is_told_so(brief: dict[str, object], said: str) -> None:
    with pytest.raises(BriefError, match=said):
        parse_brief(brief)


def test_upper_rooms_that_would_not_hang_together_are_refused() -> None:
    with pytest.raises(InfeasibleError, match="one storey in the left and right wing"):
        design(3, parse_brief({"low": ["left", "right"], "closed": 4, "plot": [29, 36]}))
