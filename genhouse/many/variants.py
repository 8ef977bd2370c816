"""Variants of a house: some stages as they are, with all before them; the rest from new seeds."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial

from genhouse.core.draw import Draw
from genhouse.core.errors import BriefError, InfeasibleError, UnreadableError
from genhouse.core.workers import spread_out
from genhouse.house import make
from genhouse.many.apart import Told, distance, told, told_apart
from genhouse.model.brief import SETTLED, STAGE_NAMES, Recipe
from genhouse.model.digests import digests
from genhouse.model.part import STAGES
from genhouse.traditions.shelf import check_name

SEEDS = 10**6
"""New seeds are drawn below this, so that they can be read and typed."""
MOST_VARIANTS = 1000
"""Variants in one folder, at most: each is a whole house."""
ROUND = 2
"""Recipes that are tried, for each variant asked for, before the rest are given up."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Variant:
    """A house that shares the kept stages with the first.

    stages: digests of their cells, by name.  nearest: how far it is from the most alike of the others
    and the first, see ``genhouse.many.apart``.
    """

    recipe: Recipe
    stages: dict[str, str]
    nearest: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Variants:
    """Variants of a house, to go through one by one.

    found: in the order in which they were tried.  view: the picture in which they differ.  apart:
    distances between them in that view, in rows.
    """

    found: tuple[Variant, ...]
    view: str
    apart: tuple[tuple[float, ...], ...]

    def __iter__(self) -> Iterator[Variant]:
        return iter(self.found)

    def __len__(self) -> int:
        return len(self.found)

    @property
    def least(self) -> float:
        """The distance of the two that are most alike, the first house among them."""
        return min(variant.nearest for variant in self.found)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Tried:
    """A house that was made.  stages: digests by name."""

    recipe: Recipe
    stages: dict[str, str]
    told: Told


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
) -> Variants:
    """As many variants as asked for, or as there are among twice as many recipes, told apart in a view.

    saved: the first house's digests by stage.  Raises UnreadableError where this version makes another
    house than that from its recipe, and InfeasibleError where there is no variant.
    """
    settled = settled_stages(kept)
    work = partial(_try, settled)
    tried = [made_again(work(first), saved)]
    reason = "every other seed gives the same house, or nearly"
    for start in range(1, ROUND * count + 1, count):
        tasks = [varied(first, kept, n) for n in range(start, start + count)]
        for result in spread_out(work, tasks, processes, what="variants"):
            if isinstance(result, str):
                reason = result
            elif moved(result.stages, saved, settled):
                reason = "the kept stages come out otherwise"
            else:
                tried.append(result)
        view, chosen = told_apart([one.told for one in tried], settled, count)
        if len(chosen) > count:
            break
    if len(chosen) < 2:
        raise InfeasibleError(f"there is no variant: {reason}", stage=STAGE_NAMES[len(kept)])
    return _chosen([tried[n] for n in chosen], view)


def _chosen(tried: Sequence[_Tried], view: str) -> Variants:
    """The first house and its variants, measured against each other."""
    apart = [[float(distance(a.told, b.told, view)) for b in tried] for a in tried]
    found = [
        Variant(recipe=one.recipe, stages=one.stages, nearest=min(row[:n] + row[n + 1 :]))
        for n, (one, row) in enumerate(zip(tried, apart, strict=True))
    ]
    return Variants(
        found=tuple(found[1:]), view=view, apart=tuple(tuple(row[1:]) for row in apart[1:])
    )


def moved(a: Mapping[str, str], b: Mapping[str, str], stages: Sequence[str] = STAGES) -> str:
    """The first building stage whose digests differ; empty where none do."""
    return next((stage for stage in stages if a.get(stage) != b.get(stage)), "")


def made_again(made: _Tried | str, saved: Mapping[str, str]) -> _Tried:
    """What this version makes from the recipe of a saved house, if that is the same house.

    Raises UnreadableError where it is not, naming the stage that differs first.
    """
    if isinstance(made, str):
        raise UnreadableError(
            f"the house cannot be varied: this version makes none from its recipe ({made})"
        )
    if stage := moved(made.stages, saved):
        raise UnreadableError(
            "the house cannot be varied: this version makes another from its recipe, and stage "
            f"{stage} is the first that differs"
        )
    return made


def _try(settled: Sequence[str], recipe: Recipe) -> _Tried | str:
    try:
        house = make(recipe)
    except InfeasibleError as error:
        return str(error)
    return _Tried(recipe=recipe, stages=digests(house.voxels)[0], told=told(house.voxels, settled))
