"""Canonical bytes and SHA-256 of any frozen value.

Lists, dicts and sets are refused: what can still change, or has no order of its own, has no digest.
"""

from __future__ import annotations

import dataclasses
import hashlib
from fractions import Fraction
from typing import Any

import numpy as np


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
        case _ if dataclasses.is_dataclass(value) and not isinstance(value, type):
            if not value.__dataclass_params__.frozen:  # type: ignore[attr-defined]
                raise TypeError(f"{type(value).__name__} is not frozen, so it has no digest")
            fields = (f.name for f in dataclasses.fields(value))
            inside = b"".join(canonical(name) + canonical(getattr(value, name)) for name in fields)
            return f"<{type(value).__name__}".encode() + inside + b">"
    raise TypeError(f"{type(value).__name__} is not a frozen value, so it has no digest")


def digest(value: Any) -> str:
    """SHA-256 of the canonical bytes, as 64 hexadecimal digits."""
    return hashlib.sha256(canonical(value)).hexdigest()
