"""Service courts: the rearmost of several, with the work of the house about it and its second door."""

from __future__ import annotations

from functools import cache

import pytest

from genhouse.core.errors import BriefError
from genhouse.generate.briefs import parse_brief
from genhouse.house import House, design
from genhouse.outputs.plans.plan import plan
from tests.houses import TIMBER

SEEDS = range(6)
WORK = {name for name, kind in TIMBER.kinds if kind.work}
PLOTS = ((27, 47), (30, 51))


@cache
def served(seed: int) -> House:
    brief = {"service": True, "plot": PLOTS[seed % 2], "gate": "south", "garden": "moss"}
    return design(seed, brief)


each_seed = pytest.mark.parametrize("seed", SEEDS)


@each_seed
def test_it_is_the_court_farthest_from_the_gate(seed: int) -> None:
    courts = [r for r in served(seed).plan.rooms if r.kind in ("court", "service court")]
    assert len(courts) > 1
    assert [r.kind for r in sorted(courts, key=lambda r: r.rect.y0)][-1] == "service court"
    assert [r.kind for r in courts].count("service court") == 1


@each_seed
def test_rooms_for_work_lie_nearer_to_it_than_others(seed: int) -> None:
    rooms = served(seed).plan.rooms
    court = next(r for r in rooms if r.kind == "service court").rect
    before = court.y0 - 1
    lower = [r for r in rooms if r.indoor and r.level == 1]
    behind = {
        k: [r.rect.y1 > before for r in lower if (r.kind in WORK) == k] for k in (True, False)
    }
    share = {k: sum(found) / len(found) for k, found in behind.items()}
    assert share[True] > share[False]
    assert all(r.rect.y1 > before for r in lower if r.kind == "kitchen")


@each_seed
def test_its_second_door_leads_into_its_wing(seed: int) -> None:
    found = served(seed).plan
    court = next(r for r in found.rooms if r.kind == "service court").rect
    doors = [s for s in found.segments if s.opening == "entrance" and s.way is not None]
    assert any(s.way.y1 > court.y0 - 2 for s in doors if s.way is not None)


@each_seed
def test_its_garden_is_a_working_one_and_the_plan_names_it(seed: int) -> None:
    found = served(seed)
    court = next(r for r in found.plan.rooms if r.kind == "service court").rect
    heads = [p for p in found.plan.parts if p.role in ("well-head", "water", "bucket", "path")]
    assert any(court.meet(p.box.rect).area for p in heads)
    assert not any(
        court.meet(p.box.rect).area for p in found.plan.parts if p.role == "moss" and p.box.z0 > 1
    )
    assert "Service court" in plan(found.plan, 1)
    assert found.inspect().findings == ()


def test_one_court_is_not_enough() -> None:
    with pytest.raises(BriefError, match="service: "):
        parse_brief({"service": True, "courts": 1})


def test_without_asking_some_houses_with_several_courts_have_one() -> None:
    kinds = [
        {r.kind for r in design(seed, {"plot": [27, 47], "courts": 2}).plan.rooms}
        for seed in range(12)
    ]
    some = sum("service court" in found for found in kinds)
    assert 1 <= some <= 9
    never = design(2, {"plot": [27, 47], "courts": 2, "service": False})
    assert all(r.kind != "service court" for r in never.plan.rooms)
