"""Asking a house: what a cell is, and which wish moved it, against houses made without that wish."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from genhouse.desk.ask import asked, moved, picked
from genhouse.house import make
from genhouse.model.brief import Brief, Recipe, RoofWish, Wish

BRIEF = Brief(
    plot=(25, 31), storeys=1, roof=RoofWish(form="flat"), rooms=(Wish(kind="study", count=2),)
)
RECIPE = Recipe(seed=6, brief=BRIEF)


def told(answer: Any) -> Any:
    return json.loads(answer.body)


def test_each_cell_of_a_plan_is_what_stands_there() -> None:
    house = make(RECIPE)
    v = house.voxels
    for x in range(0, 25, 3):
        for y in range(0, 31, 3):
            found = told(asked(RECIPE, f"{x}", f"{y}", "1"))
            cell = tuple(found["cell"])
            assert cell[:2] == (x, y)
            assert found["what"].startswith(v.about.materials[v.material[cell]].name)
            assert found["stage"] == v.about.stages[v.stage[cell]]
            room = next((r for r in house.plan.rooms if r.level == 1 and r.has(x, y)), None)
            assert (f"(room {room.id})" in found["room"]) if room else found["room"] is None


def test_beyond_the_plot_is_bare_paper() -> None:
    assert told(asked(RECIPE, "999", "0", "1"))["what"] == "bare paper"
    assert told(picked(RECIPE, "outside", "1", "1"))["what"] == "bare paper"


def test_a_wish_moved_a_cell_where_the_house_without_it_has_another() -> None:
    wishes = {
        "storeys": replace(BRIEF, storeys=None),
        "roof.form": replace(BRIEF, roof=RoofWish()),
        "rooms.0.count": replace(BRIEF, rooms=()),
    }
    here = make(RECIPE).voxels
    places = np.argwhere(here.set_by("roof"))[::400].tolist()
    found_any = set()
    for x, y, z in places:
        told_ = told(moved(RECIPE, f"{x}", f"{y}", f"{z}"))
        assert told_["tried"] == 3
        for field, brief in wishes.items():
            other = make(replace(RECIPE, brief=brief)).voxels
            same = other.size[2] > z and all(
                table(here)[number(here)[x, y, z]] == table(other)[number(other)[x, y, z]]
                for table, number in (
                    (lambda v: [m.name for m in v.about.materials], lambda v: v.material),
                    (lambda v: [f.name for f in v.about.forms], lambda v: v.form),
                )
            )
            if not same:
                assert field in {one["field"] for one in told_["moved"]}
                found_any.add(field)
    assert "roof.form" in found_any


@pytest.mark.parametrize("words", [("x", "1", "1"), ("1", "", "1"), ("1", "1", "-1")])
def test_what_is_no_place_is_said(words: tuple[str, str, str]) -> None:
    assert asked(RECIPE, *words).status == 400
    assert moved(RECIPE, *words).status == 400
