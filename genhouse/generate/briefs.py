"""Read a client's brief."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import fields, replace
from pathlib import Path
from typing import Any

from genhouse.core.errors import BriefError
from genhouse.model.brief import Brief, RoofWish, Wish
from genhouse.model.roof import ROOF_FORMS, WINGS
from genhouse.traditions.shelf import check_brief, check_name

KEYS = tuple(field.name for field in fields(Brief))


def read_brief(path: Path) -> Brief:
    """Read a TOML brief.  Raises BriefError, naming the file and the key."""
    try:
        tables = tomllib.loads(path.read_text("utf-8"))
    except OSError as error:
        raise BriefError(f"brief: {path} cannot be read ({error.strerror})") from error
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise BriefError(f"brief: {path} is not TOML: {error}") from error
    try:
        return parse_brief(tables)
    except BriefError as error:
        raise BriefError(f"{path.name}: {error}") from error


def parse_brief(tables: Mapping[str, Any]) -> Brief:
    """A brief from its keys and values.  Raises BriefError where one is unknown or of the wrong kind."""
    import msgspec

    for key in tables:
        check_name("key", key, KEYS)
    for where, table, known in _nested(tables):
        for key in table:
            check_name("key", key, known, where=where)
        if where == "roof":
            _check_forms(table)
    if isinstance(low := tables.get("low"), list):
        for n, wing in enumerate(low):
            check_name("wing", wing, WINGS, where=f"low[{n}]")
    try:
        brief = msgspec.convert(dict(tables), Brief)
    except msgspec.ValidationError as error:
        raise BriefError(_sentence(str(error))) from error
    check_brief(brief)
    return brief


def _nested(tables: Mapping[str, Any]) -> Iterator[tuple[str, Mapping[str, Any], tuple[str, ...]]]:
    """The tables within a brief: where each stands, and the keys it may have."""
    roof, rooms = tables.get("roof"), tables.get("rooms")
    if isinstance(roof, Mapping):
        yield "roof", roof, tuple(field.name for field in fields(RoofWish))
    if isinstance(rooms, list):
        for n, wish in enumerate(rooms):
            if isinstance(wish, Mapping):
                yield f"rooms[{n}]", wish, tuple(field.name for field in fields(Wish))


def _check_forms(roof: Mapping[str, Any]) -> None:
    """Raises BriefError, naming the forms there are, for a roof of another."""
    for key in ("form", *WINGS):
        if isinstance(value := roof.get(key), str):
            known = (*ROOF_FORMS, "inward") if key == "form" else ROOF_FORMS
            check_name("form", value, known, where=f"roof.{key}")


def with_options(brief: Brief, **options: Any) -> Brief:
    """A brief in which the options that are not None replace what it says."""
    return replace(brief, **{key: value for key, value in options.items() if value is not None})


def _sentence(message: str) -> str:
    """msgspec's message, key first: ``plot[0]: expected `int`, got `str```."""
    text, _, where = message.partition(" - at `$.")
    text = text[:1].lower() + text[1:]
    return f"{where.rstrip('`')}: {text}" if where else text
