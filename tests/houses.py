"""Houses for the tests: designed once each, with what the stages planned on the way."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Callable
from contextlib import ExitStack
from dataclasses import dataclass
from functools import cache
from types import ModuleType
from typing import Any
from unittest.mock import patch

import numpy as np
import numpy.typing as npt

from genhouse.generate import recipe as recipes
from genhouse.house import House, make
from genhouse.model.brief import Brief, Recipe
from genhouse.model.voxels import Voxels
from genhouse.outputs.arrays import about_json
from genhouse.stages.bays import Bays
from genhouse.stages.court import Court
from genhouse.stages.roof import Roof
from genhouse.stages.rooms import Rooms
from genhouse.stages.site import Site
from genhouse.traditions.loader import load_tradition

Array = npt.NDArray[Any]
SUB = 4
TIMBER = load_tradition("timber")
SEEDS = range(8)
"""Seeds whose houses most examples look at."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """What the stages plan of one house, in the frame whose gate side is the south."""

    house: House
    site: Site
    bays: Bays
    rooms: Rooms
    roof: Roof
    court: tuple[Court, ...]
    all: dict[str, Any]


@cache
def plan(seed: int, plot: tuple[int, int] | None = None) -> Plan:
    """Design a plain ring of two storeys, its gate to the south; keep what its stages planned."""
    seen: dict[str, Any] = {}
    recipes._closed.cache_clear()  # each of its stages is to be seen at work
    with ExitStack() as watch:
        for name in [n for n in vars(recipes) if n.startswith("plan_") or n == "lay_out"]:
            watch.enter_context(patch.object(recipes, name, _kept(recipes, name, seen)))
        made = make(
            Recipe(
                seed=seed,
                brief=Brief(plot=plot, gate="south", arrangement="ring", storeys=2, low=()),
            )
        )
    laid = seen["lay_out"]
    return Plan(
        house=made,
        site=laid.site,
        bays=laid.bays,
        rooms=laid.rooms,
        roof=laid.roof,
        court=seen["court"],
        all=seen,
    )


def _kept(module: ModuleType, name: str, seen: dict[str, Any]) -> Callable[..., Any]:
    stage = getattr(module, name)

    def call(*arguments: Any, **named: Any) -> Any:
        seen[name.removeprefix("plan_")] = result = stage(*arguments, **named)
        return result

    return call


def house(seed: int, plot: tuple[int, int] | None = None) -> House:
    """A whole house, its gate to the south, so that its frame is the plot's own."""
    return plan(seed, plot).house


@cache
def anyhow(seed: int) -> House:
    """The house of a seed and nothing else."""
    return make(Recipe(seed=seed))


@cache
def gardened(kind: str, seed: int) -> House:
    """A house with a garden of this kind."""
    return make(Recipe(seed=seed, brief=Brief(plot=(29, 34), gate="south", garden=kind)))


def cells(found: House, *roles: str, stage: str = "") -> list[tuple[int, int, int]]:
    """The cells of some roles, in order."""
    wanted = [p for p in found.plan.parts if p.role in roles and stage in ("", p.stage)]
    return sorted(cell for part in wanted for cell in part.box.cells())


def fine(voxels: Voxels) -> npt.NDArray[np.bool_]:
    """What is filled of each sub-cell: bool [4X, 4Y, 4Z], put together a sub-cell at a time."""
    x, y, z = voxels.form.shape
    whole = np.zeros((SUB * x, SUB * y, SUB * z), dtype=bool)
    for i, j, k in np.ndindex(SUB, SUB, SUB):
        whole[i::SUB, j::SUB, k::SUB] = voxels.shapes[voxels.form, i, j, k]
    return whole


def arrays(voxels: Voxels) -> dict[str, Array]:
    """What ``house.npz`` holds, as the outside checker takes it."""
    named = {
        name: getattr(voxels, name) for name in ("material", "form", "stage", "room", "shapes")
    }
    return named | {"about": np.array(about_json(voxels.about))}


def rows(voxels: Voxels) -> list[tuple[str, str, str, int]]:
    """A materials list counted a cell at a time."""
    about = json.loads(about_json(voxels.about))
    counts: Counter[tuple[str, str, str]] = Counter()
    for x, y, z in np.argwhere(voxels.form > 0).tolist():
        s, m, f = (getattr(voxels, name)[x, y, z] for name in ("stage", "material", "form"))
        counts[about["stages"][s], about["materials"][m]["name"], about["forms"][f]["piece"]] += 1
    return [(*key, count) for key, count in sorted(counts.items())]
