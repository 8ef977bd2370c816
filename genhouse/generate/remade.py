"""How a recipe is written down, so that its house can be made again: as one line, or as JSON."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import msgspec

from genhouse.core.errors import UnreadableError
from genhouse.core.reading import json_value
from genhouse.generate.taken import recipe_of
from genhouse.model.brief import Brief, Recipe


def line(recipe: Recipe) -> str:
    """The call that remakes a house.

    >>> line(Recipe(seed=7, brief=Brief(plot=(23, 32))))
    "genhouse.design(7, {'plot': (23, 32)})"
    """
    said = brief_said(recipe.brief)
    words = [repr(recipe.seed), *([repr(said)] if said else [])]
    words += [f"{stage}={seed}" for stage, seed in recipe.stage_seeds]
    return f"genhouse.design({', '.join(words)})"


def recipe_text(recipe: Recipe) -> str:
    """A recipe as JSON; what its brief leaves to the seed is left out.

    >>> recipe_text(Recipe(seed=7, brief=Brief(plot=(23, 32))))
    '{"seed":7,"brief":{"plot":[23,32]}}'
    """
    value: dict[str, Any] = {"seed": recipe.seed}
    if said := brief_said(recipe.brief):
        value["brief"] = said
    if recipe.stage_seeds:
        value["stage_seeds"] = dict(recipe.stage_seeds)
    return msgspec.json.encode(value).decode()


def read_recipe(text: str) -> Recipe:
    """The recipe of such a text.  Raises UnreadableError, and BriefError for a brief that is amiss.

    >>> read_recipe('{"seed":7,"brief":{"plot":[23,32]}}').brief.plot
    (23, 32)
    """
    value = json_value(text.encode())
    if not isinstance(value, Mapping) or not {"seed"} <= set(value) <= KEYS:
        raise UnreadableError(
            "it is no recipe: it wants a seed, and may have brief and stage_seeds"
        )
    return recipe_of(value["seed"], value.get("brief"), value.get("stage_seeds", ()))


KEYS = {"seed", "brief", "stage_seeds"}


def brief_said(brief: Brief) -> dict[str, Any]:
    """The keys of a brief that say something, and their values."""
    default, given = msgspec.to_builtins(Brief()), msgspec.to_builtins(brief)
    said = {key: value for key, value in given.items() if value != default[key]}
    for table in ("sides", "roof"):
        if table in said:
            said[table] = {k: v for k, v in said[table].items() if v != default[table][k]}
    return said | {"rooms": [_said(wish) for wish in said["rooms"]]} if "rooms" in said else said


def _said(wish: dict[str, Any]) -> dict[str, Any]:
    return {k: v for k, v in wish.items() if v not in (None, ()) and (k, v) != ("count", 1)}
