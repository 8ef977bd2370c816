"""Flues: which way they go, and what becomes of their turns."""

from __future__ import annotations

from itertools import pairwise

import pytest

from genhouse.core.box import Rect
from genhouse.generate.draws import Draws
from genhouse.generate.layout import Layout, lay_out
from genhouse.model.brief import Brief, Recipe
from genhouse.model.room import Room
from genhouse.stages.ways.flues import SLOT, Flue, cold, standing, under_floors
from genhouse.stages.ways.hearths import Hearth

BEND = Flue(room=1, path=((0, 0), (1, 0), (2, 0), (2, 1), (2, 2)), mouth=True, side="north")


def layout(seed: int) -> Layout:
    return lay_out(Draws(Recipe(seed=seed, brief=Brief(tradition="hanok", gate="south"))))


def test_it_runs_straight_on_but_for_a_pit_where_it_turns() -> None:
    assert dict(BEND.straight) == {(0, 0): "x", (1, 0): "x", (2, 1): "y"}
    assert BEND.stack == (2, 2)


@pytest.mark.parametrize("seed", [4, 8])
def test_each_goes_cell_by_cell_from_a_fire_to_open_ground(seed: int) -> None:
    found = layout(seed)
    rooms, site = found.rooms, found.site
    seen: set[tuple[int, int]] = set()
    for flue in rooms.flues:
        assert all(abs(a - c) + abs(b - d) == 1 for (a, b), (c, d) in pairwise(flue.path))
        assert not seen & set(flue.path)
        seen |= set(flue.path)
        assert site.land.has(*flue.stack)
        if not flue.mouth and flue.path[0] != rooms.hearth.cell:
            walks = [r for room in rooms.rooms if not room.indoor for r in room.rects]
            assert any(r.has(*flue.path[0]) for r in walks)
    fires = [m for m in under_floors(site, rooms.flues, found.tradition) if m.use == "fire mouth"]
    assert len(fires) == sum(flue.mouth for flue in rooms.flues)


def test_a_pit_warms_no_floor() -> None:
    """Three cells of channel warm a room four cells across, two and the pit in which it turns do not."""
    found = layout(4)
    warm = next(kind for kind, of in found.tradition.kinds if of.floor == "warm")
    room = Room(id=1, kind=warm, level=1, rects=(Rect(0, 0, 4, 6),), floor=3, ceiling=6)
    hearth = Hearth(cell=(-2, 0), facing="west", room=2, behind=1)
    turned = ((-2, 0), (-1, 0), (0, 0), (1, 0), (1, 1), (1, -1))
    straight = tuple((x, 0) for x in range(-2, 4))
    for path, lacking in ((straight, 0), (turned, 1)):
        flue = Flue(room=1, path=path, mouth=False, side="south")
        assert cold([room], [flue], hearth, found.tradition) == lacking


@pytest.mark.parametrize("seed", range(5060, 5072))
def test_nothing_slips_in_between_two_fires_out_of_doors(seed: int) -> None:
    flues = layout(seed).rooms.flues
    mouths = {flue.path[0] for flue in flues if flue.mouth}
    assert mouths | {flue.stack for flue in flues} == standing(flues)
    for x, y in mouths:
        assert mouths.isdisjoint({(x + SLOT, y), (x, y + SLOT)})


def test_a_house_with_a_shaft_through_its_roof_has_none() -> None:
    found = lay_out(Draws(Recipe(seed=4, brief=Brief(storeys=1))))
    assert found.rooms.flues == ()
    assert found.rooms.shaft == found.rooms.hearth.cell
