"""Where the rows of a survey stand: one SQLite file, whole after whatever ends the program.

SQLite, of the three that would do, since it is in Python's own library, since what is committed stands
whole however a process or a disk ends, and since most tools open it (pandas, R, DuckDB, the sqlite3
shell); a Parquet file is whole only once it is closed.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from genhouse.core.errors import UnreadableError, WriteError
from genhouse.core.reading import first_line, said
from genhouse.survey.row import COLUMNS, Value

FILE = "rows.sqlite"
Rows = Sequence[Sequence[Value]]
_TABLE = ", ".join(f"{name} {kind}" for name, kind in COLUMNS.items())
_INSERT = f"INSERT INTO rows VALUES ({', '.join('?' * (len(COLUMNS) + 1))})"


class Store:
    """The rows of a folder, in the order of the recipes: n is a recipe's place."""

    def __init__(self, folder: Path, table: sqlite3.Connection) -> None:
        self.folder, self.table = folder, table

    def count(self) -> int:
        """How many rows there are: those of the first recipes."""
        (found,) = self.table.execute("SELECT count(*) FROM rows").fetchone()
        return int(found)

    def append(self, rows: Rows) -> None:
        """All these rows, or none of them.  Raises WriteError."""
        first = self.count()
        try:
            with self.table:
                self.table.executemany(_INSERT, [(first + n, *row) for n, row in enumerate(rows)])
        except sqlite3.Error as error:
            raise WriteError(
                f"{said(self.folder / FILE)} was not written: {first_line(error)}; its {first} rows "
                "stand, and the same command goes on after them"
            ) from error

    def read(self, *columns: str, where: str = "", given: Sequence[Value] = ()) -> list[Any]:
        """Some columns in order, a tuple a row.  where: the rest of a query.  Raises UnreadableError."""
        try:
            words = f"SELECT {', '.join(columns)} FROM rows {where}"
            return self.table.execute(words, given).fetchall()
        except sqlite3.Error as error:
            raise _unreadable(self.folder, error) from error


@contextmanager
def opened(folder: Path, *, new: bool = False) -> Iterator[Store]:
    """The rows of a survey's folder.  new: where there are none yet, a table for them is made.

    Raises UnreadableError, and WriteError where a table cannot be made.
    """
    path = folder / FILE
    if not new and not path.is_file():
        raise UnreadableError(f"{said(folder)} is no survey: it has no {FILE}")
    try:
        table = sqlite3.connect(path)
    except sqlite3.Error as error:
        raise _unreadable(folder, error) from error
    try:
        if new:
            with table:
                table.execute("PRAGMA synchronous = FULL")
                table.execute(f"CREATE TABLE IF NOT EXISTS rows (n INTEGER PRIMARY KEY, {_TABLE})")
        found = [name for _, name, *_ in table.execute("PRAGMA table_info(rows)")]
        if found != ["n", *COLUMNS]:
            raise UnreadableError(
                f"{said(path)} cannot be read: its columns are those of another version of genhouse"
            )
        yield Store(folder, table)
    except sqlite3.DatabaseError as error:
        raise _unreadable(folder, error) from error
    finally:
        table.close()


def _unreadable(folder: Path, error: sqlite3.Error) -> UnreadableError:
    return UnreadableError(f"{said(folder / FILE)} cannot be read: {first_line(error)}")
