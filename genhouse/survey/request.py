"""What is surveyed: which recipes, in which order, told in ``survey.json``."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import msgspec
from msgspec import Struct

from genhouse.core.errors import UnreadableError, VersionError
from genhouse.core.reading import DOCUMENT, as_record, json_value, read_bytes, said
from genhouse.generate import mixed
from genhouse.generate.remade import brief_said
from genhouse.generate.taken import brief_of
from genhouse.model.brief import Brief, Recipe
from genhouse.traditions.shelf import check_recipe

DOCUMENT_FILE = "survey.json"
FORMAT, VERSION = "genhouse-survey", 1


class Request(Struct, frozen=True, kw_only=True):
    """Seeds from first to before end; a house of each tradition for each of them.

    sample: so many mixed briefs, drawn by the rule of this name, which the seeds have in turn: each
    seed that of its remainder.
    """

    first: int
    end: int
    brief: Brief = Brief()
    stage_seeds: tuple[tuple[str, int], ...] = ()
    traditions: tuple[str, ...] = ()
    sample: int = 0
    rule: str = ""

    def __len__(self) -> int:
        return (self.end - self.first) * max(1, len(self.traditions))

    def recipe(self, place: int) -> Recipe:
        """The recipe at a place.

        >>> Request(first=5, end=9, traditions=("brick", "timber")).recipe(3).brief.tradition
        'timber'
        """
        turn, which = divmod(place, max(1, len(self.traditions)))
        seed = self.first + turn
        name = self.traditions[which] if self.traditions else self.brief.tradition
        if self.sample:
            brief = mixed.brief(seed % self.sample, name)
        else:
            brief = replace(self.brief, tradition=name)
        return Recipe(seed=seed, brief=brief, stage_seeds=self.stage_seeds)

    def recipes(self, since: int = 0) -> Iterator[Recipe]:
        """Those from a place on, as they are needed."""
        return (self.recipe(place) for place in range(since, len(self)))

    @property
    def words(self) -> str:
        """What is asked for, in words."""
        seeds = f"seeds {self.first} to {self.end - 1}"
        if self.sample:
            seeds += f", {self.sample} mixed briefs in turn (rule {self.rule})"
        elif said_keys := brief_said(self.brief):
            seeds += f", a brief with {', '.join(said_keys)}"
        return f"{seeds}, {' and '.join(self.traditions)}" if self.traditions else seeds


def request(**keys: Any) -> Request:
    """A request.  Raises BriefError or InfeasibleError where its first recipe makes no sense."""
    asked = Request(**keys, rule=mixed.RULE if keys.get("sample") else "")
    if not asked.sample:
        check_recipe(asked.recipe(0))
    return asked


def document(asked: Request, build: str) -> bytes:
    """``survey.json``: what is surveyed, by which genhouse, and where its rows are."""
    plain = msgspec.to_builtins(asked) | {"brief": brief_said(asked.brief)}
    value = {
        "format": FORMAT,
        "version": VERSION,
        "genhouse": build,
        "rows": {"file": "rows.sqlite", "kind": "SQLite 3", "table": "rows", "order": "n"},
        "request": plain,
    }
    return msgspec.json.format(msgspec.json.encode(value), indent=2) + b"\n"


def read_document(folder: Path) -> tuple[Request, str]:
    """What a folder's survey is of, and the build that it was made with.  Raises UnreadableError."""
    path = folder / DOCUMENT_FILE
    contents = read_bytes(path, DOCUMENT)
    try:
        value = json_value(contents)
    except UnreadableError as error:
        raise UnreadableError(f"{said(path)} cannot be read: {error}") from error
    if not isinstance(value, dict) or value.get("format") != FORMAT:
        raise UnreadableError(f"{said(path)} is of no survey")
    if value.get("version") != VERSION:
        raise VersionError(f"{said(path)} is of another version of the format")
    plain: Any = value.get("request")
    try:
        brief = brief_of(plain.pop("brief"))
        asked = as_record(plain, Request)
        return msgspec.structs.replace(asked, brief=brief), str(value["genhouse"])
    except (AttributeError, KeyError, TypeError, ValueError) as error:
        raise UnreadableError(f"{said(path)} is of no survey: {error}") from error
