"""What is left of a brief where some of it is given up, as an offer."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace

from genhouse.core.errors import GenhouseError
from genhouse.generate.why import Requirement, without
from genhouse.model.brief import Recipe


@dataclass(frozen=True, slots=True)
class Offer:
    """text: what is changed, as a client would say it.  recipe: with that change."""

    text: str
    recipe: Recipe


def less(recipe: Recipe, given_up: Collection[Requirement]) -> Offer:
    """This without some of what it asks."""
    text = " and ".join(r.text for r in given_up)
    return Offer(f"this without {text}", _without(recipe, given_up))


def ever_less(recipe: Recipe, asked: Sequence[Requirement]) -> Iterator[Offer]:
    """The first half of what is asked, half of that and so on: last, what asks for nothing."""
    while asked:
        asked, gone = asked[: len(asked) // 2], asked[len(asked) // 2 :]
        recipe = _without(recipe, gone)
        yield Offer(f"nothing but {' and '.join(r.text for r in asked) or 'the seed'}", recipe)


def standing(some: Iterable[Offer], stands: Callable[[Recipe], object]) -> Iterator[Offer]:
    """Those that stand, each tried as it is asked for.  stands: raises GenhouseError where one does not."""
    for offer in some:
        with suppress(GenhouseError):
            stands(offer.recipe)
            yield offer


def _without(recipe: Recipe, given_up: Collection[Requirement]) -> Recipe:
    return replace(recipe, brief=without(recipe.brief, given_up))
