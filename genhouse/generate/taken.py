"""What Python hands over, as the values that the program knows: numbers, briefs, recipes, paths.

Lists and tuples, numpy's numbers and arrays, mappings and the classes themselves are taken alike; what
is none of them is refused in one sentence.
"""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence, Set
from dataclasses import fields, is_dataclass
from operator import index
from pathlib import Path
from typing import Any

from genhouse.core.errors import BriefError, GenhouseError
from genhouse.generate.briefs import parse_brief, read_brief
from genhouse.model.brief import Brief, Recipe
from genhouse.traditions.shelf import SEED_BITS, check_stage

DEEPEST = 8
"""Values within values: a brief has four."""


def whole(what: str, value: Any, least: int = 0, most: int = (1 << SEED_BITS) - 1) -> int:
    """A whole number, numpy's too.  Raises BriefError.

    >>> whole("seed", 7)
    7
    """
    said = f"2**{SEED_BITS} - 1" if most == (1 << SEED_BITS) - 1 else str(most)
    refusal = BriefError(f"{what}: {_shown(value)} is not a whole number from {least} to {said}")
    if isinstance(plain(value), bool):
        raise refusal
    try:
        number = index(value)
    except TypeError as error:
        raise refusal from error
    if not least <= number <= most:
        raise refusal
    return number


def plain(value: Any, depth: int = 0) -> Any:
    """Mappings, sequences, arrays and briefs as dicts, lists and numbers.  Raises BriefError."""
    if depth > DEEPEST:
        raise BriefError("brief: it is nested too deep")
    if callable(listed := getattr(value, "tolist", None)):  # numpy's arrays and numbers
        return plain(listed(), depth + 1)
    if is_dataclass(value) and not isinstance(value, type):
        return {f.name: plain(getattr(value, f.name), depth + 1) for f in fields(value)}
    if isinstance(value, Mapping):
        for key in value:
            if not isinstance(key, str):
                raise BriefError(f"brief: {_shown(key)} is no name of a key")
        return {str(key): plain(item, depth + 1) for key, item in value.items()}
    if isinstance(value, Set):
        raise BriefError(f"brief: {_shown(value)} has no order; a list has")
    if isinstance(value, Sequence) and not isinstance(value, (str, bytes, bytearray)):
        return [plain(item, depth + 1) for item in value]
    return value


def brief_of(value: Any) -> Brief:
    """A brief: None for one that leaves all to the seed, a Brief, its keys and values, or the path of
    a TOML file.  Raises BriefError.
    """
    match value:
        case None:
            return Brief()
        case Brief() | Mapping():
            return parse_brief(plain(value))
        case str() | bytes() | os.PathLike():
            return read_brief(path_of("brief", value, BriefError))
    raise BriefError(
        f"brief: {_shown(value)} is neither a Brief, nor its keys and values, nor the path of a file"
    )


def recipe_of(seed: Any, brief: Any = None, stage_seeds: Any = ()) -> Recipe:
    """A recipe.  stage_seeds: seeds by stage, or pairs of them.  Raises BriefError."""
    return Recipe(
        seed=whole("seed", seed),
        brief=brief_of(brief),
        stage_seeds=tuple(sorted((s, whole(s, n)) for s, n in _pairs(stage_seeds))),
    )


def recipe_again(recipe: Any) -> Recipe:
    """A recipe, all that is in it as the program knows it.  Raises BriefError."""
    if not isinstance(recipe, Recipe):
        raise BriefError(f"recipe: {_shown(recipe)} is no Recipe")
    return recipe_of(recipe.seed, recipe.brief, recipe.stage_seeds)


def path_of(what: str, value: Any, error: type[GenhouseError]) -> Path:
    """A path, from text or whatever knows its own.  Raises the error."""
    try:
        return Path(os.fsdecode(value))
    except TypeError as wrong:
        raise error(f"{what}: {_shown(value)} is no path") from wrong


def _pairs(stage_seeds: Any) -> list[tuple[str, Any]]:
    given = plain(stage_seeds)
    rows = list(given.items()) if isinstance(given, dict) else given
    if not isinstance(rows, list) or any(
        not isinstance(row, (list, tuple)) or len(row) != 2 or not isinstance(row[0], str)
        for row in rows
    ):
        raise BriefError(f"stage_seeds: {_shown(stage_seeds)} are no stages and their seeds")
    for stage, _ in rows:
        check_stage(stage)
    return list(dict(rows).items())


def _shown(value: Any) -> str:
    """A value in a sentence: on one line, and not long."""
    try:
        text = " ".join(repr(value).split())
    except Exception:  # whatever a stranger's repr raises
        text = type(value).__name__
    return text if len(text) <= 60 else f"{text[:40]}… ({type(value).__name__})"
