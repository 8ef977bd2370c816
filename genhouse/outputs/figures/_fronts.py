"""How the fronts of a house are composed, read from its cells: what an eye follows along a row of bays."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import groupby

import numpy as np
from msgspec import Struct

from genhouse.core.axes import STEP, Side
from genhouse.model.design import Design
from genhouse.model.elements import Wall, rows_of
from genhouse.model.voxels import Voxels
from genhouse.outputs.figures._tables import FrontFigures

LOOSE = ("mats", "court", "fittings", "lamps")
"""Stages whose pieces are no part of a front: what grows, or is brought when the house stands."""
Motif = tuple[tuple[tuple[tuple[int, str], ...], ...], ...]
"""What one sees of a bay, from one post to the other: columns of (material, piece) of the wall and of what
of the house stands before it, none twice on end."""


class Bay(Struct, frozen=True, kw_only=True):
    """motif: as seen from outside.  sill: layers from the floor to its lowest light; -1 for none.
    light: what this is of."""

    wall: Wall
    motif: Motif
    sill: int
    light: frozenset[int] = frozenset()

    @property
    def door(self) -> bool:
        return self.wall.opening == "entrance"


Row = Sequence[Bay]


def fronts(design: Design, voxels: Voxels) -> FrontFigures:
    """Read every outer row of bays."""
    return row_figures(list(rows(design, voxels)))


def row_figures(found: Sequence[Row]) -> FrontFigures:
    """How rows of bays are composed."""
    bays = [bay for row in found for bay in row]
    pairs = [pair for row in found for pair in _pairs(row)]
    lights = [bay for bay in bays if bay.sill >= 0]
    return FrontFigures(
        symmetry=_share(sum(a.motif == b.motif[::-1] for a, b in pairs), len(pairs)),
        lonely=sum(len(list(lonely(front))) for front in planes(found)),
        level=_share(sum(_level(row) for row in found), len(lights)),
        blank=_share(len(bays) - len(lights) - sum(bay.door for bay in bays), len(bays)),
        motifs=len({min(bay.motif, bay.motif[::-1]) for bay in bays}),
    )


def rows(design: Design, voxels: Voxels) -> Iterator[Row]:
    """The outer walls of each storey of each front, in order along it."""

    walls = [s for s in design.segments if s.boundary == "outer" and not s.abuts]
    for _, some in groupby(sorted(walls, key=_plane), _plane):
        for row in rows_of(some):
            yield [bay_of(wall, design, voxels) for wall in row]


def _plane(wall: Wall) -> tuple[Side, int]:
    return wall.outward, wall.lie.y0


def planes(found: Sequence[Row]) -> Iterator[Sequence[Row]]:
    """Rows by the front that they belong to: those of a plane, whatever their storey."""
    fronts: dict[tuple[Side, int], list[Row]] = {}
    for row in found:
        fronts.setdefault(_plane(row[0].wall), []).append(row)
    yield from fronts.values()


def bay_of(wall: Wall, design: Design, voxels: Voxels) -> Bay:
    """What one sees of a wall up to the first beam over its floor, and of what stands before it."""
    floor = design.room(wall.low or wall.high).floor
    x0, y0, x1, y1 = wall.cells
    frame = voxels.about.stages.index("frame")
    beams = np.flatnonzero(voxels.stage[x0, y0, floor:] == frame)
    top = floor + int(beams[0]) if len(beams) else floor + 1
    dx, dy = STEP[wall.outward]
    before = _columns(voxels, (x0 + dx, y0 + dy, x1 + dx, y1 + dy), floor - 1, top)
    columns = list(zip(_columns(voxels, wall.cells, floor - 1, top), before, strict=True))
    stuff = voxels.material[x0:x1, y0:y1, floor:top]
    clear = voxels.flag("clear")[stuff]
    lit = np.flatnonzero(clear.any(axis=(0, 1)))
    return Bay(
        wall=wall,
        motif=tuple(column for column, _ in groupby(columns)),
        sill=int(lit[0]) if len(lit) else -1,
        light=frozenset(stuff[clear].tolist()),
    )


def _columns(
    voxels: Voxels, where: tuple[int, int, int, int], low: int, high: int
) -> list[tuple[tuple[int, str], ...]]:
    """Material and piece of each cell of the house, column by column along a wall."""
    x0, y0, x1, y1 = where
    shape = ((x1 - x0) * (y1 - y0), high - low)
    built = np.array([stage not in LOOSE for stage in voxels.about.stages])
    here = built[voxels.stage[x0:x1, y0:y1, low:high]]
    stuff = (voxels.material[x0:x1, y0:y1, low:high] * here).reshape(shape).tolist()
    forms = (voxels.form[x0:x1, y0:y1, low:high] * here).reshape(shape).tolist()
    known = voxels.about.forms
    return [
        tuple((m, known[f].piece) for m, f in zip(*column, strict=True))
        for column in zip(stuff, forms, strict=True)
    ]


def _pairs(row: Row) -> Iterator[tuple[Bay, Bay]]:
    """Bays at the same distance from the middle; a door is meant to be unlike."""
    for a, b in zip(row, row[::-1][: len(row) // 2], strict=False):
        if not (a.door or b.door):
            yield a, b


def lonely(front: Sequence[Row]) -> Iterator[Bay]:
    """Windows that no other of their front answers, by what they are of and where they begin, and that
    are not the middle of their row."""
    like = Counter((bay.light, bay.sill) for row in front for bay in row)
    for row in front:
        for i, bay in enumerate(row):
            alone = like[bay.light, bay.sill] == 1 and 2 * i + 1 != len(row)
            if alone and bay.wall.opening == "window":
                yield bay


def _level(row: Row) -> int:
    """Lights whose sill is that of most in their row."""
    sills = Counter(bay.sill for bay in row if bay.sill >= 0)
    return max(sills.values(), default=0)


def _share(part: int, whole: int) -> float:
    return round(part / whole, 2) if whole else 1.0
