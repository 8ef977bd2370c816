"""A brief that contradicts itself: which of its wishes do, and what is left of it that stands."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from itertools import islice

from genhouse.core.errors import GenhouseError
from genhouse.generate.lesser import Offer, ever_less, less, standing
from genhouse.generate.why import Requirement, conflict, wishes
from genhouse.model.brief import Recipe
from genhouse.traditions.shelf import sensible

MOST = 3
"""Offers that are made."""
TRIED = 6
"""Houses that are tried for them."""


def contrary(
    recipe: Recipe, stands: Callable[[Recipe], object]
) -> tuple[tuple[Requirement, ...], tuple[Offer, ...]]:
    """What cannot be asked together, or at all, and what would work: found by the checks of a brief alone.

    Empty where the checks find nothing amiss.  stands: raises GenhouseError where a house does not.
    """
    try:
        asked = wishes(recipe.brief)
    except GenhouseError:  # a way of building that there is not: nothing it has can be told
        return (), ()
    if sensible(recipe) or not sensible(less(recipe, asked).recipe):
        return (), ()
    found = conflict(recipe.brief, lambda brief: sensible(replace(recipe, brief=brief)), asked)
    gone = _gone(recipe, asked)
    rest = less(recipe, gone).recipe
    kept = [wish for wish in asked if wish not in gone]
    near = list(islice(_nearest(recipe, found, gone), TRIED))
    far = (offer for offer in ever_less(rest, kept) if sensible(offer.recipe))
    ways = tuple(islice(standing(near, stands), MOST))
    return found, ways or tuple(islice(standing(islice(far, TRIED - len(near)), stands), 1))


def _gone(recipe: Recipe, asked: Sequence[Requirement]) -> list[Requirement]:
    """What does not go with what stands before it in the brief."""
    kept: list[Requirement] = []
    for wish in asked:
        if sensible(less(recipe, [r for r in asked if r not in kept and r != wish]).recipe):
            kept.append(wish)
    return [wish for wish in asked if wish not in kept]


def _nearest(
    recipe: Recipe, found: Sequence[Requirement], gone: Sequence[Requirement]
) -> Iterator[Offer]:
    """The brief without one wish of the conflict, and without all that has to go."""
    some = [[wish] for wish in reversed(found)] + ([[*gone]] if len(gone) > 1 else [])
    return (offer for given in some if sensible((offer := less(recipe, given)).recipe))
