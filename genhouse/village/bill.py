"""The bill of a whole village, from its cells: how many there are of each stage, material and piece."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from genhouse.model.raster import FORM_TABLE
from genhouse.village.cells import Cells

COLUMNS = ("stage", "material", "piece", "count")
GROUND = ("land", "water")
"""Stages that nobody buys anything for."""
PIECES = tuple(sorted({form.piece for form in FORM_TABLE}))
Key = tuple[str, str, str]
"""Stage, material, piece: their names."""


class Counted(Struct, frozen=True, kw_only=True):
    """code: of stage, material and piece, one number.  many: cells of each."""

    code: npt.NDArray[np.int64]
    many: npt.NDArray[np.int64]


def counted(found: Cells) -> Counted:
    """What a piece of the map is made of; its numbers are all of something."""
    piece = np.array([PIECES.index(form.piece) for form in FORM_TABLE])
    at = np.flatnonzero(found.form)
    stage, material, form = (
        field.reshape(-1)[at].astype(np.int64)
        for field in (found.stage, found.material, found.form)
    )
    many = np.bincount((stage * 256 + material) * len(PIECES) + piece[form])
    code = np.flatnonzero(many)
    return Counted(code=code, many=many[code])


def named(
    parts: Iterable[Counted], materials: Sequence[Mapping[str, Any]], stages: Sequence[str]
) -> dict[Key, int]:
    """By names, in the order of building and then of materials."""
    total: dict[int, int] = {}
    for part in parts:
        for code, many in zip(part.code.tolist(), part.many.tolist(), strict=True):
            total[code] = total.get(code, 0) + many
    found: dict[Key, int] = {}
    for code in sorted(total):
        rest, piece = divmod(code, len(PIECES))
        stage, material = divmod(rest, 256)
        key = (stages[stage], str(materials[material]["name"]), PIECES[piece])
        found[key] = found.get(key, 0) + total[code]
    return found


def by_material(bill: Mapping[Key, int]) -> list[tuple[str, int]]:
    """Cells of each material that is bought or made, the most first."""
    found: dict[str, int] = {}
    for (stage, material, _), many in bill.items():
        if stage not in GROUND:
            found[material] = found.get(material, 0) + many
    return sorted(found.items(), key=lambda pair: (-pair[1], pair[0]))


def bill_csv(bill: Mapping[Key, int]) -> str:
    """materials.csv: CRLF lines, as RFC 4180 has it."""
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow(COLUMNS)
    writer.writerows((*key, many) for key, many in bill.items())
    return text.getvalue()


def bill_of(text: str) -> dict[Key, int]:
    """What a file tells.  Raises ValueError and KeyError where it is none of ours."""
    rows = csv.DictReader(io.StringIO(text))
    return {(row["stage"], row["material"], row["piece"]): int(row["count"]) for row in rows}


def differing(told: Mapping[Key, int], there: Mapping[Key, int]) -> Iterator[str]:
    """Where a bill tells another number than there is, in a sentence each."""
    for key in sorted(told.keys() | there.keys()):
        one, other = told.get(key, 0), there.get(key, 0)
        if one != other:
            yield f"{' '.join(key[1:])} of {key[0]}: {one} are told, {other} are there"
