"""Galleries: guarded all round, dry, carried by posts, and a way from room to room."""

from __future__ import annotations

from functools import cache

import networkx as nx
import numpy as np
import pytest

from genhouse.core.axes import SIDES, STEP
from genhouse.core.box import Rect
from genhouse.core.draw import Draw
from genhouse.core.errors import InfeasibleError
from genhouse.generate.briefs import parse_brief
from genhouse.house import House, design
from genhouse.model.brief import Brief, Recipe, RoofWish
from genhouse.model.roof import WingName
from genhouse.outputs.document.document import room_graph
from genhouse.sound import sound
from genhouse.stages.galleries import ROOMY, plan_walks
from tests.houses import SUB, TIMBER, cells, fine, plan
from tests.reference import published

LOW, HIGH = TIMBER.storeys
GUARD = published("dwelling")["guard"]
BAYS = published("dwelling")["bays"]
SIDED = [(seed, 1 + seed % 4) for seed in range(8)]


@cache
def galleried(seed: int, sides: int) -> House:
    return design(seed, {"gallery": sides, "closed": 4, "plot": [29, 38], "low": []})


def walks(house: House) -> set[tuple[int, int]]:
    return {c for r in house.plan.rooms if r.kind == "gallery" for q in r.rects for c in q.cells()}


each = pytest.mark.parametrize(("seed", "sides"), SIDED)


@each
def test_it_runs_along_as_many_sides_as_asked(seed: int, sides: int) -> None:
    found = galleried(seed, sides)
    walk = walks(found)
    court = next(c for c in found.plan.courts if any(c.has(*cell) for cell in walk))
    lines = [
        {(x, court.y0) for x in range(court.x0, court.x1)},
        {(x, court.y1 - 1) for x in range(court.x0, court.x1)},
        {(court.x0, y) for y in range(court.y0, court.y1)},
        {(court.x1 - 1, y) for y in range(court.y0, court.y1)},
    ]
    assert sum(line <= walk for line in lines) == sides
    assert len(walk) == sum(r.area for r in found.plan.rooms if r.kind == "gallery")


@each
def test_nobody_falls_off(seed: int, sides: int) -> None:
    """From each cell of a walk, every way out is the walk, a wall, or over a guard; IRC 2018 R312.1.2
    asks 36 in (914 mm) of its height."""
    found = galleried(seed, sides)
    solid, walk = fine(found.voxels), walks(found)
    low = SUB * HIGH.floor
    for x, y in walk:
        for dx, dy in STEP.values():
            if (x + dx, y + dy) in walk:
                continue
            span = [np.s_[SUB * x : SUB * x + SUB], np.s_[SUB * y : SUB * y + SUB]]
            at = 0 if dx else 1
            here, step = (x, y)[at], (dx, dy)[at]
            edge = SUB * here + (SUB if step > 0 else -SUB)
            across = []
            for start in (edge, edge - step * SUB):
                span[at] = np.s_[start : start + SUB]
                across.append(solid[span[0], span[1], low : low + SUB].any(axis=at))
            closed = across[0] | across[1]
            rails = np.flatnonzero(closed.all(axis=0))
            assert rails[0] == 0
            assert 1000 // SUB * (int(rails[-1]) + 1) >= GUARD["height_mm"]


@each
def test_it_is_roofed_and_high_enough(seed: int, sides: int) -> None:
    found = galleried(seed, sides)
    v = found.voxels
    roof = v.stage == v.about.stages.index("roof")
    for x, y in walks(found):
        assert roof[x, y, HIGH.floor :].any()
        assert not v.form[x, y, HIGH.floor + 1]


@each
def test_brackets_hold_it_at_each_post(seed: int, sides: int) -> None:
    found = galleried(seed, sides)
    walk, posts = walks(found), set(cells(found, "post", stage="frame"))
    held = set(cells(found, "bracket"))
    for x, y, z in held:
        assert (x, y) in walk
        assert z == LOW.head - 1
        assert any((x + dx, y + dy, z) in posts for dx, dy in STEP.values())
    for x, y in walk:
        beside = {(x + STEP[s][0], y + STEP[s][1], LOW.head - 1) for s in SIDES}
        assert ((x, y, LOW.head - 1) in held) == bool(beside & posts)


@each
def test_no_boards_of_it_span_further_than_a_bay(seed: int, sides: int) -> None:
    """From bracket to bracket, or to the wall that ends it: one before a single bay may need none."""
    found = galleried(seed, sides)
    held = {c[:2] for c in cells(found, "bracket")}
    for strip in (q for r in found.plan.rooms if r.kind == "gallery" for q in r.rects):
        row = "".join(" -"[cell not in held] for cell in sorted(strip.cells()))
        assert max(map(len, row.split()), default=0) <= BAYS["most"]


def test_most_have_brackets() -> None:
    assert sum(bool(cells(galleried(*one), "bracket")) for one in SIDED) > len(SIDED) // 2


@each
def test_upper_rooms_open_to_it(seed: int, sides: int) -> None:
    plan = galleried(seed, sides).plan
    graph = room_graph(plan)
    assert nx.is_connected(graph)
    for room in plan.rooms:
        if room.kind == "gallery":
            assert all(graph.nodes[n]["level"] == 2 for n in graph[room.id])
            assert len(graph[room.id]) >= 1
            assert {way for n in graph[room.id] for way in graph[room.id][n]["ways"]} == {"screens"}


@each
def test_the_inspector_finds_nothing(seed: int, sides: int) -> None:
    assert galleried(seed, sides).inspect().findings == ()


def test_without_one_nothing_changes_but_by_asking() -> None:
    assert not walks(design(3, {"gallery": False}))
    assert not walks(design(3, {"storeys": 1}))


def upper(house: House, court: Rect) -> bool:
    """Whether a wing of an upper storey stands by a court."""
    return any(c.storeys > 1 and c.rect.adjoins(court) for c in house.plan.covers)


def test_a_minority_has_one_unasked() -> None:
    """Some of those whose court is wide enough, and none of the others."""
    having: dict[bool, list[bool]] = {True: [], False: []}
    for seed in range(40):
        house = design(seed, {"plot": [27, 34]})
        wide = [c for c in house.plan.courts if min(c.width, c.depth) >= ROOMY and upper(house, c)]
        having[bool(wide)].append(bool(walks(house)))
    assert having[False]
    assert not any(having[False])
    assert 0 < sum(having[True]) < len(having[True]) / 2


def test_one_in_four_is_given_one_where_the_court_is_wide_enough() -> None:
    """Of 400 draws within three deviations of the chance that the tradition's plan has."""
    site, (of, among), draws = plan(3, (29, 38)).site, TIMBER.plan.gallery, 400
    given = sum(
        any(walk.roofed for walk in plan_walks(site, None, TIMBER.plan, Draw(n).at("galleries")))
        for n in range(draws)
    )
    share = of / among
    assert (of, among) == (1, 4)
    assert abs(given - share * draws) <= 3 * (share * (1 - share) * draws) ** 0.5


def test_no_court_has_so_many_wings() -> None:
    with pytest.raises(InfeasibleError, match="gallery on 4 sides"):
        design(3, parse_brief({"gallery": 4, "closed": 3, "courts": 1, "plot": [25, 32]}))


@pytest.mark.parametrize("low", [("front", "left"), ("front", "right"), ("front", "left", "right")])
@pytest.mark.parametrize("seed", [3, 7, 12])
def test_nobody_gets_from_a_terrace_onto_the_eaves_beside_it(
    seed: int, low: tuple[WingName, ...]
) -> None:
    """Nor over the bit of court wall between them: no draw of such a house had to be given up for it."""
    wish = RoofWish(form="gable", front="flat")
    found = sound(Recipe(seed=seed, brief=Brief(plot=(28, 34), low=low, roof=wish)))
    assert not any("fall" in fault for fault in found.faults)


@pytest.mark.parametrize("low", ["front", "rear"])
def test_at_the_eaves_of_a_lower_wing_a_rail_bars_its_end(low: WingName) -> None:
    """It ends before them; they and the balustrade never claim one cell."""
    found = 0
    for seed in range(20):
        house = sound(Recipe(seed=seed, brief=Brief(low=(low,), gallery=2, plot=(28, 38))))
        found += any(room.kind == "gallery" for room in house.plan.rooms)
    assert found
