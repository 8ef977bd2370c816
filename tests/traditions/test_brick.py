"""Another way of building on the same elements: brick that bears, two cells thick, party walls, arcades."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from genhouse.core.box import Box, Rect
from genhouse.generate import recipe as recipes
from genhouse.inspection.report import inspect
from genhouse.model.brief import Brief, Recipe
from genhouse.model.design import Design
from genhouse.model.elements import Element, Slab, Wall
from genhouse.model.part import Part
from genhouse.model.raster import raster
from genhouse.traditions.building import built
from genhouse.traditions.loader import load_tradition
from genhouse.traditions.shelf import lend
from genhouse.traditions.timber.trades import TRADES
from tests.houses import TIMBER
from tests.traditions.brick import BRICK, masonry


def amiss(design: Design) -> set[tuple[str, str]]:
    """What the inspector finds in the cells; there is no list and no record here to hold them to."""
    found = inspect(raster(design)).findings
    return {(f.check, f.sentence) for f in found if f.check not in ("bill", "record")}


@pytest.mark.parametrize("seed", range(12))
def test_houses_of_brick_stand_as_those_of_timber_do(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    timber = amiss(recipes.design_house(Recipe(seed=seed)))
    monkeypatch.setattr(recipes, "trades_of", lambda _: BRICK)
    design = recipes.design_house(Recipe(seed=seed, brief=Brief(tradition=lend(masonry()))))
    assert amiss(design) <= timber
    assert not {"infill", "tie", "sill", "plate", "lattice"} & {p.role for p in design.parts}


THICK = Wall(
    level=1, axis="x", cells=Rect(2, 0, 8, 2), z0=2, z1=8, floor=3, lintel=5,
    boundary="outer", low=0, high=1, bears=True,
)  # fmt: skip
ACROSS = replace(THICK, axis="y", cells=Rect(0, 2, 2, 8))
HUT: tuple[Element, ...] = (
    replace(THICK, opening="entrance", way=Rect(4, 0, 5, 2), floor=2),
    replace(THICK, cells=Rect(2, 8, 8, 10), opening="window", way=Rect(4, 8, 6, 10)),
    replace(ACROSS, boundary="party"),
    replace(
        ACROSS, cells=Rect(8, 2, 10, 8), boundary="court", opening="passage", way=Rect(8, 3, 10, 7)
    ),
    Slab(use="board", box=Box(2, 2, 2, 8, 8, 3)),
    Slab(use="step", box=Box(2, 6, 3, 8, 8, 4)),
)
"""A room within walls two cells thick: a door, a window, no opening to the neighbour, an arcade to the
court; half of its floor lies half a cell higher."""


def cells(parts: tuple[Part, ...]) -> dict[tuple[int, int, int], Part]:
    found = {cell: part for part in parts for cell in part.box.cells()}
    assert len(found) == sum(part.box.volume for part in parts), "two parts claim one cell"
    return found


def test_thickness_party_walls_and_arcades_are_values_of_walls() -> None:
    brick = load_tradition(lend(masonry()))
    found = cells(built(HUT, brick, BRICK))
    for wall in HUT[:4]:
        assert isinstance(wall, Wall)
        assert wall.thick == 2
        way = set(wall.way.cells()) if wall.way else set()
        for x, y in wall.cells.cells():
            for z in range(wall.z0, wall.z1):
                free = (x, y) in way and wall.floor <= z < wall.top
                bare = free and wall.opening == "passage"
                role = found[x, y, z].role if not bare else None
                assert bare == ((x, y, z) not in found)
                assert bare or (role == "hearth") != free
    assert found[5, 7, 3].form == "half course"


def test_timber_takes_the_same_walls() -> None:
    plain = [replace(w, clad="", look="") if isinstance(w, Wall) else w for w in HUT]
    found = cells(built(plain, TIMBER, TRADES))
    party = {(x, y) for x, y, _ in found if (x, y) in set(ACROSS.cells.cells())}
    assert len(party) == ACROSS.cells.area
    assert THICK.ends == ((1, 0), (1, 1), (8, 0), (8, 1))
