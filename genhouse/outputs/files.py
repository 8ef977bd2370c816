"""Write a folder whole or not at all."""

from __future__ import annotations

import contextlib
import json
import os
import shutil
from collections.abc import Mapping
from pathlib import Path
from typing import NamedTuple

from genhouse.core.errors import WriteError
from genhouse.outputs.marks import HOUSE_FORMAT


class Marker(NamedTuple):
    """What tells a folder of ours: a document in it, the format it names, and what we call it."""

    file: str
    format: str
    noun: str


HOUSE = Marker("house.json", HOUSE_FORMAT, "house")
IDEAS = Marker("ideas.json", "genhouse-ideas", "sheet of ideas")
VARIANTS = Marker("variants.json", "genhouse-variants", "set of variants")


def write_folder(
    target: Path, files: Mapping[str, bytes], *, force: bool, marker: Marker = HOUSE
) -> None:
    """Write the files (name to contents) into a new folder, which appears only when all are there.

    A name may have one folder before it: ``variant-1/house.json``.
    force: replace what stands there, if it is a folder of the same kind (marker) and nothing else.
    Raises WriteError, with nothing left behind and what stood there untouched.
    """
    target = Path(target)
    check_target(target, force=force, marker=marker)
    partial = target.with_name(f".{target.name}.partial-{os.getpid()}")
    try:
        shutil.rmtree(partial, ignore_errors=True)
        _fill(partial, files)
        _put(partial, target)
    except OSError as error:
        raise WriteError(f"{target} was not written: {_reason(error)}") from error
    finally:
        # Also on the way out of an interrupt; after success there is nothing to remove.
        shutil.rmtree(partial, ignore_errors=True)


def check_target(target: Path, *, force: bool, marker: Marker = HOUSE) -> None:
    """Raises WriteError where the folder could not be put there."""
    if not target.name or target.name == "..":
        raise WriteError(f"{target} was not written: it names no folder of its own")
    if not target.parent.is_dir():
        raise WriteError(f"{target} was not written: the folder {target.parent} does not exist")
    if not (target.exists() or target.is_symlink()):
        return
    if target.is_symlink() or not target.is_dir():
        raise WriteError(f"{target} was not written: a file of that name is in the way")
    if any(target.iterdir()):
        if not bears(target, marker):
            raise WriteError(
                f"{target} was not written: a folder that is no {marker.noun} stands there"
            )
        if not force:
            raise WriteError(
                f"{target} was not written: a {marker.noun} stands there; force replaces it"
            )


def bears(folder: Path, marker: Marker) -> bool:
    """Whether a folder was written as what the marker tells: its document says so."""
    try:
        document = json.loads((folder / marker.file).read_bytes())
    except (OSError, ValueError):
        return False
    return isinstance(document, dict) and document.get("format") == marker.format


def _fill(folder: Path, files: Mapping[str, bytes]) -> None:
    folder.mkdir()
    for name, contents in files.items():
        parts = name.split("/")
        if len(parts) > 2 or any(p in ("", "..") or Path(p).name != p for p in parts):
            raise OSError(f"{name!r} is not a plain file name")
        path = folder.joinpath(*parts)
        path.parent.mkdir(exist_ok=True)
        write_file(path, contents)
    for inner in sorted({(folder / name).parent for name in files} | {folder}):
        _settle(inner)


def write_file(path: Path, contents: bytes) -> None:
    """Write and flush to the disk."""
    with path.open("wb") as file:
        file.write(contents)
        file.flush()
        os.fsync(file.fileno())


def add_files(folder: Path, files: Mapping[str, bytes]) -> None:
    """Set further files beside those of a folder, each whole or not at all.  Raises WriteError."""
    for name, contents in files.items():
        partial = folder / f".{name}.partial-{os.getpid()}"
        try:
            write_file(partial, contents)
            partial.replace(folder / name)
        except OSError as error:
            raise WriteError(f"{folder / name} was not written: {_reason(error)}") from error
        finally:
            partial.unlink(missing_ok=True)


def _settle(folder: Path) -> None:
    """Flush a folder's own entries, where the system allows it."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _put(partial: Path, target: Path) -> None:
    """Rename into place; what stood there is moved aside first and put back on failure."""
    if not target.exists():
        partial.rename(target)
    else:
        old = target.with_name(f".{target.name}.replaced-{os.getpid()}")
        target.rename(old)
        try:
            partial.rename(target)
        except BaseException:
            old.rename(target)
            raise
        shutil.rmtree(old, ignore_errors=True)
    _settle(target.parent)


def _reason(error: OSError) -> str:
    return (error.strerror or str(error)).lower()
