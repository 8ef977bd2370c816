"""Undersides: each part of a roof closed on its own, and the walls below it."""

from __future__ import annotations

from itertools import product
from types import SimpleNamespace

import numpy as np
import pytest

from genhouse.core.box import Rect
from genhouse.model.elements import Wall
from genhouse.stages.roofs.slopes import NONE
from genhouse.stages.roofs.undersides import below, over_walls, underside, walls

SIZE = (8, 6)


def segment(*, level: int = 2, abuts: bool = False) -> Wall:
    return Wall(
        level=level,
        axis="x",
        cells=Rect(2, 3, 5, 4),
        z0=8,
        z1=10,
        floor=8,
        lintel=9,
        boundary="outer",
        low=0,
        high=1,
        rises=True,
        abuts=abuts,
    )


@pytest.mark.parametrize("seed", range(12))
def test_a_column_reaches_below_its_lowest_neighbour_of_the_same_part(seed: int) -> None:
    """Cell by cell, in plain Python."""
    dice = np.random.default_rng(seed)
    wide, deep = 2 * SIZE[0], 2 * SIZE[1]
    top = dice.integers(8, 20, (wide, deep)).astype(np.int16)
    top[dice.random(top.shape) < 0.2] = NONE
    storeys = dice.integers(1, 1 + seed % 3, top.shape, endpoint=True).astype(np.int16)
    inside, verge = dice.random(SIZE) < 0.5, dice.random(SIZE) < 0.3

    def part(x: int, y: int) -> tuple[int, ...]:
        cell = x // 2, y // 2
        return (True,) if inside[cell] else (False, bool(verge[cell]), int(storeys[x, y]))

    got = underside(top, storeys, inside, verge)
    for x, y in product(range(wide), range(deep)):
        around = product(
            range(max(0, x - 1), min(wide, x + 2)), range(max(0, y - 1), min(deep, y + 2))
        )
        near = [int(top[c]) for c in around if top[c] != NONE and part(*c) == part(x, y)]
        assert got[x, y] == (NONE if top[x, y] == NONE else min(near) - 1)


def test_walls_stand_with_the_posts_at_their_ends() -> None:
    assert np.argwhere(walls(SIZE, [segment()])).tolist() == [[x, 3] for x in range(1, 6)]


def test_a_lower_roof_comes_no_lower_than_the_plate_of_a_wall() -> None:
    under = np.full((2 * SIZE[0], 2 * SIZE[1]), 12, dtype=np.int16)
    under[4:6, 6:8] = NONE
    raised = over_walls(under, (segment(abuts=True), segment(level=1)))
    assert np.argwhere(raised != under).tolist() == [
        [x, y] for x in (2, 3, 6, 7, 8, 9, 10, 11) for y in (6, 7)
    ]
    assert set(raised[raised != under].tolist()) == {20}


def test_below_a_raised_tier_its_walls_go_down_to_whole_cells_and_its_own_roof_closes_the_hole() -> (
    None
):
    under = np.full((12, 12), 19, dtype=np.int16)
    under[4:8, 4:8] = NONE
    under[3, 3] = 17
    own = np.full_like(under, NONE)
    own[4:8, 4:8] = 30
    tier = SimpleNamespace(under=own, walls=((1, 1), (4, 1)))
    got = below(under, tier)  # type: ignore[arg-type]
    expected = under.copy()
    expected[4:8, 4:8] = 30
    expected[2:4, 2:4] = 16  # the lowest half cell round it, 17, ends in the cell that begins at 16
    expected[8:10, 2:4] = 18
    assert np.array_equal(got, expected)
