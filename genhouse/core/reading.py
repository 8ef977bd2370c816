"""The one door through which files come in: by kind and size first, then as text, TOML or JSON.

Nothing is opened that could keep one waiting, no more is read than the door allows, and whatever is
wrong is an UnreadableError of one sentence that names the file.
"""

from __future__ import annotations

import os
import stat
import tomllib
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any, TypeVar

from genhouse.core.errors import GenhouseError, UnreadableError
from genhouse.core.learned import learned
from genhouse.core.sentences import plain

KB, MB = 1 << 10, 1 << 20
BRIEF, DOCUMENT, TABLE, ARRAYS = 64 * KB, 8 * MB, 2 * MB, 4 * MB
"""Bytes of a brief, of a document in JSON, of a table and of an archive of arrays, at most: many times
what the largest house has."""
MOST_VALUES = 1 << 20
"""In a document, each within another counted."""
MOST_DOTS = 64
"""Dots on a line of TOML; reading a dotted key takes time by the square of its length."""

SORTS: tuple[tuple[Callable[[int], bool], str], ...] = (
    (stat.S_ISDIR, "a folder"),
    (stat.S_ISFIFO, "a named pipe"),
    (stat.S_ISSOCK, "a socket"),
    (stat.S_ISCHR, "a device"),
    (stat.S_ISBLK, "a device"),
)
T = TypeVar("T")


def read_bytes(path: Path, most: int) -> bytes:
    """What a file holds.  most: bytes.  Raises UnreadableError."""
    with refused(UnreadableError, path, "cannot be read"):
        _check_kind(path, path.stat().st_mode)
        # Where the file became another meanwhile, opening it must not wait.
        handle = os.open(
            path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)
        )
        with os.fdopen(handle, "rb") as file:
            status = os.fstat(file.fileno())
            _check_kind(path, status.st_mode)
            contents = b"" if status.st_size > most else file.read(most + 1)
    if max(status.st_size, len(contents)) > most:
        raise UnreadableError(f"{said(path)} cannot be read: it is larger than {_size(most)}")
    return contents


@contextmanager
def refused(kind: type[GenhouseError], path: Path, what: str) -> Iterator[None]:
    """What the system refuses in here is said of a file, as an error of some kind."""
    try:
        yield
    except GenhouseError:
        raise
    except (OSError, ValueError) as error:
        why = reason(error) if isinstance(error, OSError) else "it is no name of a file"
        raise kind(f"{said(path)} {what}: {why}") from error


def read_text(path: Path, most: int) -> str:
    """What a text file holds, without a byte-order mark.  Raises UnreadableError."""
    try:
        return read_bytes(path, most).decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise UnreadableError(
            f"{said(path)} cannot be read: byte {error.start} is not of a text in UTF-8"
        ) from error


def toml_tables(text: str) -> dict[str, Any]:
    """The tables of a text in TOML.  Raises UnreadableError, without the file's name."""
    for line in text.splitlines():
        if line.count(".") > MOST_DOTS and not line.lstrip().startswith("#"):
            raise UnreadableError(f"a line has more than {MOST_DOTS} dots")
    return _parsed(tomllib.loads, text)


def json_value(contents: bytes) -> Any:
    """The value of a text in JSON.  Raises UnreadableError, without the file's name."""
    import msgspec

    return _parsed(msgspec.json.decode, contents.removeprefix(b"\xef\xbb\xbf"))


def as_record(value: Any, kind: type[T], hook: Callable[[type, Any], Any] | None = None) -> T:
    """A value of plain JSON as a record of some kind.  hook: reads what JSON does not know.

    Raises UnreadableError, without the file's name.
    """
    import msgspec

    check_numbers(value)
    return _parsed(lambda found: msgspec.convert(found, learned(kind), dec_hook=hook), value)


def check_numbers(value: Any) -> None:
    """Raises UnreadableError where a value holds a whole number of more than 64 bits."""
    inside = [value]
    for _ in range(MOST_VALUES):
        if not inside:
            return
        found = inside.pop()
        if isinstance(found, Mapping):
            inside.extend(found.values())
        elif isinstance(found, (list, tuple)):
            inside.extend(found)
        elif isinstance(found, int) and not -(1 << 63) <= found < 1 << 64:
            raise UnreadableError("it holds a whole number of more than 64 bits")
    raise UnreadableError(f"it holds more than {MOST_VALUES} values")


def reason(error: OSError) -> str:
    """Why the system refused, in its own words."""
    return error.strerror.lower() if error.strerror else str(error)


def said(path: Path) -> str:
    """A path in a sentence: on one line, and no longer than one would read."""
    text = plain(str(path))
    return text if len(text) <= 200 else f"{text[:90]}…{text[-90:]}"


def _check_kind(path: Path, mode: int) -> None:
    for of_kind, name in SORTS:
        if of_kind(mode):
            raise UnreadableError(f"{said(path)} cannot be read: it is {name}")


def _parsed(parse: Callable[[Any], T], text: Any) -> T:
    try:
        return parse(text)
    except RecursionError as error:
        raise UnreadableError("it is nested too deep") from error
    except ValueError as error:
        raise UnreadableError(first_line(error)) from error


def first_line(error: Exception) -> str:
    """What an error says, on one line."""
    return plain((str(error) or type(error).__name__).splitlines()[0])[:300]


def _size(most: int) -> str:
    return f"{most // MB} MB" if most >= MB else f"{most // KB} kB"
