"""Read a client's brief."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import asdict, fields, replace
from pathlib import Path
from typing import Any

from genhouse.core.errors import BriefError, UnreadableError
from genhouse.core.learned import learned
from genhouse.core.reading import BRIEF, check_numbers, read_text, said, toml_tables
from genhouse.core.sentences import LONGEST, plain
from genhouse.generate.slope_files import read_ground
from genhouse.generate.told import for_people, wanted
from genhouse.model.brief import PARTY, Brief, Ground, RoofWish, Sides, Wish
from genhouse.model.roof import ROOF_FORMS, WINGS
from genhouse.traditions.shelf import at_hand, check_brief, check_name

KEYS = tuple(field.name for field in fields(Brief))


def read_brief(path: Path) -> Brief:
    """Read a TOML brief.  Raises BriefError, naming the file and the key."""
    try:
        text = read_text(path, BRIEF)
    except UnreadableError as error:
        raise BriefError(f"brief: {error}") from error
    try:
        return _checked(_parsed(_with_ground(toml_tables(text), path.parent), path.parent))
    except UnreadableError as error:
        raise BriefError(f"brief: {said(path)} is not TOML: {error}") from error
    except BriefError as error:
        raise BriefError(f"{path.name}: {for_people(str(error), text)}") from error


def _with_ground(tables: Mapping[str, Any], base: Path) -> Mapping[str, Any]:
    """The tables with the levels of the file that their ground names.  Raises BriefError."""
    if not isinstance(name := tables.get("ground"), str):
        return tables
    return {**tables, "ground": asdict(read_ground(base / name))}


def parse_brief(tables: Mapping[str, Any]) -> Brief:
    """A brief from its keys and values.  Raises BriefError where one is unknown or of the wrong kind, and
    where no house is as they ask."""
    try:
        return _checked(_parsed(tables))
    except BriefError as error:
        raise BriefError(for_people(str(error))) from error


def understood(tables: Mapping[str, Any]) -> Brief:
    """The same where what it asks may contradict itself: no more than its keys and kinds are checked."""
    try:
        return _parsed(tables)
    except BriefError as error:
        raise BriefError(for_people(str(error))) from error


def _checked(brief: Brief) -> Brief:
    check_brief(brief)
    return brief


def _parsed(tables: Mapping[str, Any], base: Path = Path()) -> Brief:
    """base: where the paths in it begin."""
    import msgspec

    try:
        check_numbers(tables)
    except UnreadableError as error:
        raise BriefError(f"brief: {error}") from error
    for key in tables:
        check_name("key", key, KEYS, where=_shown(key))
    for where, table, known in _nested(tables):
        for key in table:
            check_name("key", key, known, where=f"{where}.{_shown(key)}")
        if where == "roof":
            _check_forms(table)
        for key, value in table.items() if where == "sides" else ():
            if isinstance(value, str):
                check_name("kind of side", value, (PARTY,), where=f"sides.{key}")
    if isinstance(low := tables.get("low"), list):
        for n, wing in enumerate(w for w in low if isinstance(w, str)):
            check_name("wing", wing, WINGS, where=f"low[{n}]")
    try:
        brief = msgspec.convert(dict(tables), learned(Brief))
    except msgspec.ValidationError as error:
        raise BriefError(_sentence(str(error))) from error
    return replace(brief, tradition=at_hand(brief.tradition, base))


def _shown(key: object) -> str:
    """A key that may be anything, on one line and short."""
    return plain(str(key)[:LONGEST])


def _nested(tables: Mapping[str, Any]) -> Iterator[tuple[str, Mapping[str, Any], tuple[str, ...]]]:
    """The tables within a brief: where each stands, and the keys it may have."""
    for where, kind in (("sides", Sides), ("ground", Ground), ("roof", RoofWish)):
        if isinstance(table := tables.get(where), Mapping):
            yield where, table, tuple(field.name for field in fields(kind))
    rooms = tables.get("rooms")
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
    """msgspec's message as what the key wants: ``plot: it wants two whole numbers, such as [25, 31]``."""
    text, _, place = message.partition(" - at `$.")
    place = place.rstrip("`")
    return wanted(place) or (f"{place}: {text[:1].lower()}{text[1:]}" if place else text)
