"""Canonical bytes and SHA-256 of any frozen value.

Lists, dicts and sets are refused: what can still change, or has no order of its own, has no digest.
"""

from __future__ import annotations

import dataclasses
import hashlib
from fractions import Fraction
from typing import Any

import numpy as np
from msgspec import Struct


def canonical(value: Any) -> bytes:
    """Bytes that are equal exactly where the values are.

    Raises TypeError for whatever is not frozen all the way down.
    """
    match value:
        case None | bool() | int():
            return f"{value!r};".encode()
        case Fraction():
            return f"{value.numerator}/{value.denominator};".encode()
        case str():
            return f"s{len(value.encode())}:{value};".encode()
        case bytes():
            return b"b%d:%s;" % (len(value), value)
        case tuple():
            return b"(" + b"".join(map(canonical, value)) + b")"
        case np.ndarray() if not (value.flags.writeable or value.dtype.hasobject):
            little = np.ascontiguousarray(value, dtype=value.dtype.newbyteorder("<"))
            return f"a{little.dtype.str}{value.shape};".encode() + little.tobytes()
        case _ if (names := _fields(value)) is not None:
            inside = b"".join(canonical(name) + canonical(getattr(value, name)) for name in names)
            return f"<{type(value).__name__}".encode() + inside + b">"
    raise TypeError(f"{type(value).__name__} is not a frozen value, so it has no digest")


def digest(value: Any) -> str:
    """SHA-256 of the canonical bytes, as 64 hexadecimal digits."""
    return hashlib.sha256(canonical(value)).hexdigest()


def _fields(value: object) -> tuple[str, ...] | None:
    """The names of a record's fields; None where it is none.  Raises TypeError where it is not frozen."""
    if isinstance(value, Struct):
        frozen, names = value.__struct_config__.frozen, value.__struct_fields__
    elif dataclasses.is_dataclass(value) and not isinstance(value, type):
        frozen = value.__dataclass_params__.frozen  # type: ignore[attr-defined]
        names = tuple(f.name for f in dataclasses.fields(value))
    else:
        return None
    if not frozen:
        raise TypeError(f"{type(value).__name__} is not frozen, so it has no digest")
    return names
