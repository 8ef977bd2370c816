"""A village's folder inspected again, from its store and roster alone."""

from __future__ import annotations

import csv
import io
from functools import partial
from pathlib import Path

from genhouse.core.engines import opened
from genhouse.core.errors import UnreadableError
from genhouse.core.progress import told
from genhouse.core.reading import MB, read_bytes, said
from genhouse.core.workers import pooled
from genhouse.inspection import Report
from genhouse.village.bill import bill_of
from genhouse.village.cells import Box
from genhouse.village.judge import Whole, inside
from genhouse.village.patch import Patch, Tables, patch
from genhouse.village.store import boxes_of, read, tables_of

ROSTER = 64 * MB


def inspect_village(folder: Path, store: str | None = None, processes: int | None = None) -> Report:
    """store: the address of its cells, where they are elsewhere.  Raises UnreadableError."""
    where: Path | str = store or folder / "village.zarr"
    text = read_bytes(folder / "houses.csv", ROSTER).decode("utf-8", "replace")
    rows = list(csv.DictReader(io.StringIO(text)))
    if isinstance(where, Path) and not where.is_dir():
        raise UnreadableError(
            f"{said(where)} is missing; give --store where its cells are elsewhere"
        )
    try:
        with pooled(tables_of, 1) as begin:  # zarr leaves threads, beside which nothing is forked
            tables = Tables.of(begin(where).result(), rows)
        whole = Whole.of(tables)
        every = list(boxes_of(*tables.size[:2]))
        with opened("pool", processes) as workers:
            looked = workers.map(partial(_patch, where, tables), every)
            for one in told("map", looked, len(every)):
                whole.add(one)
            rooms = workers.map(partial(inside, tables, partial(read, where)), tables.houses)
            bill = bill_of(read_bytes(folder / "materials.csv", ROSTER).decode("utf-8"))
            return whole.report(told("inspection", rooms, len(tables.houses)), bill)
    except (KeyError, IndexError, TypeError, ValueError, OSError) as error:
        raise UnreadableError(
            f"{said(folder)}: its store and its roster are not as the file contract has them"
        ) from error


def _patch(where: Path | str, tables: Tables, box: Box) -> Patch:
    return patch(tables, box, read(where, box))
