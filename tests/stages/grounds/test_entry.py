"""The lamp at the entry: one for every house, where nobody walks, and of no room."""

from __future__ import annotations

from collections import Counter

import pytest

from genhouse.core.draw import Draw
from genhouse.generate.draws import Draws
from genhouse.generate.layout import Layout, lay_out
from genhouse.house import design
from genhouse.model.brief import Recipe
from genhouse.stages._land import way_in
from genhouse.stages.grounds.entry import entry_lamps

SEEDS = range(24)
NEAR = 3
"""Cells from a door within which its lamp lights whoever looks for the latch (common practice)."""


def lit(
    layout: Layout, seed: int, taken: frozenset[tuple[int, int]] = frozenset()
) -> set[tuple[int, int, int]]:
    pieces = entry_lamps(layout.site, layout.rooms, taken, Draw(seed))
    return {spot for spot, (use, _) in pieces.items() if use == "garden-lamp"}


@pytest.mark.parametrize("seed", SEEDS)
def test_a_lamp_hangs_near_the_door_and_leaves_the_way_free(seed: int) -> None:
    layout = lay_out(Draws(Recipe(seed=seed)))
    front = layout.rooms.front
    lamps = lit(layout, seed)
    assert 1 <= len(lamps) <= 2
    for x, y, layer in lamps:
        assert layout.site.land.has(x, y)
        assert front.grown(NEAR).has(x, y)
        assert y < front.y0, "it hangs indoors"
        assert layer or not way_in(layout.site, front).has(x, y), "one walks into it"


def test_every_kind_is_drawn_and_what_stands_there_stays() -> None:
    layout = lay_out(Draws(Recipe(seed=3)))
    kinds = Counter(
        (len(lamps), min(layer for *_, layer in lamps))
        for lamps in (lit(layout, word) for word in range(60))
    )
    assert set(kinds) == {(1, 1), (2, 1), (1, 2)}
    full = frozenset(layout.rooms.front.grown(NEAR).cells())
    assert {len(lit(layout, word, full)) for word in range(60)} == {1}
    assert all(layer == 2 for word in range(60) for *_, layer in lit(layout, word, full))


@pytest.mark.parametrize("seed", [1, 2, 7])
def test_it_is_of_no_room_and_beside_none(seed: int) -> None:
    """So that no plan of light and no guide counts it to one."""
    house = design(seed)
    shining = house.plan.palette.made("lumens")
    lamps = [p for p in house.plan.parts if p.role in shining and p.stage == "court"]
    about = [
        house.voxels.room[x - 1 : x + 2, y - 1 : y + 2, z] for p in lamps for x, y, z in [p.box[:3]]
    ]
    assert any(not rooms.any() for rooms in about)
