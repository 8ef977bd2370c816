"""Names are a tradition's own: where all of a table have others, houses are as sound."""

from __future__ import annotations

import pytest

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
