"""What cannot be met together, drawn on the plan: each wish of a conflict as a house has it that asks for
nothing else, at the same gate and from the same seed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from genhouse.core.errors import GenhouseError
from genhouse.desk.refusals import field_of
from genhouse.desk.task import Answer, told
from genhouse.generate.offers import unexplained
from genhouse.generate.recipe import design_shell
from genhouse.generate.why import Requirement, keeping, requirements
from genhouse.model.brief import Recipe

GROUND = ("plot", "plot_least", "plot_most", "outline")
"""Wishes that the paper shows as they are, and without which all lies on another plot."""
GIVEN = ("ground", "gate")
"""Wishes that every one of these houses has."""
MOST = 6
"""Wishes that are drawn."""


def alone(recipe: Recipe, fields: str = "") -> Answer:
    """Of each wish its words, and the wings and courts of a house that has it.  fields: with commas."""
    asked = fields.split(",")
    wishes = [r for r in requirements(recipe.brief) if field_of(r.key) in asked]
    drawn = [r for r in wishes if r.key[0] not in GROUND and isinstance(r.key[0], str)]
    return told([one for wish in drawn[:MOST] for one in _drawn(recipe, wish)])


def _drawn(recipe: Recipe, wish: Requirement) -> Iterator[dict[str, Any]]:
    """Nothing, where no house has it even then."""
    given = [r for r in requirements(recipe.brief) if r.key[0] in GIVEN or r == wish]
    tried = replace(recipe, brief=keeping(recipe.brief, given))
    try:
        with unexplained():
            design = design_shell(tried)
    except GenhouseError:
        return
    yield {
        "field": field_of(wish.key),
        "text": wish.text,
        "wings": design.wings,
        "courts": design.courts,
    }
