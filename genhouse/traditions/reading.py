"""Tables from outside as frozen values: their types say what is meant, and which names must be known.

A field that names something says so in its type, ``Annotated[str, Of("kind")]``: a key of the table
``kind``.  A table of many is a row of ``Pairs``, in its own order.
"""

from __future__ import annotations

import re
from collections.abc import Hashable, Iterator, Mapping
from dataclasses import is_dataclass
from functools import cache, cached_property, reduce
from typing import Annotated, Any, NamedTuple, TypeVar, get_args, get_origin, get_type_hints

import msgspec

from genhouse.core.errors import TraditionError
from genhouse.core.forms import NUMBER
from genhouse.core.learned import learned
from genhouse.core.sentences import closest, quoted

K = TypeVar("K")
V = TypeVar("V")
T = TypeVar("T")
BY_NAME = "by name"
Pairs = Annotated[tuple[tuple[K, V], ...], BY_NAME]
"""What a table holds under its keys, in the order of its file."""


class Of(NamedTuple):
    """Where a name must stand: a key of the table on this path, or a form of cells."""

    path: str


class Table(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A table each of whose keys means something."""


class Register(Table, frozen=True, kw_only=True, dict=True):
    """A table of which some fields are tables of many, whose rows are asked for by name."""

    @cached_property
    def _rows(self) -> dict[str, dict[str, Any]]:
        many = (f.name for f in msgspec.structs.fields(self) if row(f.type)[1])
        return {name: dict(getattr(self, name)) for name in many}

    def row(self, of: str, name: str) -> Any:
        """What stands under a name in the field of so many."""
        return self._rows[of][name]


def read(kind: type[T], data: Mapping[str, Any]) -> T:
    """Tables as their type has them.  Raises TraditionError, with the key that is amiss."""
    plain = _paired(kind, data, "")
    try:
        found = msgspec.convert(plain, learned(kind))
    except msgspec.ValidationError as error:
        raise TraditionError(_said(str(error), plain)) from error
    for where, path, name in _told(kind, found, ""):
        known = NUMBER if path == "form" else reduce(_under, path.split("."), data)
        if name and name not in known:
            what = path.rpartition(".")[2]
            raise TraditionError(
                f"{where[1:]}: there is no {what} {quoted(name)}; {closest(name, known)}"
            )
    return found


def _under(table: Mapping[str, Any], key: str) -> Any:
    return table.get(key, {})


def _paired(kind: Any, value: Any, where: str) -> Any:
    """The same, with tables of many as tuples of pairs.  Raises TraditionError for a key too many."""
    one, pair = row(kind)
    if pair and isinstance(value, Mapping):
        return [(key, _paired(pair[1], some, f"{where}.{key}")) for key, some in value.items()]
    if one and isinstance(value, list):
        return [_paired(one, some, f"{where}[{n}]") for n, some in enumerate(value)]
    if isinstance(value, Mapping) and (known := keys(kind)):
        for key in value:
            if key not in known:
                raise TraditionError(
                    f"{f'{where}.{key}'[1:]}: means nothing; {closest(key, known)}"
                )
        return {key: _paired(known[key][1], some, f"{where}.{key}") for key, some in value.items()}
    return value


def within(kind: Any) -> tuple[Any, ...]:
    """The types of what a row holds."""
    return get_args(get_args(kind)[0] if get_origin(kind) is Annotated else kind)


@cache
def row(kind: Any) -> tuple[Any, tuple[Any, ...]]:
    """The type of each value in a row of any length, and of name and value where it is a table's."""
    of = within(kind)
    if of[1:] != (...,):
        return None, ()
    return of[0], get_args(of[0]) if BY_NAME in get_args(kind) else ()


@cache
def keys(kind: Any) -> dict[str, tuple[str, Any]]:
    """The field and the type of each key of a table."""
    if isinstance(kind, type) and issubclass(kind, msgspec.Struct):
        return {f.encode_name: (f.name, f.type) for f in msgspec.structs.fields(kind)}
    return {k: (k, v) for k, v in get_type_hints(kind).items()} if is_dataclass(kind) else {}


def named(kind: Any) -> str:
    """The path of the table that knows the name which a type means; empty where it means none."""
    return next((noted.path for noted in get_args(kind) if isinstance(noted, Of)), "")


@cache
def _names(kind: Any) -> bool:
    """Whether names that must be known stand somewhere in values of a type."""
    inner: list[Hashable] = [one for one in within(kind) if one is not ...]
    inner += [of for _, of in keys(kind).values()]
    return bool(named(kind)) or any(_names(one) for one in inner)


def _told(kind: Any, value: Any, where: str) -> Iterator[tuple[str, str, str]]:
    """Each name in a value that must be known: where it stands, the path of what knows it, and itself."""
    one, pair = row(kind)
    if path := named(kind):
        yield where, path, value
    elif pair:
        for key, some in value:
            yield from _told(pair[0], key, where)
            yield from _told(pair[1], some, f"{where}.{key}")
    elif isinstance(value, tuple):
        kinds = [one] * len(value) if one else within(kind)
        for n, (of, some) in enumerate(zip(kinds, value, strict=True)):
            yield from _told(of, some, f"{where}[{n}]")
    else:
        for key, (name, of) in keys(kind).items():
            if _names(of):
                yield from _told(of, getattr(value, name), f"{where}.{key}")


def _said(error: str, plain: Any) -> str:
    """A sentence of msgspec's, with the place named as in the file."""
    words, _, path = error.partition(" - at `$")
    where = ""
    for key, number in re.findall(r"\.([\w-]+)|\[(\d+)\]", path):
        if isinstance(plain, tuple):  # a pair: its second is what stands under its first
            where, plain = f"{where.rpartition('[')[0]}.{plain[0]}", plain[1]
        else:
            plain = plain[key or int(number)]
            where += f".{key}" if key else f"[{number}]"
    return f"{where[1:] or 'the tables'}: {words[0].lower()}{words[1:]}"
