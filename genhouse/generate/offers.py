"""What would work instead: offers to a client whose brief has no answer, each tried before it is made."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace

from genhouse.core.errors import GenhouseError, InfeasibleError
from genhouse.core.progress import tell
from genhouse.generate.layout import works
from genhouse.generate.why import Requirement, SpentError, conflict, keeping, requirements, without
from genhouse.model.bounds import LARGEST_PLOT
from genhouse.model.brief import Brief, Recipe
from genhouse.stages.siting import conceivable
from genhouse.traditions.loader import load_tradition
from genhouse.traditions.shelf import SEED_BITS, check_recipe

EFFORT = 32_000
"""Cells of plots on which a layout is tried for the conflict, and as many for each kind of offer."""
SEEDS = 8
"""Other seeds that are tried."""
WHOLE = 2
"""Offers of one kind that are designed to the last lamp, until one of them stands."""

Stands = Callable[[Recipe], object]
"""Designs a whole house; raises GenhouseError where it cannot."""


@dataclass(frozen=True, slots=True)
class Offer:
    """text: what is changed, as a client would say it.  recipe: with that change."""

    text: str
    recipe: Recipe


class _Trials:
    """Layouts tried so far, by the cells of their plots."""

    def __init__(self, recipe: Recipe) -> None:
        self.recipe = recipe
        self.left = EFFORT

    def spend(self, cells: int) -> None:
        """Raises SpentError where no more may be tried; told to whoever watches."""
        self.left -= cells
        tell("what would work", EFFORT - self.left)
        if self.left < 0:
            raise SpentError

    def works(self, brief: Brief) -> bool:
        return works(replace(self.recipe, brief=brief), self.spend)


def explained(error: InfeasibleError, recipe: Recipe, stands: Stands) -> InfeasibleError:
    """The same refusal, with the conflict named, whether it binds every seed, and what would work."""
    brief = recipe.brief
    found = conflict(brief, _Trials(recipe).works)
    if not found:
        return error
    texts = ("all of: " if len(found) > 1 else "") + "; ".join(r.text for r in found)
    for_some = conceivable(keeping(brief, found), load_tradition(brief.tradition))
    who = f"with seed {recipe.seed} no house was found that has" if for_some else "no house has"
    return InfeasibleError(
        f"brief: {who} {texts}", stage=error.stage, offers=offers(recipe, found, stands, for_some)
    )


def offers(
    recipe: Recipe, found: Sequence[Requirement], stands: Stands, other_seeds: bool = True
) -> tuple[str, ...]:
    """The nearest larger plot, the least that is given up, and another seed: those that stand.

    found: the conflict.  other_seeds: whether another seed could help.
    """
    kinds = [_larger(recipe), _softer(recipe, found)]
    kinds += [_seeds(recipe)] if other_seeds else []
    standing = (_first(kind, stands) for kind in kinds)
    return tuple(offer.text for offer in standing if offer is not None)


def _first(candidates: Iterator[Offer], stands: Stands) -> Offer | None:
    """The first that can be laid out, and then designed whole."""
    trials, failed = _Trials(Recipe(seed=0)), 0
    with suppress(SpentError):
        for offer in candidates:
            try:
                check_recipe(offer.recipe)
                if works(offer.recipe, trials.spend):
                    failed += 1
                    stands(offer.recipe)
                    return offer
            except GenhouseError:
                if failed == WHOLE:
                    break
    return None


def _larger(recipe: Recipe) -> Iterator[Offer]:
    """Larger plots, a little wider and deeper each time."""
    if recipe.brief.plot is None:
        return
    width, depth = recipe.brief.plot
    while (width, depth) != LARGEST_PLOT:
        width, depth = min(width + 2, LARGEST_PLOT[0]), min(depth + 2, LARGEST_PLOT[1])
        yield _with(recipe, f"plot {width} x {depth}", replace(recipe.brief, plot=(width, depth)))


def _softer(recipe: Recipe, found: Sequence[Requirement]) -> Iterator[Offer]:
    """Fewer rooms of a kind in conflict, as many as work; this without one thing that is asked, or
    without all that finds no place beside what stands before it in the brief."""
    brief = recipe.brief
    for requirement in (r for r in found if r.key != ("plot",)):
        yield from _fewer(recipe, requirement)
        yield _with(recipe, f"this without {requirement.text}", without(brief, [requirement]))
    kept: list[Requirement] = []
    trials = _Trials(recipe)
    for requirement in requirements(brief):
        if trials.works(keeping(brief, [*kept, requirement])):
            kept.append(requirement)
    given_up = [r for r in requirements(brief) if r not in kept]
    texts = " and ".join(r.text for r in given_up)
    yield _with(recipe, f"this without {texts}", without(brief, given_up))


def _fewer(recipe: Recipe, requirement: Requirement) -> Iterator[Offer]:
    brief, n = recipe.brief, requirement.key[0]
    if requirement.key[-1] != "count" or not isinstance(n, int):
        return
    wish = brief.rooms[n]
    for count in range(wish.count - 1, 0, -1):
        rooms = (*brief.rooms[:n], replace(wish, count=count), *brief.rooms[n + 1 :])
        yield _with(recipe, f"{count} x {wish.kind}", replace(brief, rooms=rooms))


def _seeds(recipe: Recipe) -> Iterator[Offer]:
    """The next seeds."""
    for n in range(1, SEEDS + 1):
        seed = (recipe.seed + n) % (1 << SEED_BITS)
        yield Offer(f"seed {seed}", replace(recipe, seed=seed))


def _with(recipe: Recipe, text: str, brief: Brief) -> Offer:
    return Offer(text, replace(recipe, brief=brief))
