"""The table of a village: of several traditions it holds what their houses are made of."""

from __future__ import annotations

import numpy as np
import pytest

from genhouse.house import make
from genhouse.model.brief import Brief, Recipe
from genhouse.traditions.shelf import names, tables
from genhouse.village import matter as matters
from genhouse.village.matter import MOST, OWN, matter


def test_every_cell_of_its_houses_is_in_the_table(monkeypatch: pytest.MonkeyPatch) -> None:
    """Also where all that the traditions know would be too much."""
    some = names()[:2]
    houses = [make(Recipe(seed=7, brief=Brief(tradition=name))).voxels for name in some]
    for most in (MOST, len(matter(some).entries) - 1):
        monkeypatch.setattr(matters, "MOST", most)
        table = matter(some, houses)
        assert len(table.entries) <= most
        for cells in houses:
            used = np.unique(cells.material)
            into = table.of_house(cells.about)
            told = [table.entries[n].name for n in into[used]]
            assert told == [cells.about.materials[n].name for n in used]
            assert table.own(OWN[0].name) == 1


def test_what_finds_no_room_is_told_by_what_does_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    """The most of what there is keeps its name; a door stays a door, a lamp as bright."""
    houses = [make(Recipe(seed=7, brief=Brief(tradition=name))).voxels for name in names()[:3]]
    monkeypatch.setattr(matters, "MOST", len(OWN) + 60)
    table = matter(names()[:3], houses)
    assert len(table.entries) == len(OWN) + 60
    assert table.likened
    same = 0
    for cells in houses:
        into = table.of_house(cells.about)
        for n in np.unique(cells.material).tolist():
            was, told = cells.about.materials[n], table.entries[into[n]]
            for name in ("liquid", "passable", "clear", "lumens"):
                assert getattr(was, name) == getattr(told, name)
        own = np.array([m.name for m in cells.about.materials])[cells.material]
        same += int((own == np.array([m.name for m in table.entries])[into][cells.material]).sum())
    assert same > 0.97 * sum(cells.material.size for cells in houses)


def test_all_ways_of_building_together_fit_a_byte() -> None:
    """Each of them in each of its palettes."""
    asked = [
        Recipe(seed=seed, brief=Brief(tradition=name, palette=palette))
        for name in names()
        for seed, palette in enumerate(sorted(tables(name)["palette"]))
    ]
    table = matter(names(), [make(recipe).voxels for recipe in asked])
    assert len(table.entries) == MOST
    assert len({entry.name for entry in table.entries}) > MOST * 9 // 10
