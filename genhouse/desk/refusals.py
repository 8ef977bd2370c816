"""Why not: a refusal as the page tells it, each beside the field that it is about."""

from __future__ import annotations

import re
from collections.abc import Iterator

from genhouse.core.errors import GenhouseError, InfeasibleError
from genhouse.desk.address import query
from genhouse.desk.made import house_of
from genhouse.desk.task import Answer, sentence
from genhouse.generate.contrary import contrary
from genhouse.generate.lesser import Offer
from genhouse.generate.offers import ExplainedError, unexplained
from genhouse.generate.told import for_people
from genhouse.generate.why import Requirement
from genhouse.model.brief import Recipe

PLACE = re.compile(r"(?:rooms (\d+)(?:, `(\w+)`)?|([a-z_]+(?:\.[a-z_]+)?))(?:\[\d+\])?: ")
"""How a refusal of a brief begins: where what it is about stands."""


def refused(error: GenhouseError, recipe: Recipe | None = None) -> Answer:
    """A refusal, with the fields that it is about and what would work, as addresses.

    recipe: what was asked for, where it was understood.
    """
    conflict, ways = _reasons(error, recipe)
    fields = dict.fromkeys((*_named(error), *(field_of(r.key) for r in conflict)))
    offers = [{"text": way.text, "query": query(way.recipe)} for way in ways]
    words = error.message if isinstance(error, InfeasibleError) else for_people(str(error))
    return sentence(words, fields=list(fields), offers=offers)


def _reasons(
    error: GenhouseError, recipe: Recipe | None
) -> tuple[tuple[Requirement, ...], tuple[Offer, ...]]:
    if isinstance(error, ExplainedError):
        return error.conflict, error.ways
    if recipe is None:
        return (), ()
    with unexplained():
        return contrary(recipe, house_of)


def _named(error: GenhouseError) -> Iterator[str]:
    """The field with which a refusal begins, such as ``plot``, ``roof.form`` or ``rooms.0.count``; of one
    that knows its conflict, none."""
    if isinstance(error, ExplainedError) and error.conflict:
        return
    if place := PLACE.match(for_people(str(error))):
        line, word, key = place.groups()
        yield key or ".".join(["rooms", str(int(line) - 1), *([word] if word else [])])


def field_of(key: tuple[str | int, ...]) -> str:
    """Where in the form a requirement stands."""
    line = ("rooms", *key) if isinstance(key[0], int) else key
    return ".".join(map(str, line))
