"""Types whose values are read from outside, made ready to be read by any thread."""

from __future__ import annotations

from contextlib import suppress
from typing import TypeVar

from genhouse.core.kept import once

T = TypeVar("T")


@once
def learned(kind: type[T]) -> type[T]:
    """The same type, once msgspec knows it.

    It looks into a type where it is first read, and two threads that do so at once crash the process
    (seen with msgspec 0.22).
    """
    import msgspec

    with suppress(msgspec.ValidationError):
        msgspec.convert(None, kind)
    return kind
