"""Houses of three and four storeys: all that stands in them is made by the same trades, and is sound."""

from __future__ import annotations

import pytest

from genhouse.core.draw import Draw
from genhouse.generate import recipe as recipes
from genhouse.generate.layout import Layout
from genhouse.inspection.report import inspect
from genhouse.model.brief import Recipe, RoofWish
from genhouse.model.raster import raster
from genhouse.stages.bays import plan_bays
from genhouse.stages.roof import plan_roof
from genhouse.stages.rooms import plan_rooms
from tests.houses import TIMBER
from tests.stages.seats.test_storeys import ring


def tall(seed: int, storeys: int) -> Layout:
    """A ring of wings of so many storeys."""
    site, tradition, draw = ring(seed, storeys), TIMBER.with_storeys(storeys), Draw(seed)
    bays = plan_bays(site, tradition, draw.at("bays"))
    rooms = plan_rooms(site, bays, tradition, (), draw.at("rooms"))
    roof = plan_roof(site, bays, rooms, tradition, RoofWish(), draw.at("roof"))
    return Layout(tradition=tradition, site=site, bays=bays, rooms=rooms, roof=roof)


@pytest.mark.parametrize("storeys", [3, 4])
@pytest.mark.parametrize("seed", range(6))
def test_a_house_of_many_storeys_is_sound(
    seed: int, storeys: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(recipes, "lay_out", lambda _: tall(seed, storeys))
    monkeypatch.setattr(recipes, "_closed", recipes._closed.__wrapped__)  # kept by recipe
    design = recipes.design_house(Recipe(seed=seed))
    assert {room.level for room in design.rooms if room.indoor} == set(range(1, storeys + 1))
    found = inspect(raster(design)).findings
    assert [f for f in found if f.check not in ("bill", "record")] == []
