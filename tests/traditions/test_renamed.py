"""Names are a tradition's own: where all of a table have others, houses are as sound."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pytest

from genhouse.house import make
from genhouse.model.brief import Brief, Recipe, Wish
from genhouse.sound import sound
from genhouse.traditions.shelf import lend
from tests.houses import arrays
from tests.outside.checker import check_arrays
from tests.traditions.renaming import backwards


@pytest.mark.parametrize("table", ["kind", "fitting", "palette", "material"])
def test_other_names_build_clean_houses(table: str) -> None:
    data = backwards(table)
    kitchen, dining = (name[::-1] if table == "kind" else name for name in ("kitchen", "dining"))
    name = lend(data)
    whole = Brief(tradition=name)
    few = Brief(tradition=name, storeys=1, people=2, trade="baker")
    asked = Brief(tradition=name, rooms=(Wish(kind=kitchen, beside=(dining,)),), service=True)
    for seed, brief in enumerate((whole, whole, whole, few, asked)):
        house = sound(Recipe(seed=seed, brief=brief))
        assert not house.faults or brief.people
        assert check_arrays(arrays(house.voxels), brief.light) == []
        assert {room.kind for room in house.plan.rooms if room.indoor} <= set(data["kind"])


ROLES = lend(backwards("role"))
BRIEFS: dict[str, tuple[int, Brief]] = {
    "plain": (7, Brief()),
    "one storey, a well": (3, Brief(storeys=1, garden="well")),
    "three storeys, a pond": (4, Brief(storeys=3, garden="pond")),
    "two courts, beds about a fountain": (
        19,
        Brief(courts=2, service=True, plot=(40, 60), garden="quartered"),
    ),
    "a forecourt, raked gravel": (6, Brief(arrangement="forecourt", garden="gravel")),
    "a side yard, a grove": (10, Brief(arrangement="side-yard", garden="grove")),
}


@pytest.mark.parametrize("name", BRIEFS)
def test_with_other_roles_a_house_is_the_same_to_the_cell_and_is_drawn_and_told_alike(
    name: str,
) -> None:
    seed, brief = BRIEFS[name]
    one = make(Recipe(seed=seed, brief=brief))
    other = make(Recipe(seed=seed, brief=replace(brief, tradition=ROLES)))
    assert {p.role for p in one.plan.parts}.isdisjoint(p.role for p in other.plan.parts)
    for key in ("material", "form", "stage", "room"):
        assert np.array_equal(getattr(one.voxels, key), getattr(other.voxels, key))
    assert other.inspect().findings == ()
    files, others = one.files(), other.files()
    assert files.keys() == others.keys()
    for file in files.keys() - OF_ROLES:
        drawn = file.endswith((".svg", ".html"))
        assert (tags if drawn else bytes)(files[file]) == (tags if drawn else bytes)(others[file])


OF_ROLES = {"house.json", "members.csv"}
"""Files in which roles stand by name."""


def tags(page: bytes) -> list[bytes]:
    """What is drawn and said on a page; pieces that do not meet may be drawn in another order."""
    return sorted(re.findall(rb"<[^>]*>|[^<>]+", page))
