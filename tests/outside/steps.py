"""The order of building replayed from ``steps.csv`` alone, and held to the arrays."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

import numpy as np

from tests.outside.cells import House
from tests.outside.tables import SUB, Finding

HEAD = [
    "step",
    "order",
    "x",
    "y",
    "z",
    "run",
    "axis",
    "material",
    "piece",
    "form",
    "room",
    "support",
]
WAYS = {"x": (1, 0, 0), "y": (0, 1, 0), "z": (0, 0, 1)}
Cell = tuple[int, int, int]
ALL = (1 << SUB * SUB) - 1


class Piece(NamedTuple):
    """What a row says of one cell."""

    step: int
    order: int
    material: str
    piece: str
    form: str
    room: int
    support: str


def pieces(path: Path) -> Iterator[tuple[Cell, Piece]]:
    """Each cell that is set or struck, in its turn.  Raises ValueError where a row is not as told."""
    with path.open(newline="", encoding="utf-8") as file:
        rows = list(csv.reader(file))
    if rows[0] != HEAD:
        raise ValueError(f"the first line is {','.join(rows[0])}")
    last = (1, 0)
    for row in rows[1:]:
        step, order, x, y, z, run = map(int, row[:6])
        if not (last[0] <= step <= last[0] + 1 and order == last[1] + 1 and run > 0):
            raise ValueError(f"row {order} of step {step} does not follow {last}")
        if row[11] not in ("", "set", "struck"):
            raise ValueError(f"row {order} has the support {row[11]}")
        last = step, order
        dx, dy, dz = WAYS[row[6]]
        told = Piece(step, order, *row[7:10], int(row[10]), row[11])
        yield from (((x + n * dx, y + n * dy, z + n * dz), told) for n in range(run))


def replayed(path: Path, house: House | None) -> Iterator[Finding]:
    """Findings: what does not end as the arrays have it, and what is set in the air."""
    if house is None:
        return
    try:
        told = list(pieces(path))
    except (ValueError, KeyError, IndexError) as error:
        yield Finding("steps", (), f"steps.csv cannot be followed: {error}")
        return
    standing = Standing(house)
    for cell, piece in told:
        if word := standing.follow(cell, piece):
            yield Finding("steps", (cell,), f"row {piece.order}: {word}")
            return
    if props := [cell for cell, piece in standing.pieces.items() if piece.support]:
        yield Finding("steps", (props[0],), "a temporary piece is never struck")
    built = {(int(x), int(y), int(z)) for x, y, z in np.argwhere(house.material > 0)}
    for cell in sorted(built ^ standing.pieces.keys()):
        yield Finding("steps", (cell,), "what was set is not what is there")
        return


class Standing:
    """What stands, cell by cell."""

    def __init__(self, house: House) -> None:
        self.house = house
        self.pieces: dict[Cell, Piece] = {}
        self._sides: dict[tuple[str, int, int], int] = {}
        about = house.about
        names = [m["name"] for m in about["materials"]], [f["name"] for f in about["forms"]]
        self._named = tuple({name: n for n, name in enumerate(known)} for known in names)

    def follow(self, cell: Cell, piece: Piece) -> str:
        """Do as told; what is wrong with it, if anything."""
        if piece.support == "struck":
            there = self.pieces.pop(cell, None)
            return "" if there and there.support else "no temporary piece stands here"
        if cell in self.pieces:
            return f"a piece of row {self.pieces[cell].order} stands here"
        if not all(0 <= n < size for n, size in zip(cell, self.house.form.shape, strict=True)):
            return "this lies outside the plot"
        if not piece.support and (word := self._unlike(cell, piece)):
            return word
        self.pieces[cell] = piece
        held = cell[2] == 0 or any(
            self._touches(cell, axis, way) for axis in range(3) for way in (-1, 1)
        )
        return "" if held else "it touches nothing that stands"

    def _unlike(self, cell: Cell, piece: Piece) -> str:
        house, (materials, forms) = self.house, self._named
        form = house.about["forms"][house.form[cell]]
        there = (
            house.about["materials"][house.material[cell]]["name"],
            form["piece"],
            form["name"],
        )
        told = piece.material, piece.piece, piece.form
        if told != there or told[0] not in materials or told[2] not in forms:
            return f"it sets {told}, and {there} is there"
        return "" if piece.room == house.room[cell] else f"it is of room {house.room[cell]}"

    def _touches(self, cell: Cell, axis: int, way: int) -> bool:
        other = tuple(n + way * (k == axis) for k, n in enumerate(cell))
        if other not in self.pieces:
            return False
        low, high = (cell, other) if way > 0 else (other, cell)
        return bool(self._side(low, axis, -1) & self._side(high, axis, 0))

    def _side(self, cell: Cell, axis: int, end: int) -> int:
        """What a piece fills of a side of its cell, a bit each: of a temporary piece all of it."""
        piece = self.pieces[cell]
        key = (piece.form, axis, end)
        if piece.support:
            return ALL
        if key not in self._sides:
            filled = self.house.shapes[self._named[1][piece.form]].take(end, axis=axis)
            self._sides[key] = sum(1 << n for n in np.flatnonzero(filled).tolist())
        return self._sides[key]
