"""What only the C library gives: a death shared with one's parent, two names exchanged at once, and memory
given back."""

from __future__ import annotations

import os
import signal
import sys
import threading
from collections.abc import Callable
from pathlib import Path
from typing import Any

PR_SET_PDEATHSIG = 1
"""linux/prctl.h: the signal that this process gets when its parent dies."""
AT_FDCWD = -100
RENAME_EXCHANGE = 2
"""linux/fcntl.h and linux/fs.h."""

M_MMAP_THRESHOLD, LARGE = -3, 1 << 21
"""malloc.h: bytes from which memory is the system's own again when it is let go of."""


def end_with(parent: int) -> None:
    """From now on this process ends with the one that started it, however that one ends.

    parent: its number, to tell whether it is gone already.
    """
    if not _signalled_at_death():
        _watched()
    if os.getppid() != parent:
        os._exit(1)


def exchange(one: Path, other: Path) -> bool:
    """Give two names to each other's files or folders in one step, so that neither is ever missing.

    False where the system or its disk cannot.  Raises OSError for anything else.
    """
    rename = _function("renameat2")
    if rename is None:
        return False
    import ctypes
    import errno

    names = os.fsencode(one), os.fsencode(other)
    if rename(AT_FDCWD, names[0], AT_FDCWD, names[1], ctypes.c_uint(RENAME_EXCHANGE)) == 0:
        return True
    number = ctypes.get_errno()
    if number in (errno.ENOSYS, errno.EINVAL, errno.EOPNOTSUPP):
        return False
    raise OSError(number, os.strerror(number), str(other))


def give_back_large() -> None:
    """Large arrays go back to the system when they are let go of, where its C library can be told so.

    Else it keeps their memory for others, in parts: of a map of 2048 x 2048 columns, a fifth of all.
    """
    if tell := _function("mallopt"):
        tell(M_MMAP_THRESHOLD, LARGE)


def _function(name: str) -> Callable[..., Any] | None:
    """A function of the C library, on Linux, where there is one of that name."""
    if not sys.platform.startswith("linux"):
        return None
    import ctypes

    return getattr(ctypes.CDLL(None, use_errno=True), name, None)


def _signalled_at_death() -> bool:
    """Whether the system will end this process with its parent."""
    prctl = _function("prctl")
    return prctl is not None and prctl(PR_SET_PDEATHSIG, signal.SIGKILL, 0, 0, 0) == 0


def _watched() -> None:
    """A thread waits for the pipe whose other end the parent holds, and ends the process with it."""
    from multiprocessing import parent_process

    parent = parent_process()
    assert parent is not None, "only a worker ends with its parent"

    def follow() -> None:
        parent.join()
        os._exit(1)

    threading.Thread(target=follow, daemon=True).start()
