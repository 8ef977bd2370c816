"""What would work instead: offers to a client whose brief has no answer, each tried before it is made."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator, Sequence
from contextlib import contextmanager, suppress
from contextvars import ContextVar
from dataclasses import dataclass, replace
from functools import partial

from genhouse.core.errors import GenhouseError, InfeasibleError
from genhouse.core.progress import tell
from genhouse.generate.layout import works
from genhouse.generate.why import Requirement, SpentError, conflict, keeping, requirements, without
from genhouse.model.bounds import LARGEST_PLOT
from genhouse.model.brief import Brief, Recipe
from genhouse.stages.siting import conceivable
from genhouse.traditions.loader import load_tradition
from genhouse.traditions.shelf import SEED_BITS, check_recipe

EFFORT = 56_000
"""What all that is tried may cost: half of it for the conflict, the rest for each kind of offer in turn."""
DESIGNED = 4_000
"""What it costs to design a house to the last lamp."""
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


class ExplainedError(InfeasibleError):
    """A refusal that knows its reasons.  conflict: what cannot be met together.  ways: what would work."""

    def __init__(
        self,
        message: str,
        *,
        stage: str,
        conflict: tuple[Requirement, ...] = (),
        ways: tuple[Offer, ...] = (),
    ) -> None:
        self.conflict, self.ways = conflict, ways
        super().__init__(message, stage=stage, offers=tuple(way.text for way in ways))

    def __reduce__(self) -> tuple[object, ...]:
        made = partial(type(self), stage=self.stage, conflict=self.conflict, ways=self.ways)
        return made, (self.message,)


class _Trials:
    """What is tried for one refusal, and what may be spent on it.  paid: what costs nothing again."""

    def __init__(self) -> None:
        self.left, self.least = EFFORT, 0
        self.paid: set[Hashable] = set()

    def share(self, parts: int) -> None:
        """From now on, only one of so many parts of what is left may be spent."""
        self.left = max(self.left, 0)
        self.least = self.left - self.left // parts

    def spend(self, cost: int, what: Hashable = None) -> None:
        """Raises SpentError where no more may be tried; told to whoever watches."""
        self.left -= 0 if what in self.paid else cost
        self.paid.update({what} - {None})
        tell("what would work", EFFORT - self.left)
        if self.left < self.least:
            raise SpentError

    def works(self, recipe: Recipe) -> bool:
        return works(recipe, self.spend)


_asked: ContextVar[bool] = ContextVar("asked", default=True)


@contextmanager
def unexplained() -> Iterator[None]:
    """What is refused within is not explained: for those who ask for something else straight away."""
    before = _asked.set(False)
    try:
        yield
    finally:
        _asked.reset(before)


def explained(error: InfeasibleError, recipe: Recipe, stands: Stands) -> InfeasibleError:
    """The same refusal, with the conflict named, whether it binds every seed, and what would work."""
    if not _asked.get():
        return error
    brief = recipe.brief
    trials = _Trials()
    trials.share(2)
    found = conflict(brief, lambda tried: trials.works(replace(recipe, brief=tried)))
    if not found:
        return error
    texts = ("all of: " if len(found) > 1 else "") + "; ".join(r.text for r in found)
    for_some = conceivable(keeping(brief, found), load_tradition(brief.tradition))
    who = f"with seed {recipe.seed} no house was found that has" if for_some else "no house has"
    return ExplainedError(
        f"brief: {who} {texts}",
        stage=error.stage,
        conflict=found,
        ways=offers(recipe, found, stands, for_some, trials),
    )


def offers(
    recipe: Recipe,
    found: Sequence[Requirement],
    stands: Stands,
    other_seeds: bool = True,
    trials: _Trials | None = None,
) -> tuple[Offer, ...]:
    """The nearest larger plot, the least that is given up, and another seed: those that stand.

    found: the conflict.  other_seeds: whether another seed could help.  trials: what was tried before.
    """
    trials = trials or _Trials()
    kinds = [_larger(recipe), _softer(recipe, found, trials)]
    kinds += [_seeds(recipe)] if other_seeds else []
    standing = []
    for n, kind in enumerate(kinds):
        trials.share(len(kinds) - n)
        standing.append(_first(kind, stands, trials))
    return tuple(offer for offer in standing if offer is not None)


def _first(candidates: Iterator[Offer], stands: Stands, trials: _Trials) -> Offer | None:
    """The first that can be laid out, and then designed whole."""
    failed = 0
    with suppress(SpentError):
        for offer in candidates:
            try:
                check_recipe(offer.recipe)
                if trials.works(offer.recipe):
                    failed += 1
                    trials.spend(DESIGNED)
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


def _softer(recipe: Recipe, found: Sequence[Requirement], trials: _Trials) -> Iterator[Offer]:
    """Fewer rooms of a kind in conflict, as many as work; this without one thing that is asked, or
    without all that finds no place beside what stands before it in the brief."""
    brief = recipe.brief
    for requirement in (r for r in found if r.key != ("plot",)):
        yield from _fewer(recipe, requirement, trials)
        yield _with(recipe, f"this without {requirement.text}", without(brief, [requirement]))
    kept: list[Requirement] = []
    for requirement in requirements(brief):
        if trials.works(replace(recipe, brief=keeping(brief, [*kept, requirement]))):
            kept.append(requirement)
    given_up = [r for r in requirements(brief) if r not in kept]
    texts = " and ".join(r.text for r in given_up)
    yield _with(recipe, f"this without {texts}", without(brief, given_up))


def _fewer(recipe: Recipe, requirement: Requirement, trials: _Trials) -> Iterator[Offer]:
    """As many rooms of a line as work: by halves, since fewer mostly work where more do."""
    brief, n = recipe.brief, requirement.key[0]
    if requirement.key[-1] != "count" or not isinstance(n, int):
        return
    wish, found = brief.rooms[n], None
    works, fails = 0, wish.count
    while fails - works > 1:
        count = (works + fails) // 2
        rooms = (*brief.rooms[:n], replace(wish, count=count), *brief.rooms[n + 1 :])
        fewer = _with(recipe, f"{count} x {wish.kind}", replace(brief, rooms=rooms))
        if trials.works(fewer.recipe):
            works, found = count, fewer
        else:
            fails = count
    if found:
        yield found


def _seeds(recipe: Recipe) -> Iterator[Offer]:
    """The next seeds."""
    for n in range(1, SEEDS + 1):
        seed = (recipe.seed + n) % (1 << SEED_BITS)
        yield Offer(f"seed {seed}", replace(recipe, seed=seed))


def _with(recipe: Recipe, text: str, brief: Brief) -> Offer:
    return Offer(text, replace(recipe, brief=brief))
