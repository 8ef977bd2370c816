"""What would work instead: offers to a client whose brief has no answer, each tried before it is made."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Hashable, Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import replace
from functools import partial
from itertools import islice

from genhouse.core.effort import SpentError, at_most
from genhouse.core.errors import GenhouseError, InfeasibleError
from genhouse.core.progress import tell
from genhouse.generate.layout import works
from genhouse.generate.lesser import Offer, ever_less, less, standing
from genhouse.generate.why import Requirement, conflict, keeping, requirements, wishes
from genhouse.model.bounds import LARGEST_PLOT
from genhouse.model.brief import Brief, Recipe
from genhouse.stages.siting import conceivable
from genhouse.traditions.loader import load_tradition
from genhouse.traditions.shelf import SEED_BITS, check_recipe

EFFORT = 60_000
"""What all that is tried may cost: half of it for the conflict, the rest for each kind of offer in turn."""
DESIGNED = 4_000
"""What it costs to design a house to the last lamp."""
SEEDS = 8
"""Other seeds that are tried."""
WHOLE = 2
"""Offers of one kind that are designed to the last lamp, until one of them stands."""

ORDER = ("larger", "fewer", "softer", "seed")
"""Kinds of offers as they are told; they are sought with those first that cost least."""

Stands = Callable[[Recipe], object]
"""Designs a whole house; raises GenhouseError where it cannot."""


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
    """What is tried for one refusal, and what may be spent on it.

    kept: what is put by for designing what was found.  paid: what costs nothing again.  known: which
    recipes work.
    """

    def __init__(self) -> None:
        self.left, self.least, self.kept = EFFORT, 0, 0
        self.paid: set[Hashable] = set()
        self.known: dict[Recipe, bool] = {}

    def share(self, parts: int, keep: int = 0) -> None:
        """From now on, only one of so many parts of what is left may be spent, and some of it is put by."""
        self.least = self.left - self.left // parts
        self.kept = min(keep, self.left // parts)

    def spend(self, cost: int, what: Hashable = None) -> None:
        """Raises SpentError where no more may be tried; told to whoever watches."""
        cost = 0 if what in self.paid else cost
        if cost > self.free:
            self.left = self.least + self.kept
            raise SpentError
        self.left -= cost
        self.paid.update({what} - {None})
        tell("what would work", EFFORT - self.left)

    @property
    def free(self) -> int:
        """What may be spent now."""
        return max(self.left - self.least - self.kept, 0)

    def works(self, recipe: Recipe) -> bool:
        """Whether there is such a house.  Raises SpentError."""
        if recipe not in self.known:
            with at_most(self.free):
                try:
                    self.known[recipe] = works(recipe, self.spend)
                except SpentError:
                    self.left = self.least + self.kept
                    raise
        return self.known[recipe]

    def soon(self, recipe: Recipe) -> bool:
        """Whether such a house is found with half of what is left: so that one trial never takes all."""
        before = self.kept
        self.kept += self.free - self.free // 2
        try:
            return self.works(recipe)
        except SpentError:
            return False
        finally:
            self.kept = before

    def design(self, recipe: Recipe, stands: Stands) -> None:
        """Raises GenhouseError where it does not stand, and SpentError."""
        self.kept = 0
        self.spend(DESIGNED)
        stands(recipe)


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
        trials.share(1, DESIGNED)
        other = _first(_seeds(recipe), stands, trials)
        return ExplainedError(error.message, stage=error.stage, ways=(other,) if other else ())
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
    """The nearest larger plot, fewer rooms, the least that is given up, and another seed: those that stand.

    found: the conflict.  other_seeds: whether another seed could help.  trials: what was tried before.
    """
    trials = trials or _Trials()
    many = [int(r.key[0]) for r in found if r.key[-1] == "count"]
    kinds = [
        ("softer", _softer(recipe, found, trials)),
        *(("fewer", _fewer(recipe, n, trials)) for n in many[:1]),
        *([("larger", _larger(recipe, trials))] if recipe.brief.plot else []),
        *([("seed", _seeds(recipe))] if other_seeds else []),
    ]
    best = {}
    for n, (name, kind) in enumerate(kinds):
        trials.share(len(kinds) - n, DESIGNED)
        best[name] = _first(kind, stands, trials)
    made = tuple(offer for name in ORDER if (offer := best.get(name)))
    # Where all that may be tried is spent and nothing found, the least of it, designed straight away.
    least = deque(ever_less(recipe, wishes(recipe.brief)), maxlen=WHOLE)
    return made or tuple(islice(standing(least, stands), 1))


def _first(candidates: Iterator[Offer], stands: Stands, trials: _Trials) -> Offer | None:
    """The first that can be laid out, and then designed whole."""
    failed = 0
    for offer in candidates:
        try:
            check_recipe(offer.recipe)
            if trials.soon(offer.recipe):
                failed += 1
                trials.design(offer.recipe, stands)
                return offer
        except GenhouseError:
            if failed == WHOLE:
                break
        except SpentError:
            continue  # what is known to work costs nothing more
    return None


def _larger(recipe: Recipe, trials: _Trials) -> Iterator[Offer]:
    """The nearest larger plot, a little wider and deeper each time; the seed's own.

    Sought in steps that double until one does, then by halves back from it.
    """
    width, depth = recipe.brief.plot or LARGEST_PLOT
    plots = []
    while (width, depth) != LARGEST_PLOT:
        width, depth = min(width + 2, LARGEST_PLOT[0]), min(depth + 2, LARGEST_PLOT[1])
        plots.append((width, depth))
    row = [_with(recipe, f"plot {x} x {y}", replace(recipe.brief, plot=(x, y))) for x, y in plots]
    fails, at, works = -1, 0, len(row)
    while at < len(row) and works == len(row):
        if trials.soon(row[at].recipe):
            works = at
        else:
            fails, at = at, max(min(2 * at + 1, len(row) - 1), at + 1)
    while works < len(row) and works - fails > 1:
        middle = (works + fails) // 2
        works, fails = (middle, fails) if trials.soon(row[middle].recipe) else (works, middle)
    yield from row[works : works + 1]
    yield _with(recipe, "the plot left open", replace(recipe.brief, plot=None))


def _softer(recipe: Recipe, found: Sequence[Requirement], trials: _Trials) -> Iterator[Offer]:
    """This without one thing that is asked, or without all that finds no place beside what stands before
    it in the brief."""
    brief = recipe.brief
    for requirement in (r for r in found if r.key != ("plot",)):
        yield less(recipe, [requirement])
    kept: list[Requirement] = []
    for requirement in requirements(brief):
        if trials.soon(replace(recipe, brief=keeping(brief, [*kept, requirement]))):
            kept.append(requirement)
    yield less(recipe, [r for r in requirements(brief) if r not in kept])


def _fewer(recipe: Recipe, n: int, trials: _Trials) -> Iterator[Offer]:
    """As many rooms of a line as are found to work: half as many more each time, then by halves between
    what does and what does not, for it costs most to find that there is no place."""
    brief, wish = recipe.brief, recipe.brief.rooms[n]
    best = None
    works, fails = 0, wish.count
    while fails - works > 1:
        count = min(max(3 * works // 2, works + 1), (works + fails) // 2)
        rooms = (*brief.rooms[:n], replace(wish, count=count), *brief.rooms[n + 1 :])
        fewer = _with(recipe, f"{count} x {wish.kind}", replace(brief, rooms=rooms))
        if trials.soon(fewer.recipe):
            works, best = count, fewer
        else:
            fails = count
    if best:
        yield best


def _seeds(recipe: Recipe) -> Iterator[Offer]:
    """The next seeds."""
    for n in range(1, SEEDS + 1):
        seed = (recipe.seed + n) % (1 << SEED_BITS)
        yield Offer(f"seed {seed}", replace(recipe, seed=seed))


def _with(recipe: Recipe, text: str, brief: Brief) -> Offer:
    return Offer(text, replace(recipe, brief=brief))
