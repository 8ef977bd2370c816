"""A brief that contradicts itself: which of its wishes do, and what is left of it that stands."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

from genhouse.core.errors import GenhouseError
from genhouse.generate.lesser import Offer, ever_less, less
from genhouse.generate.why import Requirement, conflict, wishes, without
from genhouse.model.brief import Brief, Recipe
from genhouse.traditions.shelf import check_brief, check_recipe

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
    if _sensible(recipe.brief) or not _sensible(without(recipe.brief, asked)):
        return (), ()
    found = conflict(recipe.brief, _sensible, asked)
    return found, tuple(_standing(_less(recipe, asked, found), stands))


def _sensible(brief: Brief) -> bool:
    try:
        check_brief(brief)
    except GenhouseError:
        return False
    return True


def _less(
    recipe: Recipe, asked: Sequence[Requirement], found: Sequence[Requirement]
) -> Iterator[Offer]:
    """Without one wish of the conflict, without all that goes with none before it, and ever less."""
    yield from (less(recipe, [r]) for r in reversed(found))
    kept: list[Requirement] = []
    for wish in asked:
        beside = [r for r in asked if r not in kept and r != wish]
        if _sensible(without(recipe.brief, beside)):
            kept.append(wish)
    gone = [r for r in asked if r not in kept]
    if len(gone) > 1:
        yield less(recipe, gone)
    yield from ever_less(replace(recipe, brief=without(recipe.brief, gone)), kept)


def _standing(some: Iterator[Offer], stands: Callable[[Recipe], object]) -> Iterator[Offer]:
    made = tried = 0
    for offer in some:
        if made == MOST or tried == TRIED or (made and offer.text.startswith("nothing but")):
            return
        try:
            check_recipe(offer.recipe)
            tried += 1
            stands(offer.recipe)
        except GenhouseError:
            continue
        made += 1
        yield offer
