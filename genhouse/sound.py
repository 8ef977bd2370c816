"""Only sound houses: what is designed is inspected, and drawn anew until the inspector finds nothing.

A house is drawn anew from a late stage first, so that what stands before it stays; which draws are
tried, and in which order, hangs on nothing but the recipe.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import chain, islice

from genhouse.core.errors import GenhouseError, InfeasibleError
from genhouse.generate.draws import Anew
from genhouse.generate.lesser import Offer, ever_less, less
from genhouse.generate.offers import ExplainedError
from genhouse.generate.recipe import design_house
from genhouse.generate.why import wishes
from genhouse.inspection import Finding, Report, inspect
from genhouse.inspection.weather import NAME as WEATHER
from genhouse.model.brief import STAGE_NAMES, Recipe
from genhouse.model.design import Design
from genhouse.model.raster import raster
from genhouse.model.voxels import Voxels
from genhouse.traditions.shelf import check_recipe

SINCE = ("fittings", "court", "roof", "rooms", "site", "site")
"""The stage from which a house is drawn anew, try by try."""
LATE = ("court", "fittings", "lamps")
"""Stages that can fail in a house where another draw of what is before them would not."""
INSIDE = ("fittings", "court")
"""Stages that, drawn anew, keep no weather out."""
FIRST: Anew = ((STAGE_NAMES[-1], 0),)
"""Nothing drawn anew, of a house that is only tried: where it is refused, nobody asks why."""
OTHERS = 3
"""Seeds tried in place of one of which no sound house comes."""
SEEDS = 1 << 64
UNSOUND = "no sound house comes of"
"""In a refusal: the fault is genhouse's, not the brief's."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sound:
    """A design, its cells, and the report that finds nothing in them.

    anew: what was drawn anew for it, empty where the first draw was sound.  faults: of the draws before,
    the first in each.
    """

    plan: Design
    voxels: Voxels
    report: Report
    anew: Anew = ()
    faults: tuple[str, ...] = ()


def sound(recipe: Recipe) -> Sound:
    """The first sound house of a recipe: a pure function of it.

    With seeds of their own for some stages, only the latest of these and what comes after it is drawn
    anew, unless the house without that seed is itself drawn anew from before it: then so is this one.
    Raises BriefError or InfeasibleError, the latter also where no draw is sound.
    """
    check_recipe(recipe)
    latest = _latest(recipe)
    faults: list[str] = []
    if house := _first(recipe, _tries(latest), faults):
        return house
    if latest is None:
        raise _refused(recipe, faults)
    fewer = tuple((stage, seed) for stage, seed in recipe.stage_seeds if stage != latest)
    before = sound(replace(recipe, stage_seeds=fewer)).anew
    since = ((*before, *(anew or ((latest, 0),))) for anew in _tries(latest) if before)
    if house := _first(recipe, since, faults):
        return house
    raise ExplainedError(
        f"{latest}: {UNSOUND} this seed in {len(faults)} draws; in the first, {faults[0]}",
        stage=latest,
        ways=(
            Offer(
                f"this without {latest}={recipe.seed_of(latest)}",
                replace(recipe, stage_seeds=fewer),
            ),
        ),
    )


def _latest(recipe: Recipe) -> str | None:
    """The latest stage with a seed of its own."""
    return max((stage for stage, _ in recipe.stage_seeds), key=STAGE_NAMES.index, default=None)


def _tries(latest: str | None) -> Iterator[Anew]:
    """Nothing drawn anew, then ever earlier stages, none of them before the latest that has a seed."""
    yield ()
    first = STAGE_NAMES.index(latest) if latest else 0
    stages = SINCE if latest != STAGE_NAMES[-1] else STAGE_NAMES[-1:]
    yield from (
        ((stage, n),) for n, stage in enumerate(stages, 1) if STAGE_NAMES.index(stage) >= first
    )


def _first(recipe: Recipe, draws: Iterator[Anew], faults: list[str]) -> Sound | None:
    """The first sound house of these draws.  faults: gain the first of each before it."""
    leaks = False
    for anew in draws:
        if leaks and anew[-1][0] in INSIDE:
            continue
        found = _tried(recipe, anew)
        if isinstance(found, Sound):
            return replace(found, faults=tuple(faults))
        faults.append(found.sentence)
        leaks = found.check == WEATHER
    return None


def _stands(recipe: Recipe) -> None:
    """Raises GenhouseError where no draw is a sound house."""
    faults: list[str] = []
    if _first(recipe, _tries(_latest(recipe)), faults) is None:
        raise InfeasibleError(faults[0], stage="site")


def _tried(recipe: Recipe, anew: Anew) -> Sound | Finding:
    """The house of these draws, or the first fault in it.

    Raises BriefError and InfeasibleError where no other draws would help.
    """
    try:
        plan = design_house(recipe, anew, _stands)
        voxels = raster(plan)
    except InfeasibleError as error:
        if not anew and error.stage not in LATE:
            raise
        return _fault(error)
    except GenhouseError:
        raise
    except ValueError as error:
        return _fault(error)  # two parts in one cell, or a part outside the plot
    report = inspect(voxels, light=recipe.brief.light, outline=plan.outline)
    if report.clean:
        return Sound(plan=plan, voxels=voxels, report=report, anew=anew)
    return report.findings[0]


def _fault(error: Exception) -> Finding:
    return Finding(check="", sentence=str(error), where=(), count=0)


def _refused(recipe: Recipe, faults: list[str]) -> InfeasibleError:
    """The refusal of a seed; another that was tried, and the brief with less in it, first without that of
    which the fault speaks."""
    asked = wishes(recipe.brief)
    named = [r for r in asked if faults[0].startswith(f"{r.key[0]}:")]
    seeds = [(recipe.seed + n) % SEEDS for n in range(1, OTHERS + 1)]
    kinds: tuple[Iterator[Offer], ...] = (
        (Offer(f"seed {seed}", replace(recipe, seed=seed)) for seed in seeds),
        chain((less(recipe, [r]) for r in named), ever_less(recipe, asked)),
    )
    found = (_standing(islice(kind, OTHERS)) for kind in kinds)
    return ExplainedError(
        f"seed: {UNSOUND} {recipe.seed} in {len(faults)} draws; in the first, {faults[0]}",
        stage="site",
        ways=tuple(offer for offer in found if offer),
    )


def _standing(some: Iterator[Offer]) -> Offer | None:
    """The first whose first draw is sound."""
    return next((o for o in some if isinstance(_tried(o.recipe, FIRST), Sound)), None)
