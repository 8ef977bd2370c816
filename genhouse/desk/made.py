"""What a bench keeps of the last houses, each thing by its recipe: no stage is done again in vain.

A shell whose inputs did not change is kept where it is made (``generate.recipe``), and so are seatings.
"""

from __future__ import annotations

from functools import lru_cache
from typing import TypeVar

import numpy as np
from msgspec import Struct

from genhouse.core.kept import fixed
from genhouse.generate.recipe import design_shell
from genhouse.house import House, make
from genhouse.many.distinct import Features, features
from genhouse.model.brief import Recipe
from genhouse.model.raster import raster
from genhouse.outputs.figures._tables import Figures
from genhouse.outputs.pictures.picture import Scene, scene
from genhouse.outputs.plans.light_field import RoomLight
from genhouse.outputs.steps.steps import Steps, building_steps

T = TypeVar("T", bound=Struct)
FEW = 6
"""Houses of which a bench keeps what it made."""


@lru_cache(maxsize=2 * FEW)
def house_of(recipe: Recipe) -> House:
    """Raises as ``make`` does."""
    return make(recipe)


@lru_cache(maxsize=FEW)
def scene_of(recipe: Recipe) -> Scene:
    house = house_of(recipe)
    return _shut(scene(house.voxels, house.finishes))


@lru_cache(maxsize=2)
def sketch_of(recipe: Recipe) -> Scene:
    """The shell alone, as it is first drawn: not yet inspected.  Raises as ``design_shell`` does."""
    plan = design_shell(recipe)
    return _shut(scene(raster(plan), {m.name: m.finish for m in plan.palette.materials}))


@lru_cache(maxsize=2 * FEW)
def figures_of(recipe: Recipe) -> Figures:
    return house_of(recipe).figures()


@lru_cache(maxsize=2 * FEW)
def features_of(recipe: Recipe) -> Features:
    house = house_of(recipe)
    return features(house.plan, house.voxels, figures_of(recipe))


@lru_cache(maxsize=FEW)
def light_of(recipe: Recipe) -> tuple[RoomLight, ...]:
    return tuple(map(_shut, house_of(recipe).light()))


@lru_cache(maxsize=FEW)
def steps_of(recipe: Recipe) -> Steps:
    house = house_of(recipe)
    return building_steps(house.plan, house.voxels)


@lru_cache(maxsize=1)
def files_of(recipe: Recipe, names: str) -> dict[str, bytes]:
    """The files of its folder.  names: a table of the builder's own, or nothing."""
    from genhouse.outputs.names import names_in
    from genhouse.traditions.loader import load_tradition

    house = house_of(recipe)
    known = [name for name, _ in load_tradition(recipe.brief.tradition).materials]
    own = names_in(names, known, "names") if names else None
    return house.files(names=own)


def _shut(value: T) -> T:
    """The same, its arrays read-only: it is kept."""
    for name in value.__struct_fields__:
        if isinstance(array := getattr(value, name), np.ndarray):
            fixed(array)
    return value
