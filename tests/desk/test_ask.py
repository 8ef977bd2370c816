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
from genhouse.model.voxels import Voxels

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


def test_a_roof_answers_as_a_roof_and_a_wall_as_a_wall() -> None:
    """Also where a wall stands below the roof."""
    said: dict[str, list[str]] = {}
    for u in range(150, 900, 30):
        for v in range(150, 900, 30):
            found = told(picked(RECIPE, "outside", f"{u}", f"{v}"))
            said.setdefault(found.get("stage", ""), []).extend(found.get("why", ())[:1])
    assert len(said["roof"]) > 20
    assert all(" wing has a flat roof" in why for why in said["roof"])
    assert any(why.startswith("The bay of wall") for why in said["walls"])


def signs(voxels: Voxels) -> Any:
    """Material and form of each cell, by name, as one array of words."""
    materials = np.array([m.name for m in voxels.about.materials], dtype="<U40")
    forms = np.array([f.name for f in voxels.about.forms], dtype="<U40")
    return np.char.add(materials[voxels.material], forms[voxels.form])


def test_a_wish_moved_a_cell_where_the_house_without_it_has_another() -> None:
    """Of the first house that is another without its roof's wish: cells that differ, and some that do
    not."""
    for seed in range(20):
        recipe = replace(RECIPE, seed=seed)
        here = signs(make(recipe).voxels)
        there = signs(make(replace(recipe, brief=replace(BRIEF, roof=RoofWish()))).voxels)
        low = min(here.shape[2], there.shape[2])
        differ = here[:, :, :low] != there[:, :, :low]
        if differ.sum() > 100:
            break
    outside = ~differ & (make(recipe).voxels.room[:, :, :low] == 0)
    outside[2:-2, 2:-2] = False
    for where, is_moved in ((differ, True), (outside, False)):
        for x, y, z in np.argwhere(where)[5::60][:4].tolist():
            found = told(moved(recipe, f"{x}", f"{y}", f"{z}"))
            assert found["tried"] == found["asked"] == 3
            assert ("roof.form" in {one["field"] for one in found["moved"]}) == is_moved


@pytest.mark.parametrize("words", [("x", "1", "1"), ("1", "", "1"), ("1", "1", "-1")])
def test_what_is_no_place_is_said(words: tuple[str, str, str]) -> None:
    assert asked(RECIPE, *words).status == 400
    assert moved(RECIPE, *words).status == 400
