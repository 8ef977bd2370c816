"""A recipe as the query of an address, and back: every state of the desk is a link.

``seed=7&brief={"plot":[23,32]}&fittings=3``: the seed, the brief as JSON, and seeds of stages by name.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any
from urllib.parse import parse_qsl, quote, urlencode

import msgspec

from genhouse.core.errors import BriefError, UnreadableError
from genhouse.core.reading import BRIEF, json_value
from genhouse.core.sentences import quoted
from genhouse.generate.briefs import understood
from genhouse.generate.remade import brief_said
from genhouse.generate.taken import plain, whole
from genhouse.model.brief import STAGE_NAMES, Recipe
from genhouse.traditions.lent import is_path

LONGEST = BRIEF
"""Letters of a query, at most: as many as a brief may have."""
MOST = 64
"""Words of a query."""


def query(recipe: Recipe) -> str:
    """The address of a recipe; what its brief leaves to the seed is left out.

    >>> from genhouse.model.brief import Brief
    >>> query(Recipe(seed=7, brief=Brief(plot=(23, 32)), stage_seeds=(("fittings", 3),)))
    'seed=7&brief={"plot":[23,32]}&fittings=3'
    """
    words = {"seed": str(recipe.seed)}
    if said := brief_said(recipe.brief):
        words["brief"] = msgspec.json.encode(said).decode()
    words |= {stage: str(seed) for stage, seed in recipe.stage_seeds}
    return urlencode(words, quote_via=quote, safe='{}[]",:')


def recipe_at(text: str) -> Recipe:
    """The recipe of an address; words that it does not know are left alone.  Raises BriefError.

    >>> recipe_at("seed=7&roof=2&look=court").stage_seeds
    (('roof', 2),)
    """
    return recipe_in(words_of(text))


def words_of(text: str, most: int = LONGEST) -> tuple[tuple[str, str], ...]:
    """The words of a query, or of a form.  most: letters.  Raises BriefError where there are too many."""
    if len(text) > most:
        raise BriefError(f"address: it is longer than {most} letters")
    try:
        return tuple(parse_qsl(text, keep_blank_values=True, max_num_fields=MOST))
    except ValueError as error:
        raise BriefError(f"address: it has more than {MOST} words") from error


def recipe_in(words: Iterable[tuple[str, str]]) -> Recipe:
    """The recipe among the words of a query, which may contradict itself.  Raises BriefError for what is
    not understood."""
    said = dict(words)
    stages = {name: _number(name, said[name]) for name in STAGE_NAMES if name in said}
    return Recipe(
        seed=_number("seed", said.get("seed", "7")),
        brief=understood(plain(_tables(said.get("brief")))),
        stage_seeds=tuple(sorted(stages.items())),
    )


def _tables(text: str | None) -> dict[str, Any]:
    if not text:
        return {}
    try:
        value = json_value(text.encode())
    except UnreadableError as error:
        raise BriefError(f"brief: it is not JSON: {error}") from error
    if not isinstance(value, dict):
        raise BriefError("brief: it wants keys and values")
    if is_path(str(value.get("tradition", ""))):
        raise BriefError("tradition: an address opens no folder; name one of those at hand")
    return value


def _number(what: str, text: str) -> int:
    if not (text.isascii() and text.isdigit() and len(text) <= 20):
        raise BriefError(f"{what}: {quoted(text)} is not a whole number from 0 to 2**64 - 1")
    return whole(what, int(text))
