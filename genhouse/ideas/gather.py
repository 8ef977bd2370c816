"""Make many houses, on all the machine's cores, and keep what is measured of them."""

from __future__ import annotations

import os
import pickle
import zlib
from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import partial
from typing import TypeVar

from genhouse.core.errors import InfeasibleError
from genhouse.house import House, make
from genhouse.ideas.distinct import Features, features
from genhouse.model.brief import Recipe
from genhouse.model.design import Design
from genhouse.model.raster import raster
from genhouse.outputs.figures._tables import Figures

A = TypeVar("A")
B = TypeVar("B")


@dataclass(frozen=True, slots=True, kw_only=True)
class Idea:
    """A house that answers the brief, small enough to send between processes.

    packed: its design, where it was kept; about 17 kB.
    """

    recipe: Recipe
    figures: Figures
    features: Features
    packed: bytes = b""

    def house(self) -> House:
        """The house again."""
        if not self.packed:
            return make(self.recipe)
        plan: Design = pickle.loads(zlib.decompress(self.packed))
        return House(plan, raster(plan))


@dataclass(frozen=True, slots=True, kw_only=True)
class Refusal:
    """A recipe from which no house can be made, and why."""

    recipe: Recipe
    reason: str


def cores() -> int:
    """How many processes this one may keep busy."""
    usable = getattr(os, "sched_getaffinity", None)
    return len(usable(0)) if usable else os.cpu_count() or 1


def spread_out(work: Callable[[A], B], tasks: Sequence[A], processes: int, chunk: int) -> list[B]:
    """The results in the order of the tasks, whichever process made them."""
    if min(processes, len(tasks)) <= 1:
        return list(map(work, tasks))
    with ProcessPoolExecutor(min(processes, len(tasks))) as pool:
        return list(pool.map(work, tasks, chunksize=chunk))


def gather(
    recipes: Sequence[Recipe], *, keep: bool = False, processes: int | None = None
) -> tuple[tuple[Idea, ...], tuple[Refusal, ...]]:
    """Ideas and refusals, each in the order of the recipes.

    keep: pack each design, which saves making it again, and takes a fifteenth of the time of that.
    """
    found = spread_out(partial(_try, keep), recipes, processes or cores(), 2)
    ideas = tuple(f for f in found if isinstance(f, Idea))
    return ideas, tuple(f for f in found if isinstance(f, Refusal))


def _try(keep: bool, recipe: Recipe) -> Idea | Refusal:
    try:
        house = make(recipe)
    except InfeasibleError as error:
        return Refusal(recipe=recipe, reason=str(error))
    measured = house.figures()
    return Idea(
        recipe=recipe,
        figures=measured,
        features=features(house.plan, measured),
        packed=zlib.compress(pickle.dumps(house.plan), 1) if keep else b"",
    )
