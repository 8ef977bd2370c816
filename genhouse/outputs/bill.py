"""The bill of materials: what a builder counts, stage by stage."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Sequence
from pathlib import Path

import numpy as np
from msgspec import Struct
from msgspec.structs import astuple

from genhouse.core.errors import UnreadableError
from genhouse.core.reading import TABLE, read_text, said
from genhouse.model.voxels import Voxels


class Line(Struct, frozen=True):
    """One line of the bill: this stage sets so many of one piece, made of one material."""

    stage: str
    material: str
    piece: str
    count: int


def bill(voxels: Voxels) -> tuple[Line, ...]:
    """All solid cells, counted; in building order, then by name of material and piece.

    The counts sum to the solid cells, for every material and in all: forms of one piece, however
    they are turned, are counted together.
    """
    about = voxels.about
    solid = voxels.form > 0
    numbers = (voxels.stage[solid], voxels.material[solid], voxels.form[solid])
    tables = tuple(map(len, (about.stages, about.materials, about.forms)))
    keys, how_many = np.unique(np.ravel_multi_index(numbers, tables), return_counts=True)
    kinds = np.transpose(np.unravel_index(keys, tables))
    counts: dict[tuple[int, str, str], int] = {}
    for (stage, material, form), count in zip(kinds.tolist(), how_many.tolist(), strict=True):
        key = (stage, about.materials[material].name, about.forms[form].piece)
        counts[key] = counts.get(key, 0) + count
    return tuple(
        Line(about.stages[stage], material, piece, count)
        for (stage, material, piece), count in sorted(counts.items())
    )


def csv_bytes(lines: Sequence[Struct], kind: type[Struct] = Line) -> bytes:
    """The bill, or records of another kind, as a table in UTF-8, with a heading; lines end in a bare
    line feed.

    >>> csv_bytes((Line("frame", "dark timber", "post", 12),))
    b'stage,material,piece,count\\nframe,dark timber,post,12\\n'
    """
    text = io.StringIO()
    table = csv.writer(text, lineterminator="\n")
    table.writerow(kind.__struct_fields__)
    table.writerows(map(astuple, lines))
    return text.getvalue().encode()


def read_rows(path: Path) -> tuple[tuple[str, str, str, int], ...]:
    """The lines of a saved bill.  Raises UnreadableError, naming the line."""
    text = read_text(path, TABLE)
    try:
        table = list(csv.reader(io.StringIO(text, newline="")))
    except csv.Error as error:
        raise UnreadableError(
            f"{said(path)}: the materials list cannot be read: {error}"
        ) from error
    heading = list(Line.__struct_fields__)
    if not table or table[0] != heading:
        raise UnreadableError(f"{said(path)}: the first line must be {','.join(heading)}")
    for number, row in enumerate(table[1:], 2):
        if len(row) != len(heading) or not re.fullmatch("[0-9]{1,9}", row[3], re.ASCII):
            raise UnreadableError(
                f"{said(path)}: line {number} is not stage, material, piece and a count"
            )
    return tuple(
        (stage, material, piece, int(count)) for stage, material, piece, count in table[1:]
    )
