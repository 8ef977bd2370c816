"""The lines of a roof, read from the heights of its columns."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import numpy.typing as npt

from genhouse.model.design import Design
from genhouse.model.room import TERRACE
from genhouse.model.voxels import Voxels
from genhouse.outputs.figures._tables import RoofFigures

Tops = npt.NDArray[np.int32]
Bool = npt.NDArray[np.bool_]
SHORTEST = 2
"""Cells of the shortest line that counts."""
STRAY = 3
"""Cells under which a ridge looks astray."""
FACE = 8
"""Quarter cells from which a drop between neighbours is a wall in the roof, not a slope."""
BREAK = 2
"""Cells that a chimney or a crossing may take out of a line."""


def roof_tops(design: Design, voxels: Voxels) -> Tops:
    """int [X, Y]: top of each column's roof in quarter cells; 0 where there is none.

    Chimneys, rails, which hold no water, and little roofs below the eaves are left out; terraces are roofs.
    """
    pieces = np.array([not f.piece.startswith(("chimney", "rail")) for f in voxels.about.forms])
    mine = voxels.set_by("roof")
    mine &= pieces[voxels.form]
    kept = np.zeros_like(mine)
    kept[:, :, voxels.about.eaves :] = True
    for cover in design.lower_covers:
        x0, y0, x1, y1 = cover.rect.grown(max(cover.eaves))
        kept[x0:x1, y0:y1, (cover.base - 1) // 2 - max(cover.eaves) :] = True
    found = tops(voxels, mine & kept)
    for deck, floor in ((r, q.floor) for q in design.rooms if q.kind == TERRACE for r in q.rects):
        column = found[deck.x0 : deck.x1, deck.y0 : deck.y1]
        np.maximum(column, 4 * floor, out=column)
    return found


def tops(voxels: Voxels, mine: Bool) -> Tops:
    """int [X, Y]: top of the highest of these cells in each column, in quarters; 0 where none is."""
    quarters = np.arange(1, 5) * voxels.shapes.any(axis=(1, 2))
    high = quarters.max(axis=1)[voxels.form] + 4 * np.arange(voxels.size[2])
    return np.asarray(np.where(mine, high, 0).max(axis=2), dtype=np.int32)


def roof_lines(tops: Tops) -> RoofFigures:
    """Straight lines where the roof turns: ridges level, hips and valleys along diagonals.

    A ridge is higher than both its sides; so is a hip, on the diagonal; a valley is lower.  Lines
    shorter than two cells do not count; a break of up to two cells does not end one.
    """
    roofed = tops > 0
    level = [_turns(tops, roofed, way) for way in ((1, 0), (0, 1))]
    ridges = [
        n for upper, way in zip(level, ((0, 1), (1, 0)), strict=True) for n in _runs(upper, way)
    ]
    straight = [n for n in ridges if n >= SHORTEST]
    on_ridge = level[0] | level[1]
    diagonals = ((1, 1), (1, -1))
    hips: list[int] = []
    valleys: list[int] = []
    for across, along in zip(diagonals, diagonals[::-1], strict=True):
        hips += _lines(_turns(tops, roofed, across) & ~on_ridge, along)
        valleys += _lines(_turns(-tops, roofed, across), along)
    heights = len(set(tops[on_ridge].tolist()))
    stray = sum(n < STRAY for n in ridges)
    return RoofFigures(
        ridges=len(straight),
        ridge_length=sum(straight),
        hips=len(hips),
        valleys=len(valleys),
        valley_length=sum(valleys),
        unrest=4 * stray + 2 * max(0, heights - 1) + _faces(tops) // 3,
    )


def _faces(tops: Tops) -> int:
    """How many neighbours under the roof stand to each other as the head and foot of a wall."""
    pairs = ((tops[1:], tops[:-1]), (tops[:, 1:], tops[:, :-1]))
    return sum(int(np.count_nonzero((a > 0) & (b > 0) & (np.abs(a - b) >= FACE))) for a, b in pairs)


def _turns(tops: Tops, roofed: Bool, across: tuple[int, int]) -> Bool:
    """Columns higher than both their neighbours in a direction, all three under the roof."""
    high, there = np.pad(tops, 1), np.pad(roofed, 1)
    size = tops.shape

    turns = roofed.copy()
    for sign in (1, -1):
        i, j = 1 + sign * across[0], 1 + sign * across[1]
        beside = np.s_[i : i + size[0], j : j + size[1]]
        turns &= there[beside] & (tops > high[beside])
    return turns


def _lines(cells: Bool, along: tuple[int, int]) -> Iterator[int]:
    """Lengths of the runs that count as lines."""
    return (n for n in _runs(cells, along) if n >= SHORTEST)


def _runs(cells: Bool, along: tuple[int, int]) -> Iterator[int]:
    """Lengths of the runs in a direction, breaks and all."""
    lines: dict[int, list[int]] = {}
    for x, y in np.argwhere(cells).tolist():
        lines.setdefault(x * along[1] - y * along[0], []).append(x if along[0] else y)
    for places in lines.values():
        start = last = places[0]
        for place in (*places[1:], None):
            if place is None or place - last > BREAK + 1:
                yield last - start + 1
                start = place or 0
            last = place or 0
