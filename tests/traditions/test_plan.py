"""What a tradition's plan says is what its houses are like, and what is amiss in one is told by its key."""

from __future__ import annotations

import copy
from typing import Any

import pytest

from genhouse.core.errors import TraditionError
from genhouse.generate.draws import Draws
from genhouse.generate.layout import Layout, lay_out
from genhouse.model.brief import Brief, Recipe
from genhouse.stages.court import gardens
from genhouse.traditions.loader import load_tradition, parse_tradition
from genhouse.traditions.shelf import lend, tables

SEEDS = range(12)


def planned(**keys: Any) -> dict[str, Any]:
    """Tables with other keys in their plan."""
    data: dict[str, Any] = copy.deepcopy({**tables("timber")})
    data["plan"] |= keys
    return data


def layouts(**keys: Any) -> list[Layout]:
    name = lend(planned(**keys))
    return [lay_out(Draws(Recipe(seed=seed, brief=Brief(tradition=name)))) for seed in SEEDS]


def test_houses_have_the_storeys_the_courts_and_the_wings_that_are_drawn() -> None:
    for layout in layouts(
        storeys=[1], courts=[0, 1], front=[1, 0], sides=[1, 0], gates={"south": 1}, depth=[150, 200]
    ):
        assert len(layout.tradition.storeys) == 1
        assert len(layout.site.courts) >= 2
        assert {"front", "rear", "left", "right"} <= {w.name for w in layout.site.wings}
        assert layout.site.gate_side == "south"


def test_two_wings_that_meet_are_a_plan_too() -> None:
    for layout in layouts(
        storeys=[1], courts=[1], front=[0, 1], sides=[0, 1], arrangements={"ring": 1}
    ):
        assert sorted(w.name for w in layout.site.wings if w.name != "rear") in (
            ["left"],
            ["right"],
        )


def test_a_lower_wing_a_terrace_and_a_service_court_come_as_often_as_said() -> None:
    deep: dict[str, Any] = {"courts": [0, 1, 1], "depth": [200, 200], "gates": {"south": 1}}
    low = layouts(**deep, storeys=[0, 1], lower=[1, 1], terrace=[1, 1], service=[1, 1])
    assert sum(any(w.terrace for w in one.site.wings) for one in low) > len(low) // 2
    assert all(one.site.service for one in low)
    high = layouts(
        storeys=[0, 1], lower=[0, 1], gallery=[0, 1], arrangements={"ring": 1}, service=[0, 1]
    )
    assert not any(one.site.service for one in high)
    assert not any(room.kind == "gallery" for one in high for room in one.rooms.rooms)


def test_gardens_are_those_that_have_room_or_the_smallest() -> None:
    rule = load_tradition("timber").plan
    assert set(gardens(rule, 5)) == {"pond", "gravel", "moss", "grove", "well", "tree"}
    assert gardens(rule, 2) == {"moss": 1, "gravel": 1}


@pytest.mark.parametrize(
    ("keys", "said"),
    [
        ({"width": [30, 20]}, r"plan\.width: \[30, 20\] does not go from .* 17 to 45"),
        ({"depth": [60, 90]}, r"plan\.depth: 60 in a hundred of 20 is less than 19"),
        ({"storeys": [0]}, r"plan\.storeys: nothing of it is ever drawn"),
        ({"storeys": [1, 1, 1, 1]}, r"plan\.storeys"),
        ({"arrangements": {"rings": 1}}, r"plan\.arrangements: .*'rings'; did you mean 'ring'"),
        ({"gardens": {}}, r"plan\.gardens"),
        ({"working": "wells"}, r"plan\.working: .*did you mean 'well'"),
        ({"outlines": ["oval"]}, r"plan\.outlines: .*'oval'"),
        ({"yards": ["garden"]}, r"plan\.yards: what is too small .* is green"),
        ({"gates": {"up": 1}}, r"plan\.gates"),
        ({"gallery": [2, 1]}, r"plan\.gallery: 2 of 1 is more than always"),
    ],
)
def test_what_is_amiss_is_told_by_its_key(keys: dict[str, Any], said: str) -> None:
    with pytest.raises(TraditionError, match=said):
        parse_tradition("trial", planned(**keys))
