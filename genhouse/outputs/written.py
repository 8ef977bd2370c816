"""Which files of a folder genhouse wrote, and whether they are as it wrote them.

The document of a folder (``house.json``, ``ideas.json``, ``variants.json``) ends with a list ``files``:
the name and SHA-256 of each file that was written with it or added to it.  The document lists itself
too, by what stands before that list, so that adding a file leaves the rest as it was.
"""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import NamedTuple

from genhouse.core.errors import UnreadableError
from genhouse.core.reading import DOCUMENT, MB, json_value, read_bytes
from genhouse.outputs.marks import HOUSE_FORMAT


class Marker(NamedTuple):
    """What tells a folder of ours: a document in it, the format it names, and what we call it."""

    file: str
    format: str
    noun: str


HOUSE = Marker("house.json", HOUSE_FORMAT, "house")
IDEAS = Marker("ideas.json", "genhouse-ideas", "sheet of ideas")
VARIANTS = Marker("variants.json", "genhouse-variants", "set of variants")
VILLAGE = Marker("village.json", "genhouse-village", "village")
DOCUMENTS = tuple(marker.file for marker in (HOUSE, IDEAS, VARIANTS, VILLAGE))
LIST = b',\n"files": '
"""What comes before the list in a document; within a text of JSON there are no bare line feeds."""

Record = frozenset[tuple[str, str]]
"""Names and digests.  While a file is being replaced, both its digests are there."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """What stands in a folder: files as we wrote them, files of ours that were changed since, and the
    rest, which is the user's own; by name, sorted.  listed: whether its document has a list at all.
    """

    as_written: tuple[str, ...]
    changed: tuple[str, ...]
    own: tuple[str, ...]
    listed: bool


def sealed(files: Mapping[str, bytes], document: str) -> dict[str, bytes]:
    """The files, with the list of them all in the document among them."""
    record = frozenset((name, digest(name, contents)) for name, contents in files.items())
    return {**files, document: with_record(files[document], record)}


def with_record(document: bytes, record: Record) -> bytes:
    """A document with this list in place of its own."""
    import msgspec

    rows = (msgspec.json.encode({"name": n, "sha256": d}) for n, d in sorted(record))
    head = _head(document)
    return (
        head + (LIST[1:] if head == b"{" else LIST) + b"[\n  " + b",\n  ".join(rows) + b"\n]\n}\n"
    )


def digest(name: str, contents: bytes) -> str:
    """SHA-256 of a file; of a document, of what stands before its list."""
    told = _head(contents) if name.rpartition("/")[2] in DOCUMENTS else contents
    return hashlib.sha256(told).hexdigest()


def _head(document: bytes) -> bytes:
    head, found, _ = document.rpartition(LIST)
    return head if found else document.rstrip().removesuffix(b"}").rstrip()


def record_of(folder: Path, document: str) -> Record | None:
    """The list in a folder's document; None where there is none."""
    try:
        value = json_value(read_bytes(folder / document, DOCUMENT))
    except UnreadableError:
        return None
    rows = value.get("files") if isinstance(value, dict) else None
    if not isinstance(rows, list) or not rows:
        return None
    pairs = ((row.get("name"), row.get("sha256")) for row in rows if isinstance(row, dict))
    return frozenset((n, d) for n, d in pairs if isinstance(n, str) and isinstance(d, str))


def bears(folder: Path, marker: Marker) -> bool:
    """Whether a folder was written as what the marker tells: its document says so."""
    try:
        document = json_value(read_bytes(folder / marker.file, DOCUMENT))
    except UnreadableError:
        return False
    return isinstance(document, dict) and document.get("format") == marker.format


def standing(folder: Path, document: str, written: Iterable[str] = ()) -> Standing:
    """What stands in a folder that bears this document, and in the folders in it.

    written: names that count as ours, changed since, where the document has no list.
    Raises OSError where the folder cannot be looked through.
    """
    own_list = record_of(folder, document)
    record = dict.fromkeys(own_list or ())
    # A house among variants keeps a list of its own, to which files may have been added.
    for name in sorted({name for name, _ in record} - {document}):
        inner, _, last = name.rpartition("/")
        if inner and last in DOCUMENTS:
            added = record_of(folder / inner, last) or ()
            record |= dict.fromkeys((f"{inner}/{n}", d) for n, d in added)
    names = {name for name, _ in record} | ({document, *written} if own_list is None else set())
    there = sorted(_files(folder))
    ours = [name for name in there if name in names]
    kept = {name for name in ours if (name, digest_of(folder, name)) in record}
    return Standing(
        as_written=tuple(name for name in ours if name in kept),
        changed=tuple(name for name in ours if name not in kept),
        own=tuple(name for name in there if name not in names),
        listed=own_list is not None,
    )


def digest_of(folder: Path, name: str) -> str:
    """The digest of a file as it stands; of what is no plain file, or cannot be read, none."""
    path = folder / name
    try:
        if path.is_symlink():
            return ""
        if name.rpartition("/")[2] in DOCUMENTS:
            return digest(name, read_bytes(path, 64 * MB))
        if not path.is_file():
            return ""
        with path.open("rb") as file:  # some are larger than memory should be
            return hashlib.file_digest(file, "sha256").hexdigest()
    except (OSError, UnreadableError):
        return ""


def _files(folder: Path, before: str = "") -> Iterator[str]:
    """The names of all files below a folder, a slash between; an empty folder ends in one."""
    for entry in os.scandir(folder):
        name = before + entry.name
        if entry.is_dir(follow_symlinks=False):
            inside = list(_files(Path(entry.path), f"{name}/"))
            yield from inside or [f"{name}/"]
        else:
            yield name
