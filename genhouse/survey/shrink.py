"""The smallest recipe that still shows a fault: each thing it says is left out in turn, and stays out
where the fault is still there."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import fields, replace
from typing import TypeVar

from genhouse.model.brief import Brief, Ground, Recipe, RoofWish, Sides, Wish
from genhouse.traditions.shelf import sensible

Table = TypeVar("Table", Brief, Ground, RoofWish, Sides, Wish)
TRIES = 60
"""Houses designed for one recipe, at most."""
SEEDS = 8
"""Small seeds that are tried in place of a large one."""


def smallest(recipe: Recipe, shows: Callable[[Recipe], bool], tries: int = TRIES) -> Recipe:
    """A recipe that shows the fault, and of which nothing can be left out, as far as so many tries go.

    shows: whether a recipe has the fault, as the one that is given does.
    """
    left = tries
    smaller = _smaller(recipe)
    while left and (other := next(smaller, None)) is not None:
        if not sensible(other):
            continue
        left -= 1
        if shows(other):
            recipe, smaller = other, _smaller(other)
    return recipe


def _smaller(recipe: Recipe) -> Iterator[Recipe]:
    """Recipes that say less, those that say least first."""
    brief = recipe.brief
    if brief != Brief():
        yield replace(recipe, brief=Brief())
    if recipe.stage_seeds:
        yield replace(recipe, stage_seeds=())
    for n, _ in enumerate(recipe.stage_seeds[1:] and recipe.stage_seeds):
        yield replace(recipe, stage_seeds=recipe.stage_seeds[:n] + recipe.stage_seeds[n + 1 :])
    for key in said(brief):
        yield replace(recipe, brief=without(brief, key))
    for n, wish in enumerate(brief.rooms):
        others = brief.rooms[:n] + brief.rooms[n + 1 :]
        yield replace(recipe, brief=replace(brief, rooms=others))
        for key in said(wish):
            less = (*brief.rooms[:n], without(wish, key), *brief.rooms[n + 1 :])
            yield replace(recipe, brief=replace(brief, rooms=less))
    for key in said(brief.roof):
        yield replace(recipe, brief=replace(brief, roof=without(brief.roof, key)))
    for key in said(brief.sides):
        yield replace(recipe, brief=replace(brief, sides=without(brief.sides, key)))
    for key in said(brief.ground):
        yield replace(recipe, brief=replace(brief, ground=without(brief.ground, key)))
    yield from (replace(recipe, seed=seed) for seed in range(min(SEEDS, recipe.seed)))


def said(table: Brief | Ground | RoofWish | Sides | Wish) -> list[str]:
    """Keys that say something, and could be left out."""
    silent = _silent(table)
    return [f.name for f in fields(table) if getattr(table, f.name) != getattr(silent, f.name)]


def without(table: Table, key: str) -> Table:
    """The same, saying nothing under a key."""
    return replace(table, **{key: getattr(_silent(table), key)})


def _silent(
    table: Brief | Ground | RoofWish | Sides | Wish,
) -> Brief | Ground | RoofWish | Sides | Wish:
    return Wish(kind=table.kind) if isinstance(table, Wish) else type(table)()
