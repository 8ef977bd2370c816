"""Houses of a tradition, of a few seeds, for its tests."""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

from genhouse.generate.taken import recipe_of
from genhouse.model.design import Design
from genhouse.model.voxels import Voxels
from genhouse.sound import sound


@lru_cache(maxsize=32)
def made(tradition: str, seed: int) -> tuple[Design, Voxels]:
    """A sound house, and its cells."""
    found = sound(recipe_of(seed, {"tradition": tradition}, {}))
    return found.plan, found.voxels


class Houses(NamedTuple):
    """Sound houses of a tradition, by seed."""

    tradition: str

    def built(self, seed: int) -> tuple[Design, Voxels]:
        return made(self.tradition, seed)

    def house(self, seed: int) -> Design:
        return self.built(seed)[0]

    def cells(self, seed: int) -> Voxels:
        return self.built(seed)[1]
