"""The programme: places for rooms, the kinds asked for, and what a client's wishes come to."""

from __future__ import annotations

import pytest

from genhouse.core.box import Rect
from genhouse.core.draw import Draw
from genhouse.generate.draws import Draws
from genhouse.generate.layout import lay_out
from genhouse.model.brief import Brief, Recipe, Wish
from genhouse.stages.bays import plan_bays
from genhouse.stages.seats.places import places
from genhouse.stages.seats.programme import puzzle, touch
from genhouse.stages.seats.search import seat
from genhouse.stages.seats.seating import judge
from genhouse.stages.siting import plan_site
from genhouse.traditions.loader import load_tradition

TIMBER = load_tradition("timber")


@pytest.mark.parametrize("seed", range(6))
def test_places_cover_each_bay_and_overlap_just_where_their_atoms_do(seed: int) -> None:
    site = plan_site(Brief(), TIMBER, Draw(seed).at("site"))
    bays = plan_bays(site, TIMBER, Draw(seed).at("bays"))
    found = places(site, bays, frozenset(), bays.units[0].rect, 1)
    for unit in bays.units:
        assert any(unit.rect.meet(p.rect).area == unit.rect.area for p in found)
    for a in found:
        for b in found:
            assert bool(a.atoms & b.atoms) == (a.rect.meet(b.rect).area > 0)


def test_rooms_touch_where_one_wall_line_stands_between_them() -> None:
    room = Rect(3, 3, 8, 8)
    assert touch(room, Rect(9, 3, 12, 8))
    assert touch(room, Rect(5, 9, 12, 12))
    assert not touch(room, Rect(9, 9, 12, 12)), "only a corner"
    assert not touch(room, Rect(10, 3, 12, 8)), "two cells between"


def test_a_wish_is_an_exact_count_and_lifts_what_the_house_usually_needs() -> None:
    site = plan_site(Brief(plot=(30, 40), arrangement="ring"), TIMBER, Draw(3).at("site"))
    bays = plan_bays(site, TIMBER, Draw(3).at("bays"))
    floor = places(site, bays, frozenset(), bays.units[0].rect, 1)
    wishes = (Wish(kind="study", count=2, area=(9, 12)), Wish(kind="bath", away=("reception",)))
    task = puzzle(floor, (), TIMBER, wishes, 1, Draw(3))
    kinds = {ask.kind: ask for ask in task.asks}
    assert (kinds["study"].least, kinds["study"].most) == (2, 2)
    assert kinds["kitchen"].least == 1, "the hearth has to stand somewhere"
    assert kinds["dining"].least == 0
    assert kinds["bath"].away
    seating, verdict = seat(task, Draw(3))
    assert verdict == judge(task, seating)
    assert verdict.faults == 0


@pytest.mark.parametrize("seed", range(4))
def test_wishes_that_are_met_hold_in_the_rooms(seed: int) -> None:
    wishes = (
        Wish(kind="sleeping", count=3, area=(9, 30)),
        Wish(kind="kitchen", beside=("dining",)),
        Wish(kind="dining", court=True),
        Wish(kind="bath", away=("reception",)),
        Wish(kind="library", storey=1),
    )
    brief = Brief(plot=(30, 40), rooms=wishes)
    rooms = lay_out(Draws(Recipe(seed=seed, brief=brief))).rooms
    there = [r for r in rooms.rooms if r.indoor]
    assert sum(r.kind == "sleeping" for r in there) == 3
    assert all(9 <= r.area <= 30 for r in there if r.kind == "sleeping")
    (kitchen,) = (r for r in there if r.kind == "kitchen")
    assert any(touch(kitchen.rect, r.rect) for r in there if r.kind == "dining" and r.level == 1)
    (library,) = (r for r in there if r.kind == "library")
    assert library.level == 1
    for bath in (r for r in there if r.kind == "bath"):
        assert not any(touch(bath.rect, r.rect) for r in there if r.kind == "reception")
