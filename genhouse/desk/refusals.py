"""Why not: a refusal as the page tells it, each beside the field that it is about."""

from __future__ import annotations

import re
from collections.abc import Iterator

from genhouse.core.errors import GenhouseError, InfeasibleError
from genhouse.desk.address import query
from genhouse.desk.task import Answer, sentence
from genhouse.generate.offers import ExplainedError, Offer

PLACE = re.compile(r"(?:rooms (\d+)(?:, `(\w+)`)?|([a-z_]+(?:\.[a-z_]+)?))(?:\[\d+\])?: ")
"""How a refusal of a brief begins: where what it is about stands."""


def refused(error: GenhouseError) -> Answer:
    """A refusal, with the fields that it is about and what would work, as addresses."""
    offers = [{"text": way.text, "query": query(way.recipe)} for way in _ways(error)]
    words = error.message if isinstance(error, InfeasibleError) else str(error)
    return sentence(words, fields=list(dict.fromkeys(_fields(error))), offers=offers)


def _ways(error: GenhouseError) -> tuple[Offer, ...]:
    return error.ways if isinstance(error, ExplainedError) else ()


def _fields(error: GenhouseError) -> Iterator[str]:
    """Fields of the form, such as ``plot``, ``roof.form`` or ``rooms.0.count``."""
    if isinstance(error, ExplainedError) and error.conflict:
        yield from (field_of(requirement.key) for requirement in error.conflict)
    elif place := PLACE.match(str(error)):
        line, word, key = place.groups()
        yield key or ".".join(["rooms", str(int(line) - 1), *([word] if word else [])])


def field_of(key: tuple[str | int, ...]) -> str:
    """Where in the form a requirement stands."""
    line = ("rooms", *key) if isinstance(key[0], int) else key
    return ".".join(map(str, line))
