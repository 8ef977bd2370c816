"""Real houses for the tests of plans, documents and guides, each designed once."""

from __future__ import annotations

from functools import cache

from genhouse.generate.recipe import design_house
from genhouse.model.brief import Brief, Recipe
from genhouse.model.design import Design
from genhouse.model.raster import raster
from genhouse.model.voxels import Voxels

SEEDS = (1, 3, 7)
SMALL, LARGE = (17, 19), (45, 61)


@cache
def designed(seed: int, plot: tuple[int, int] | None = None) -> Design:
    return design_house(Recipe(seed=seed, brief=Brief(plot=plot, storeys=2)))


@cache
def built(seed: int, plot: tuple[int, int] | None = None) -> Voxels:
    return raster(designed(seed, plot))
