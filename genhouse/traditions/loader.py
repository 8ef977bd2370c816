"""Traditions from the shelf, read and found sound."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from msgspec.structs import asdict

from genhouse.core.errors import TraditionError
from genhouse.core.kept import once
from genhouse.traditions.reading import read
from genhouse.traditions.rules import broken
from genhouse.traditions.shelf import file_of, tables
from genhouse.traditions.tradition import Tables, Tradition


@once
def load_tradition(name: str) -> Tradition:
    """Raises BriefError for an unknown name and TraditionError for malformed data."""
    return parse_tradition(name, tables(name))


def parse_tradition(name: str, data: Mapping[str, Any]) -> Tradition:
    """Build a tradition from its TOML tables.  Raises TraditionError, naming the file and the key."""
    try:
        found = read(Tables, _with_names(data))
        for sentence in broken(found):
            raise TraditionError(sentence)
    except TraditionError as error:
        raise TraditionError(f"{file_of(name, str(error))}: {error}") from error
    return Tradition(**asdict(found), name=name, storeys=found.heights.stacked(2))


def _with_names(data: Mapping[str, Any]) -> Mapping[str, Any]:
    """The same, each material with the name that it stands under."""
    materials = data.get("material", {})
    if not isinstance(materials, Mapping) or not all(
        isinstance(m, Mapping) for m in materials.values()
    ):
        return data
    return {**data, "material": {name: {**m, "name": name} for name, m in materials.items()}}
