"""Farms of a few seeds for the tests."""

from __future__ import annotations

from functools import lru_cache

from genhouse.generate.taken import recipe_of
from genhouse.model.design import Design
from genhouse.model.voxels import Voxels
from genhouse.sound import sound


@lru_cache(maxsize=32)
def built(seed: int) -> tuple[Design, Voxels]:
    made = sound(recipe_of(seed, {"tradition": "farm"}, {}))
    return made.plan, made.voxels


def house(seed: int) -> Design:
    return built(seed)[0]


def cells(seed: int) -> Voxels:
    return built(seed)[1]
