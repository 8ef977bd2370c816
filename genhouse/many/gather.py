"""Design many houses, on all the machine's cores, and keep what is measured of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial

from genhouse.core.errors import InfeasibleError
from genhouse.core.workers import spread_out
from genhouse.generate.recipe import design_shell
from genhouse.house import make
from genhouse.many.distinct import Features, features
from genhouse.model.brief import Recipe
from genhouse.model.raster import raster
from genhouse.outputs.figures._tables import ShellFigures
from genhouse.outputs.figures.figures import shell_figures


@dataclass(frozen=True, slots=True, kw_only=True)
class Idea:
    """A house that answers the brief, small enough to send between processes.

    figures: of the finished house where they were asked for, else of its shell.
    """

    recipe: Recipe
    figures: ShellFigures
    features: Features


@dataclass(frozen=True, slots=True, kw_only=True)
class Refusal:
    """A recipe from which no house can be made, and why."""

    recipe: Recipe
    reason: str


def gather(
    recipes: Sequence[Recipe], *, whole: bool = False, processes: int | None = None
) -> tuple[tuple[Idea, ...], tuple[Refusal, ...]]:
    """Ideas and refusals, each in the order of the recipes.

    whole: finish every house, for the figures that a shell does not have; about three times the work.
    """
    found = spread_out(partial(_try, whole), recipes, processes, 2, what="houses")
    ideas = tuple(f for f in found if isinstance(f, Idea))
    return ideas, tuple(f for f in found if isinstance(f, Refusal))


def refused(recipes: Sequence[Recipe], *, processes: int | None = None) -> tuple[Refusal, ...]:
    """Those of which no sound house comes, though they have a shell."""
    found = spread_out(_looked_at, recipes, processes, 1)
    return tuple(f for f in found if f is not None)


def _looked_at(recipe: Recipe) -> Refusal | None:
    try:
        make(recipe)
    except InfeasibleError as error:
        return Refusal(recipe=recipe, reason=str(error))
    return None


def _try(whole: bool, recipe: Recipe) -> Idea | Refusal:
    try:
        house = make(recipe) if whole else None
        plan = house.plan if house else design_shell(recipe)
    except InfeasibleError as error:
        return Refusal(recipe=recipe, reason=str(error))
    voxels = house.voxels if house else raster(plan)
    measured = house.figures() if house else shell_figures(plan, voxels)
    return Idea(recipe=recipe, figures=measured, features=features(plan, voxels, measured))
