"""The timber tradition's tables with other names in them, wherever their types say that a name stands."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from genhouse.traditions.reading import keys, named, row, within
from genhouse.traditions.shelf import tables
from genhouse.traditions.tradition import Tables


def backwards(path: str) -> dict[str, Any]:
    """The tables in which all names of one table are spelt backwards."""

    def other(table: str, name: str) -> str:
        return name[::-1] if table == path else name

    data: dict[str, Any] = _renamed(Tables, tables("timber"), other)
    data[path] = {name[::-1]: value for name, value in data[path].items()}
    return data


def _renamed(kind: Any, value: Any, other: Callable[[str, str], str]) -> Any:
    if path := named(kind):
        return other(path, value)
    of, pair = row(kind)
    if isinstance(value, Mapping):
        if pair:
            key, inner = pair
            return {
                _renamed(key, name, other): _renamed(inner, some, other)
                for name, some in value.items()
            }
        return {
            key: _renamed(keys(kind)[key][1], some, other) if key in keys(kind) else some
            for key, some in value.items()
        }
    if isinstance(value, list):
        kinds = [of] * len(value) if of else within(kind)
        return [_renamed(one, some, other) for one, some in zip(kinds, value, strict=True)]
    return value
