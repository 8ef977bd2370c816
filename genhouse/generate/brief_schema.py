"""The schema of a brief, for forms and editors: JSON Schema, draft 2020-12."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from typing import Any

from genhouse.core.axes import SIDES
from genhouse.model.bounds import BOUNDS, LARGEST_PLOT, SMALLEST_PLOT
from genhouse.model.brief import Brief
from genhouse.model.keys import KEYS
from genhouse.traditions.shelf import tables

TABLES = {"": "Brief", "sides": "Sides", "ground": "Ground", "roof": "RoofWish", "rooms": "Wish"}
"""The record of each table of a brief."""


def schema(tradition: str = Brief().tradition) -> dict[str, Any]:
    """What a brief may say, with the names that a tradition has."""
    import msgspec

    whole = msgspec.json.schema(Brief)
    known = names_of(tradition)
    for key in KEYS:
        properties = whole["$defs"][TABLES[key.table]]["properties"]
        entry = _said(properties[key.word])
        for words in _parts(entry, "string"):
            words |= {"enum": known[key.name]} if key.name in known else {}
        for number, bounds in zip(_parts(entry, "integer"), _bounds(key.name), strict=False):
            number |= dict(zip(("minimum", "maximum"), bounds, strict=True))
        entry |= {"description": key.meaning, "examples": [example_of(key.example)]}
        properties[key.word] = entry
    for table in whole["$defs"].values():
        table["additionalProperties"] = False
        table.pop("description", None)
    head = {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": "A client's brief"}
    return head | whole


def names_of(tradition: str) -> dict[str, list[str]]:
    """The names that there are to choose from, by key."""
    data = tables(tradition)
    kinds = list(data["kind"])
    return {
        "gate": list(SIDES),
        "palette": list(data["palette"]),
        "outline": list(data["plan"]["outlines"]),
        "arrangement": list(data["plan"]["arrangements"]),
        "garden": list(data["plan"]["gardens"]),
        "trade": list(data.get("trade", ())),
        "roof.profile": [profile["name"] for profile in data["roof"]["profiles"]],
        **{f"rooms.{word}": kinds for word in ("kind", "beside", "beside_any", "away")},
    }


def example_of(text: str) -> Any:
    """The value that an example writes in TOML."""
    return tomllib.loads(f"value = {text}")["value"]


def _said(entry: dict[str, Any]) -> dict[str, Any]:
    """An entry without what TOML cannot say: nothing at all."""
    kinds = [kind for kind in entry.get("anyOf", ()) if kind.get("type") != "null"]
    rest = {k: v for k, v in entry.items() if k != "anyOf" and (k, v) != ("default", None)}
    return rest | (kinds[0] if len(kinds) == 1 else {"anyOf": kinds} if kinds else {})


def _parts(entry: dict[str, Any], kind: str) -> Iterator[dict[str, Any]]:
    """The parts of an entry that are of a kind, within lists too."""
    items = entry.get("items")
    for part in (entry, items, *entry.get("anyOf", ()), *entry.get("prefixItems", ())):
        if isinstance(part, dict) and part.get("type") == kind:
            yield part


def _bounds(name: str) -> tuple[tuple[int, int], ...]:
    """Least and most of a key's number, or of each of its two."""
    if name.startswith("plot"):
        return tuple(zip(SMALLEST_PLOT, LARGEST_PLOT, strict=True))
    return (BOUNDS[name],) * 2 if name in BOUNDS else ()
