"""Run a survey, or go on with one: houses in order, rows in order, a few dozen at a time.

Rows are those of the first recipes, so how many there are says where to go on; what had been begun when
the program was ended is begun again, since nothing of it stands.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from itertools import islice
from pathlib import Path
from threading import Event
from typing import TypeVar

from genhouse.core import engines
from genhouse.core.errors import BriefError, StoppedError, WriteError
from genhouse.core.progress import told
from genhouse.core.reading import refused, said
from genhouse.core.sentences import quoted
from genhouse.core.version import build
from genhouse.outputs.files import put_file
from genhouse.outputs.leftovers import held
from genhouse.survey.request import DOCUMENT_FILE, Request, document, read_document
from genhouse.survey.row import Value, row_of
from genhouse.survey.store import Store, opened

A = TypeVar("A")
BATCH = 32
"""Rows that are written at once: as many as a kill costs at most, beside what is under way."""
WAIT, WAITS = 0.1, 20
"""Seconds, and how often they are waited for."""
ON = "rows stand, and the same command goes on after them"


@contextmanager
def surveyed(asked: Request, folder: Path, engine: engines.Engine) -> Iterator[Store]:
    """The rows of all that was asked for, made as far as they do not stand there already.

    Raises WriteError where another survey stands there or nothing can be written, BriefError where a
    worker is of another genhouse, and StoppedError where workers are lost again and again.
    """
    begin(asked, folder)
    with _alone(folder), opened(folder, new=True) as store:
        _go_on(asked, store, engine)
        yield store


@contextmanager
def _alone(folder: Path) -> Iterator[None]:
    """While no other run surveys there; the workers of one that was killed end a moment after it."""
    for _ in range(WAITS):
        with held(folder) as mine:
            if mine or os.name != "posix":
                yield
                return
        Event().wait(WAIT)
    raise WriteError(f"{said(folder)} was not written: another run surveys there")


def begin(asked: Request, folder: Path) -> None:
    """Make the folder, or see that what stands there is the same survey.  Raises WriteError."""
    with refused(WriteError, folder, "was not written"):
        if not folder.parent.is_dir():
            raise OSError(f"the folder {said(folder.parent)} does not exist")
        if os.path.lexists(folder / DOCUMENT_FILE):
            _check_same(asked, folder)
            return
        if os.path.lexists(folder) and (not folder.is_dir() or any(folder.iterdir())):
            raise OSError("what stands there is no survey; name another folder")
        folder.mkdir(exist_ok=True)
        put_file(folder / DOCUMENT_FILE, document(asked, build()))


def _check_same(asked: Request, folder: Path) -> None:
    there, made_with = read_document(folder)
    if there != asked:
        raise OSError(f"a survey of others stands there ({there.words}); name another folder")
    if made_with != build():
        raise OSError(
            f"its rows are of genhouse {made_with}, and this is {build()}; name another folder"
        )


def _go_on(asked: Request, store: Store, engine: engines.Engine) -> None:
    done = store.count()
    rows = engine.map(row_of, asked.recipes(done))
    try:
        for batch in batches(told("houses", rows, len(asked) - done), BATCH):
            _check_build(batch)
            store.append(batch)
    except StoppedError as error:
        raise StoppedError(f"{error}; {store.count()} {ON}") from error


def _check_build(rows: Iterable[tuple[Value, ...]]) -> None:
    for *_, of in rows:
        if of != build():
            raise BriefError(f"engine: a worker has genhouse {quoted(of)}, and this is {build()}")


def batches(items: Iterable[A], many: int) -> Iterator[list[A]]:
    """The items in lists of so many.

    >>> list(batches("abcde", 2))
    [['a', 'b'], ['c', 'd'], ['e']]
    """
    left = iter(items)
    while batch := list(islice(left, many)):
        yield batch
