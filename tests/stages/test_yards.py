"""Yards: what they are for, what grows and stands there keeps clear of the house and of ways, and one
boundary closes them."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from hypothesis import given, reject, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from genhouse.core.axes import Turn
from genhouse.core.box import Rect
from genhouse.core.draw import Draw
from genhouse.core.errors import InfeasibleError
from genhouse.generate.draws import Draws
from genhouse.generate.layout import Layout, lay_out
from genhouse.model.brief import Brief, Recipe
from genhouse.stages._land import way_in
from genhouse.stages._wings import Wing
from genhouse.stages.grounds.bounds import gates
from genhouse.stages.grounds.ground import LEAST, Close, closed, parts, set_back, yards
from genhouse.stages.grounds.places import LIKINGS, _ways
from genhouse.stages.site import DRY, Site
from genhouse.stages.yards import USES, Grounds, enclosed, plan_yards
from genhouse.traditions.shelf import ARRANGEMENTS, YARDS
from tests.houses import TIMBER

Cell = tuple[int, int]
WALKED = ("path", "stepping-stone")


def laid_out(seed: int, name: str, plot: tuple[int, int] = (34, 44)) -> Layout:
    return lay_out(Draws(Recipe(seed=seed, brief=Brief(plot=plot, gate="south", arrangement=name))))


def planned(layout: Layout, seed: int, kind: str = "hedge") -> Grounds:
    return plan_yards(layout.site, layout.rooms, (), layout.tradition, kind, Draw(seed).at("yards"))


def standing(grounds: Grounds) -> set[Cell]:
    """Cells that one cannot walk through."""
    return {(x, y) for x, y, z, *_ in grounds.pieces if z in (0, 1)}


def joined(start: Cell, free: set[Cell]) -> set[Cell]:
    found, edge = {start}, [start]
    while edge:
        x, y = edge.pop()
        for cell in ((x + 1, y), (x - 1, y), (x, y + 1), (x, y - 1)):
            if cell in free and cell not in found:
                found.add(cell)
                edge.append(cell)
    return found


def built(site: Site) -> set[Cell]:
    return {c for rect in site.built for c in rect.cells()}


def test_each_use_that_there_is_has_who_makes_it_and_what_speaks_for_it() -> None:
    assert tuple(sorted(USES)) == tuple(sorted(YARDS)) == tuple(sorted(LIKINGS))


@given(st.integers(0, 2**64 - 1), st.sampled_from(ARRANGEMENTS))
@settings(max_examples=60, deadline=None)
def test_what_grows_in_a_yard_stays_there(seed: int, name: str) -> None:
    try:
        layout = laid_out(seed, name)
    except InfeasibleError:
        reject()
    site = layout.site
    open_ground, grounds = yards(site, layout.rooms.front), planned(layout, seed)
    assert {(x, y) for x, y, *_ in grounds.pieces} <= open_ground
    for rect in (*(wing.rect for wing in site.wings), *site.courts, *site.walls):
        eaves = rect.grown(TIMBER.bays.margin)
        assert not any(eaves.has(x, y) for x, y in open_ground)
    assert not any(way_in(site, layout.rooms.front).has(x, y) for x, y in open_ground)
    assert {(x, y) for x, y, z, *_ in grounds.pieces if z == -1} == open_ground


@given(st.integers(0, 2**64 - 1), st.sampled_from(ARRANGEMENTS))
@settings(max_examples=60, deadline=None)
def test_one_gets_to_every_yard_and_nobody_past_its_boundary(seed: int, name: str) -> None:
    try:
        layout = laid_out(seed, name)
    except InfeasibleError:
        reject()
    site, grounds = layout.site, planned(layout, seed)
    whole = set(site.land.cells())
    fence = {c for wall in grounds.walls for c in wall.cells.cells()}
    leaves = {c for wall in grounds.walls if wall.way for c in wall.way.cells()}
    close = enclosed(site, layout.rooms)
    assert fence == close.bound
    open_ground = whole - built(site)
    free = open_ground - standing(grounds)
    for yard in grounds.yards:
        inside = {c for rect in yard.rects for c in rect.cells()}
        ways = close.inside - yards(site, layout.rooms.front)
        assert any(joined(c, free - fence) & ways for c in inside & free), yard
        beyond = joined(min(inside), open_ground - fence)
        assert not beyond & close.outside
        edge = {
            (x, y) for x, y in whole if x in (0, site.plot[0] - 1) or y in (0, site.plot[1] - 1)
        }
        assert not beyond & edge
        assert {(x + i, y + j) for x, y in beyond for i, j in _ROUND} & leaves, "no gate leads in"


_ROUND = ((1, 0), (-1, 0), (0, 1), (0, -1))


@given(st.integers(0, 2**64 - 1), st.sampled_from(ARRANGEMENTS))
@settings(max_examples=30, deadline=None)
def test_nothing_stands_before_a_door_or_a_gate(seed: int, name: str) -> None:
    try:
        layout = laid_out(seed, name)
    except InfeasibleError:
        reject()
    grounds = planned(layout, seed)
    doors = [e.way for e in layout.rooms.entrances] + [w.way for w in grounds.walls if w.way]
    before = {c for way in doors for c in way.grown(1).cells()}
    gardens = {c for y in grounds.yards if y.use == "garden" for r in y.rects for c in r.cells()}
    assert not before & (standing(grounds) - gardens)


def seen_uses(seeds: range) -> Iterator[tuple[str, str]]:
    """Uses of yards, and the kind of room that each serves."""
    for seed in seeds:
        layout = laid_out(seed, "rambling")
        kinds = {room.id: room.kind for room in layout.rooms.rooms}
        for yard in planned(layout, seed).yards:
            yield yard.use, kinds.get(yard.room, "")


def test_a_yard_serves_a_room_that_asks_for_it() -> None:
    seen = list(seen_uses(range(16)))
    assert len({use for use, _ in seen}) >= 5
    for use, kind in seen:
        assert not kind or use in TIMBER.kind(kind).yards
    assert sum(bool(kind) for _, kind in seen) > len(seen) // 2


@pytest.mark.parametrize("kind", [name for name, _ in TIMBER.bounds])
def test_a_boundary_is_of_one_kind(kind: str) -> None:
    grounds = planned(laid_out(3, "tail"), 3, kind)
    assert {wall.look for wall in grounds.walls} == {kind}
    cells = [c for wall in grounds.walls for c in wall.cells.cells()]
    assert len(cells) == len(set(cells))


def behind(deep: int) -> Site:
    """A ring of four wings, so far from its lane, on a plot that it else fills."""
    y = deep
    wings = (
        Wing(name="south", axis="x", rect=Rect(2, y, 21, y + 5)),
        Wing(name="north", axis="x", rect=Rect(2, y + 13, 21, y + 18)),
        Wing(name="west", axis="y", rect=Rect(2, y + 5, 7, y + 13)),
        Wing(name="east", axis="y", rect=Rect(16, y + 5, 21, y + 13)),
    )
    plot = (23, y + 20)
    court = Rect(7, y + 5, 16, y + 13)
    return Site(plot=plot, turn=Turn(*plot), gate_side="south", wings=wings, courts=(court,))


def test_a_house_that_fills_its_plot_has_no_yards() -> None:
    site, front = behind(DRY), Rect(11, DRY, 12, DRY + 1)
    assert not set_back(site, front)
    assert not yards(site, front)
    assert not closed(site, front).bound


def test_a_house_set_back_has_its_main_gate_before_the_entry() -> None:
    site, front = behind(9), Rect(11, 9, 12, 10)
    assert set_back(site, front)
    close = closed(site, front)
    assert {(x, 0) for x in range(23)} <= close.bound
    (found,) = gates(close, built(site), (), (11, 0))
    way, axis = found
    assert axis == "x"
    assert way == Rect(11, 0, 13, 1)


def test_a_gate_opens_to_ground_that_one_gets_to() -> None:
    """Worked by hand: a visitor comes from the south-west, where fires and chimneys close a corner."""
    close = Close(
        bound=frozenset(Rect(0, 3, 11, 4).cells()),
        inside=frozenset(Rect(0, 4, 11, 8).cells()),
        outside=frozenset(Rect(0, 0, 11, 3).cells()),
    )
    corner = frozenset({*Rect(0, 1, 5, 2).cells(), (5, 2)})
    assert gates(close, (), (), (0, 0)) == [(Rect(1, 3, 2, 4), "x")]
    assert gates(close, (), (), (0, 0), corner) == [(Rect(6, 3, 7, 4), "x")]


def test_ground_is_parted_by_hand() -> None:
    """An L of 10 by 4 and 3 by 5 more: the long part, then the short one."""
    ell = {*Rect(0, 0, 10, 4).cells(), *Rect(0, 4, 3, 9).cells()}
    assert [part[0] for part in parts(ell)] == [Rect(0, 0, 10, 4), Rect(0, 4, 3, 9)]
    narrow = {*Rect(0, 0, 6, 5).cells(), *Rect(6, 0, 8, 2).cells()}
    assert parts(narrow) == ((Rect(0, 0, 6, 5), Rect(6, 0, 8, 2)),)
    assert not parts(Rect(0, 0, 20, LEAST - 1).cells())


def test_long_ground_makes_two_yards() -> None:
    assert [part[0].width for part in parts(set(Rect(0, 0, 20, 6).cells()))] == [10, 10]


def test_a_way_out_without_land_before_it_keeps_out_of_the_boundary() -> None:
    """The porch of a door two cells from the edge of the plot stands where the boundary would."""
    site = replace(behind(DRY), plot=(40, 22))
    door = Rect(20, 12, 21, 13)
    shut = closed(site, Rect(11, 2, 12, 3), (door,))
    assert not {*door.grown(2).cells()} & shut.bound
    north = Rect(18, 19, 19, 20)
    assert {*north.grown(3).cells()} & shut.bound
    open_ = closed(site, Rect(11, 2, 12, 3), (north,))
    assert not {*north.grown(3).cells()} & (open_.bound | open_.inside)


def test_one_comes_onto_a_yard_past_what_stands_beside_the_house() -> None:
    """Onto the middle of the side towards the house, or beside it where a post of a porch stands there."""
    rect = Rect(4, 6, 13, 12)
    close = Close(
        bound=frozenset(), inside=frozenset(Rect(4, 3, 13, 6).cells()), outside=frozenset()
    )
    assert [*_ways(rect, close, frozenset(), frozenset())] == [(8, 6)]
    post, porch = frozenset([(8, 5)]), frozenset([(8, 5), (7, 5)])
    assert [*_ways(rect, close, frozenset(), post)] == [(7, 6)]
    assert [*_ways(rect, close, frozenset(), porch)] == [(9, 6)]
    veranda = frozenset(Rect(4, 5, 13, 6).cells())
    assert [*_ways(rect, close, frozenset(), veranda)] == [(8, 6)]


def test_a_wing_that_stands_alone_is_come_to_through_every_boundary() -> None:
    """Two yards with ground between them to which no lane leads: it takes a gate more."""
    inside = frozenset((x, y) for x in (*range(1, 4), *range(9, 12)) for y in range(1, 6))
    bound = frozenset((x, y) for x in (0, 4, 8, 12) for y in range(7)) | frozenset(
        (x, y) for x in (*range(5), *range(8, 13)) for y in (0, 6)
    )
    between = frozenset((x, y) for x in range(5, 8) for y in range(7))
    close = Close(bound=bound, inside=inside, outside=between | {(1, -1), (2, -1), (3, -1)})
    alone = Rect(10, 6, 11, 7)
    usual = gates(close, (), [alone], (2, -1), (), [])
    found = gates(close, (), [alone], (2, -1), (), [alone])
    assert {way for way, _ in found} > {way for way, _ in usual}
    open_ground = {*close.inside, *close.outside, *(c for way, _ in found for c in way.cells())}
    assert (10, 5) in joined((2, -1), open_ground)
    assert (10, 5) not in joined(
        (2, -1), open_ground - {c for w, _ in found[len(usual) :] for c in w.cells()}
    )
