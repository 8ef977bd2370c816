"""Each wish of a conflict as a house has it that asks for nothing else."""

from __future__ import annotations

import json
from typing import Any

import pytest

from genhouse.desk.alone import alone
from genhouse.generate.taken import recipe_of
from genhouse.house import design


@pytest.mark.parametrize(
    ("brief", "field"),
    [
        ({"plot": (19, 22), "courts": 3}, "courts"),
        ({"plot": (17, 19), "arrangement": "pinwheel"}, "arrangement"),
        ({"plot": (17, 19), "storeys": 3, "courts": 2}, "storeys"),
        ({"plot": (17, 19), "roof": {"form": "two-tier", "dormers": 2}}, "roof.dormers"),
    ],
)
def test_a_wish_is_drawn_as_the_house_lies_that_has_it_alone(
    brief: dict[str, Any], field: str
) -> None:
    said = json.loads(alone(recipe_of(7, brief), f"plot,{field}").body)
    assert [one["field"] for one in said] == [field]
    key, _, word = field.partition(".")
    plan = design(7, {key: {word: brief[key][word]} if word else brief[key]}).plan
    assert said[0]["wings"] == [list(rect) for rect in plan.wings]
    assert said[0]["courts"] == [list(court) for court in plan.courts]


def test_what_is_not_asked_is_not_drawn() -> None:
    made = recipe_of(7, {"plot": (17, 19), "rooms": [{"kind": "study", "count": 9}]})
    assert json.loads(alone(made, "plot,rooms.0.count,courts,nothing").body) == []
