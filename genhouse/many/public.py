"""The public face of many houses: the best and most varied, and variants of one."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import islice
from typing import TYPE_CHECKING, Any, SupportsIndex

from genhouse.core.errors import BriefError
from genhouse.generate import taken
from genhouse.house import House
from genhouse.many.folder import best_ideas
from genhouse.many.rank import aims
from genhouse.many.variants import MOST_VARIANTS, Variants, kept_stages
from genhouse.many.variants import variants as variants_of
from genhouse.model.bounds import MOST_HELPERS, MOST_SEEDS
from genhouse.model.brief import Brief, Recipe
from genhouse.model.digests import digests

if TYPE_CHECKING:
    import os

    from genhouse.many.choose import Choice


def ideas(
    seeds: Iterable[SupportsIndex],
    brief: Brief | Mapping[str, Any] | str | os.PathLike[str] | None = None,
    *,
    by: str = "privacy,court-light",
    best: SupportsIndex = 12,
    processes: int | None = None,
) -> Choice:
    """The best and most varied of the houses of some seeds, no two of them alike.

    by: figures to rank by, commas between; a minus before one turns its order round.  best: how many.
    processes: that help; None for as many as there are cores.  A pick's recipe makes its house.
    Raises BriefError, and InfeasibleError where none of the seeds makes a house.

    >>> choice = ideas(range(3), {"plot": (23, 32)}, by="privacy", best=2, processes=1)
    >>> choice.picks[0].place, len(choice.picks)
    (1, 2)
    """
    wanted, asked = aims(_text("by", by)), taken.brief_of(brief)
    recipes = tuple(
        Recipe(seed=taken.whole("seed", seed), brief=asked) for seed in _listed("seeds", seeds)
    )
    if not 0 < len(recipes) <= MOST_SEEDS:
        raise BriefError(f"seeds: it wants from 1 to {MOST_SEEDS} of them")
    many, helpers = taken.whole("best", best, 1, MOST_SEEDS), _helpers(processes)
    choice, _ = best_ideas(recipes, wanted, many, processes=helpers)
    return choice


def variants(
    house: House,
    keep: Iterable[str] = (),
    count: SupportsIndex = 12,
    *,
    processes: int | None = None,
) -> Variants:
    """Variants of a house: the stages to keep, with all before them, as they are, the rest drawn anew.

    keep: names of stages, or one.  count: how many, as far as there are.  A variant's recipe makes its
    house; ``view`` names the picture in which they differ.
    Raises BriefError, InfeasibleError where there is no variant, and UnreadableError where this
    version makes another house than a saved one from its recipe.

    >>> from genhouse import design, make
    >>> [variant] = variants(design(7), keep="roof", count=1, processes=1)
    >>> make(variant.recipe).plan.covers == design(7).plan.covers
    True
    """
    if not isinstance(house, House):
        raise BriefError(f"house: {type(house).__name__} is no House")
    named = [keep] if isinstance(keep, str) else [_text("keep", k) for k in _listed("keep", keep)]
    kept, many = kept_stages(named), taken.whole("count", count, 1, MOST_VARIANTS)
    saved, helpers = digests(house.voxels)[0], _helpers(processes)
    return variants_of(house.recipe, saved, kept, many, processes=helpers)


def _helpers(processes: Any) -> int | None:
    return None if processes is None else taken.whole("processes", processes, 1, MOST_HELPERS)


def _listed(what: str, values: Any) -> list[Any]:
    try:
        return list(islice(values, MOST_SEEDS + 1))
    except TypeError as error:
        raise BriefError(f"{what}: {type(values).__name__} is no list of them") from error


def _text(what: str, value: Any) -> str:
    if not isinstance(value, str):
        raise BriefError(f"{what}: {value!r} is no name")
    return value
