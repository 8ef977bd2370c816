"""Variants of a house: some stages as they are, with all before them; the rest from new seeds."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from genhouse.core.draw import Draw
from genhouse.core.errors import BriefError, InfeasibleError, UnreadableError
from genhouse.core.workers import spread_out
from genhouse.house import make
from genhouse.many.distinct import Features, features
from genhouse.model.brief import SETTLED, STAGE_NAMES, Recipe
from genhouse.model.part import STAGES
from genhouse.outputs.document._digests import digests
from genhouse.outputs.figures._tables import Figures
from genhouse.traditions.shelf import check_name

SEEDS = 10**6
"""New seeds are drawn below this, so that they can be read and typed."""
ROUND = 2
"""Recipes that are tried, for each variant asked for, before the rest are given up."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Variant:
    """A house that shares the kept stages with the first.  stages: digests of their cells, by name."""

    recipe: Recipe
    stages: dict[str, str]
    figures: Figures
    features: Features


def kept_stages(keep: Sequence[str]) -> tuple[str, ...]:
    """The drawing stages that stay as they are: those named and all before the last of them.

    A building stage that draws nothing is kept with the one that it follows from.
    Raises BriefError for an unknown stage, and where nothing would be left to vary.
    """
    drawing = [SETTLED.get(name, name) for name in keep]
    for name in drawing:
        check_name("stage", name, STAGE_NAMES)
    count = max((STAGE_NAMES.index(name) + 1 for name in drawing), default=0)
    if count == len(STAGE_NAMES):
        raise BriefError(
            f"keep: {STAGE_NAMES[-1]} is the last stage, so nothing would be left to vary"
        )
    return STAGE_NAMES[:count]


def settled_stages(kept: Sequence[str]) -> tuple[str, ...]:
    """The building stages whose cells must stay the same to the byte."""
    return tuple(s for s in STAGES if SETTLED.get(s, s) in kept)


def varied(recipe: Recipe, kept: Sequence[str], number: int) -> Recipe:
    """The recipe of a variant.  number: from 1; the same number gives the same variant."""
    draw = Draw(recipe.seed).at("variant", number)
    for stage, seed in recipe.stage_seeds:
        draw = draw.at(stage, seed)
    seeds = {
        stage: recipe.seed_of(stage) if stage in kept else draw.below(SEEDS, stage)
        for stage in STAGE_NAMES
    }
    other = tuple(sorted((s, n) for s, n in seeds.items() if n != recipe.seed))
    return Recipe(seed=recipe.seed, brief=recipe.brief, stage_seeds=other)


def variants(
    first: Recipe,
    saved: Mapping[str, str],
    kept: Sequence[str],
    count: int,
    *,
    processes: int | None = None,
) -> tuple[Variant, ...]:
    """As many different variants as asked for, or as there are among twice as many recipes.

    saved: the first house's digests by stage.  Raises UnreadableError where this version makes another
    house than that from its recipe, and InfeasibleError where there is no variant.
    """
    settled = settled_stages(kept)
    tasks = [first, *(varied(first, kept, n) for n in range(1, ROUND * count + 1))]
    seen: list[dict[str, str]] = []
    found: list[Variant] = []
    reason = "every other seed gives the same house"
    for start, end in _spans(len(tasks), count):
        for result in spread_out(_try, tasks[start:end], processes):
            if isinstance(result, str):
                reason = result
            elif not _same(result.stages, saved, settled):
                if not seen:
                    raise UnreadableError(_outdated(result.stages, saved, settled))
                reason = "the kept stages come out otherwise"
            elif result.stages not in seen:
                seen.append(result.stages)
                found.append(result)
        if len(found) > count:
            break
    if len(found) < 2:
        raise InfeasibleError(f"there is no variant: {reason}", stage=STAGE_NAMES[len(kept)])
    return tuple(found[1 : count + 1])


def _spans(tasks: int, count: int) -> Iterator[tuple[int, int]]:
    """The first house and one round, then the others."""
    yield 0, count + 1
    yield count + 1, tasks


def _same(a: Mapping[str, str], b: Mapping[str, str], stages: Sequence[str]) -> bool:
    return all(a.get(stage) == b.get(stage) for stage in stages)


def _outdated(made: Mapping[str, str], saved: Mapping[str, str], stages: Sequence[str]) -> str:
    stage = next(s for s in stages if made.get(s) != saved.get(s))
    return (
        f"the saved house cannot be varied: its stage {stage} is not what this version makes from its "
        "recipe"
    )


def _try(recipe: Recipe) -> Variant | str:
    try:
        house = make(recipe)
    except InfeasibleError as error:
        return str(error)
    measured = house.figures()
    return Variant(
        recipe=recipe,
        stages=digests(house.voxels)[0],
        figures=measured,
        features=features(house.plan, measured),
    )
