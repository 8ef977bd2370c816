"""What stands beside a target while it is written, and what a killed run leaves of it.

``.NAME.partial-N`` is being written; ``.NAME.replaced-N`` stood there before.  Whoever writes holds a
lock on it, which ends with its process; so what can be locked is left over, whatever its number says.
"""

from __future__ import annotations

import os
import re
import shutil
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from itertools import count
from pathlib import Path

PARTIAL, REPLACED = "partial", "replaced"


def spare_name(target: Path, what: str) -> Path:
    """A name beside the target that nothing bears.  Raises OSError where there can be none."""
    for n in count():
        name = target.with_name(f".{target.name}.{what}-{os.getpid()}{f'-{n}' if n else ''}")
        try:
            name.lstat()
        except FileNotFoundError:
            return name
    raise AssertionError("there are always more numbers")


@contextmanager
def held(path: Path) -> Iterator[bool]:
    """Whether this process alone holds a file or folder, while this lasts.

    False where another process does, where there is no such file, and where the system knows no locks.
    """
    try:
        from fcntl import LOCK_EX, LOCK_NB, flock

        handle = os.open(path, os.O_RDONLY | os.O_NOFOLLOW | os.O_NONBLOCK)
    except (ImportError, OSError):
        yield False
        return
    try:
        mine = True
        try:
            flock(handle, LOCK_EX | LOCK_NB)
            there = path.lstat()
            mine = (there.st_dev, there.st_ino) == _identity(handle)
        except OSError:
            mine = False
        yield mine
    finally:
        os.close(handle)


def tidy(target: Path) -> None:
    """Clear what dead runs left beside a target, and put back what one of them had moved aside.

    Nothing is said of what cannot be cleared: it hinders nobody.
    """
    with suppress(OSError, ValueError):
        ours = re.compile(rf"\.{re.escape(target.name)}\.({PARTIAL}|{REPLACED})-[0-9]+(-[0-9]+)?")
        for path in sorted(target.parent.iterdir()):
            if found := ours.fullmatch(path.name):
                with held(path) as free:
                    if free:
                        _clear(path, target, moved_aside=found[1] == REPLACED)


def _clear(path: Path, target: Path, *, moved_aside: bool) -> None:
    if moved_aside and not os.path.lexists(target):
        path.rename(target)
    else:
        remove(path)


def remove(path: Path) -> None:
    """Remove a file or a folder, as far as that can be done."""
    if path.is_dir() and not path.is_symlink():
        shutil.rmtree(path, ignore_errors=True)
    else:
        with suppress(OSError):
            path.unlink()


def _identity(handle: int) -> tuple[int, int]:
    status = os.fstat(handle)
    return status.st_dev, status.st_ino
