"""Light has an outside witness: closed forms and rays of its own, written from the file contract alone."""

from __future__ import annotations

import numpy as np
import pytest

from genhouse.house import House, make
from genhouse.inspection import light as inspected
from genhouse.inspection.access import walk
from genhouse.inspection.subcells import subcells
from genhouse.model.brief import Brief, Recipe, RoofWish
from genhouse.model.lighting import dark, lamps_of
from tests.houses import arrays
from tests.outside import cells, light
from tests.outside.walk import reached

Place = tuple[int, int, int]
ROUNDED = 0.0005
"""Lux by which the inspector, who counts whole millilux, may be wrong for each lamp."""
BRIEFS = (
    Brief(),
    Brief(light=30, gallery=True, plot=(27, 34)),
    Brief(garden="grove", storeys=1),
    Brief(roof=RoofWish(form="hip-and-gable"), courts=2),
)


def by_inspector(house: House, *, own: bool) -> dict[Place, float]:
    """Lux at each place, in eighths of a cell, that the inspector counts."""
    voxels = house.voxels
    lamps = lamps_of(voxels)
    _, points, room = inspected.floors(voxels, walk(voxels, subcells(voxels)))
    homes = voxels.room[tuple(lamps.cells.T)]
    if not own:
        homes, room = np.zeros_like(homes), np.zeros_like(room)
    millilux = inspected._sums(dark(voxels), lamps, homes, points, room)
    return {
        (x, y, z): n / 1000 for (x, y, z), n in zip(points.tolist(), millilux.tolist(), strict=True)
    }


def by_witness(house: House, *, own: bool, each: int = 1) -> dict[Place, tuple[float, float]]:
    """What surely arrives at one place of so many, and what arrives past edges that it grazes too."""
    there = cells.House(arrays(house.voxels))
    floor, lamps = light.floor_of(there, reached(there)), light.lamps_of(there)
    some = light.Floor(floor.at[::each], floor.room[::each])
    both = [light.illuminance(there, some, lamps, own=own, sure=sure) for sure in (True, False)]
    places = np.rint(8 * some.at).astype(int).tolist()
    return {(x, y, z): (a, b) for (x, y, z), a, b in zip(places, *both, strict=True)}


def compared(
    ours: dict[Place, float], theirs: dict[Place, tuple[float, float]], slack: float
) -> int:
    """How many places hang on how an edge counts; at no other does the inspector differ."""
    for at, (sure, maybe) in theirs.items():
        assert sure - slack <= ours[at] <= maybe + slack, (at, ours[at], sure, maybe)
    return sum(maybe - sure > slack for sure, maybe in theirs.values())


def test_inspector_and_witness_agree_on_every_floor() -> None:
    """On which places count, and on the lux that the lamps of their own rooms bring: between what is
    sure and what grazes an edge, and to the rounding of each lamp's share where nothing does."""
    grazed = places = 0
    for seed in range(16):
        house = make(Recipe(seed=seed, brief=BRIEFS[seed % len(BRIEFS)]))
        ours, theirs = by_inspector(house, own=True), by_witness(house, own=True)
        assert ours.keys() == theirs.keys()
        grazed += compared(ours, theirs, ROUNDED * len(lamps_of(house.voxels).at))
        places += len(theirs)
    assert places > 3000
    assert grazed < places / 20


@pytest.mark.parametrize("seed", [2, 4])
def test_they_agree_on_light_from_all_lamps_of_the_house(seed: int) -> None:
    """At one place of seven: from lamps of other rooms there are thirty times as many rays."""
    house = make(Recipe(seed=seed))
    ours, theirs = by_inspector(house, own=False), by_witness(house, own=False, each=7)
    assert len(theirs) > 15
    compared(ours, theirs, ROUNDED * len(lamps_of(house.voxels).at))
    here = by_inspector(house, own=True)
    assert any(ours[at] > here[at] for at in theirs), "some light comes from other rooms"
