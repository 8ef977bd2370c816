"""Write a folder or a file whole or not at all, and never over what another wrote.

Force replaces what genhouse wrote and what is still as it wrote it; force twice (``force=2``) also what
was changed since.  A user's own files are kept: they go over into the new folder.
"""

from __future__ import annotations

import contextlib
import os
import shutil
from collections.abc import Iterator, Mapping
from functools import partial
from pathlib import Path

from genhouse.core.errors import WriteError
from genhouse.core.reading import DOCUMENT, read_bytes, refused, said
from genhouse.core.stopping import undone_by
from genhouse.core.system import exchange
from genhouse.outputs.leftovers import PARTIAL, REPLACED, held, remove, spare_name, tidy
from genhouse.outputs.written import (
    HOUSE,
    IDEAS,
    VARIANTS,
    VILLAGE,
    Marker,
    Standing,
    bears,
    digest,
    digest_of,
    record_of,
    standing,
    with_record,
)

__all__ = [
    "HOUSE",
    "IDEAS",
    "VARIANTS",
    "VILLAGE",
    "Marker",
    "add_files",
    "check_target",
    "put_folder",
    "write_folder",
]

CHANGED_TOO = 2
"""Force given twice."""
TRIES = 8
ARRAYS_FILE = "house.npz"


def write_folder(
    target: Path, files: Mapping[str, bytes], *, force: int, marker: Marker = HOUSE
) -> None:
    """Write the files (name to contents) into a new folder, which appears only when all are there.

    A name may have two folders before it: ``variant-1/sheets/level-02.svg``.  force: see above.
    Raises WriteError, with nothing left behind and what stood there untouched.
    """
    target = Path(target)
    with _refusals(target):
        check_target(target, force=force, marker=marker, names=files)
        with _begun(target) as new:
            _fill(new, files)
            _put(new, target, marker)


def check_target(
    target: Path, *, force: int, marker: Marker = HOUSE, names: Mapping[str, bytes] | None = None
) -> None:
    """Raises WriteError where the folder could not be put there.  names: what it will hold, if known.

    What a killed run left beside it is cleared first, and put back where it had been moved aside.
    """
    with _refusals(target):
        if not target.name or target.name == "..":
            raise OSError("it names no folder of its own")
        if not target.parent.is_dir():
            raise OSError(f"the folder {said(target.parent)} does not exist")
        tidy(target)
        spare_name(target, REPLACED)
        if not os.access(target.parent, os.W_OK | os.X_OK):
            raise OSError(f"nothing may be written into the folder {said(target.parent)}")
        if not os.path.lexists(target):
            return
        if target.is_symlink() or not target.is_dir():
            raise OSError("a file of that name is in the way")
        if not any(target.iterdir()):
            return
        if not os.access(target, os.W_OK | os.X_OK):
            raise OSError("nothing may be changed in the folder that stands there")
        if not bears(target, marker):
            raise OSError(f"a folder that is no {marker.noun} stands there")
        if not force:
            raise OSError(f"a {marker.noun} stands there; force replaces it")
        _check_standing(standing(target, marker.file, names or ()), force, names or {})


def _check_standing(there: Standing, force: int, names: Mapping[str, bytes]) -> None:
    if force < CHANGED_TOO:
        if not there.listed:
            raise OSError(
                "the house there does not say which files genhouse wrote; "
                "force given twice replaces those of its names"
            )
        if there.changed:
            raise OSError(
                f"{said(Path(there.changed[0]))} there was changed since genhouse wrote it; "
                "force given twice replaces it too"
            )
    for name in there.own:
        if any(
            f"{other}/".startswith(f"{name}/") or name.startswith(f"{other}/") for other in names
        ):
            raise OSError(f"{said(Path(name))} there was not written by genhouse; move it away")


def _refusals(target: Path) -> contextlib.AbstractContextManager[None]:
    return refused(WriteError, target, "was not written")


@contextlib.contextmanager
def _begun(target: Path) -> Iterator[Path]:
    """A new folder beside the target, held while this lasts, and gone after it."""
    for _ in range(TRIES):
        new = spare_name(target, PARTIAL)
        with undone_by(partial(remove, new)):
            try:
                new.mkdir()
                with held(new) as mine:
                    # Where another run took it for a leftover before it was held, once more.
                    if mine or new.exists():
                        yield new
                        return
            finally:
                # Also on the way out of an interrupt; after success there is nothing to remove.
                remove(new)
    raise OSError("another run clears what this one writes")


def put_folder(new: Path, target: Path, *, force: int, marker: Marker) -> None:
    """Put a folder that is ready, and stands beside the target, in its place.  Raises WriteError."""
    with _refusals(target):
        check_target(target, force=force, marker=marker)
        _put(new, target, marker)


def _fill(folder: Path, files: Mapping[str, bytes]) -> None:
    for name, contents in files.items():
        parts = name.split("/")
        if len(parts) > 3 or any(p in ("", "..") or Path(p).name != p for p in parts):
            raise OSError(f"{name!r} is not a plain file name")
        path = folder.joinpath(*parts)
        path.parent.mkdir(parents=True, exist_ok=True)
        write_file(path, contents)
    for inner in sorted({(folder / name).parent for name in files} | {folder}):
        _settle(inner)


def write_file(path: Path, contents: bytes) -> None:
    """Write and flush to the disk."""
    with path.open("wb") as file:
        file.write(contents)
        file.flush()
        os.fsync(file.fileno())


def _put(new: Path, target: Path, marker: Marker) -> None:
    """Rename into place.  What stood there goes in the same step, where the system can do that; else
    it is moved aside first, and put back on failure or by the next run."""
    if not os.path.lexists(target):
        new.rename(target)
    else:
        _keep_own(target, new, marker)
        if exchange(new, target):
            _keep_own(new, target, marker)  # what came in between
        else:
            _put_after_moving(new, target)
    _settle(target.parent)


def _put_after_moving(new: Path, target: Path) -> None:
    old = spare_name(target, REPLACED)

    def put_back() -> None:
        if os.path.lexists(old) and not os.path.lexists(target):
            old.rename(target)

    with held(target), undone_by(put_back):
        target.rename(old)
        try:
            new.rename(target)
        except BaseException:
            put_back()
            raise
        remove(old)


def _keep_own(old: Path, new: Path, marker: Marker) -> None:
    """Let a user's own files stand in the new folder too, as the same files where the disk can."""
    for name in standing(old, marker.file, _names(new)).own:
        there = new / name
        if os.path.lexists(there):
            continue
        there.parent.mkdir(parents=True, exist_ok=True)
        if name.endswith("/"):
            there.mkdir()
            continue
        try:
            os.link(old / name, there, follow_symlinks=False)
        except OSError:
            shutil.copy2(old / name, there, follow_symlinks=False)


def _names(folder: Path) -> list[str]:
    return [str(p.relative_to(folder).as_posix()) for p in folder.rglob("*") if p.is_file()]


def add_files(folder: Path, files: Mapping[str, bytes], *, force: int = 0) -> None:
    """Set further files into a house's folder, each whole or not at all, and list them there.

    Those that genhouse wrote before are replaced; with force also where they were changed since.
    Raises WriteError.
    """
    with held(folder):
        listed = record_of(folder, HOUSE.file)
        for name in files:
            _check_file(folder, name, listed or frozenset(), force)
        new = frozenset((name, digest(name, contents)) for name, contents in files.items())
        if listed is not None:
            _list_anew(folder, listed | new)
        for name, contents in files.items():
            put_file(folder / name, contents)
        if listed is not None:
            others = frozenset(pair for pair in listed if pair[0] not in files)
            _list_anew(folder, others | new)


def _check_file(folder: Path, name: str, listed: frozenset[tuple[str, str]], force: int) -> None:
    path = folder / name
    with _refusals(path):
        if not os.path.lexists(path) or (name, digest_of(folder, name)) in listed:
            return
        if name not in {other for other, _ in listed}:
            raise OSError("a file stands there that genhouse did not write; move it away")
        if not force:
            raise OSError("it was changed since genhouse wrote it; force replaces it")


def _list_anew(folder: Path, record: frozenset[tuple[str, str]]) -> None:
    path = folder / HOUSE.file
    old = read_bytes(path, DOCUMENT)
    if (new := with_record(old, record)) != old:
        put_file(path, new)


def put_file(path: Path, contents: bytes) -> None:
    """Write a file whole or not at all, in place of what stands there.  Raises WriteError."""
    with _refusals(path):
        tidy(path)
        new = spare_name(path, PARTIAL)
        with undone_by(partial(remove, new)):
            try:
                write_file(new, contents)
                new.replace(path)
            finally:
                remove(new)


def write_drawing(path: Path, contents: bytes, *, kind: str, force: int) -> None:
    """Write a single file wherever the user wants it.

    kind: its name in the folder of a house, where it is one of the house's files; no other file of a
    house is ever replaced by it.  Elsewhere, force replaces a file.  Raises WriteError.
    """
    folder, name = path.parent, path.name
    if bears(folder, HOUSE) and (name == kind or not os.path.lexists(path)):
        add_files(folder, {name: contents}, force=force)
        return
    with _refusals(path):
        if os.path.lexists(path):
            if path.is_symlink() or not path.is_file():
                raise OSError("what stands there is no plain file")
            if any(name in _names_in(folder, m) for m in (HOUSE, IDEAS, VARIANTS)):
                raise OSError("genhouse wrote that file as part of what the folder holds")
            if not force:
                raise OSError("a file stands there; force replaces it")
    put_file(path, contents)


def _names_in(folder: Path, marker: Marker) -> set[str]:
    """The files of a folder that bears the marker, as far as its document says."""
    if not bears(folder, marker):
        return set()
    return {name for name, _ in record_of(folder, marker.file) or ()} | {marker.file, ARRAYS_FILE}


def _settle(folder: Path) -> None:
    """Flush a folder's own entries, where the system allows it."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
