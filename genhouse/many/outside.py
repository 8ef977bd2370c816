"""How unlike two houses look from outside: how high they stand, their colours, the rhythm of their fronts.

Only what is built counts: no ground, no planting of courts, nothing that is carried in.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from functools import lru_cache

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from genhouse.core.axes import FLANKS, SIDES, Side
from genhouse.core.kept import fixed
from genhouse.model.design import Design
from genhouse.model.room import OUTSIDE
from genhouse.model.voxels import Voxels

BUILT = ("frame", "walls", "floors", "stair", "screens", "roof")
"""Building stages of the house itself, counted from the ground's surface up."""
ALIKE = Fraction(4, 100)
"""Houses whose heights differ by less are one house on a map: half a cell under a ridge of twelve."""
MANY = 4096
"""Houses whose heights are kept at hand while they are compared, each with every other."""

Field = npt.NDArray[np.uint8]
Heights = tuple[bytes, ...]


class Look(Struct, frozen=True):
    """A house from outside.

    heights: cells above the ground, a row from south to north for each column of the footprint's
    bounds from the west.  roof, walls: their commonest colours.  fronts: how each bay is opened, storey
    by storey, from left to right for someone outside; the gate's front, then counter-clockwise.
    """

    heights: Heights
    roof: str
    walls: str
    fronts: tuple[tuple[str, ...], ...]


def look(design: Design, voxels: Voxels) -> Look:
    """What is compared of a house.  voxels: its cells; those of its shell will do."""
    start = SIDES.index(design.gate_side)
    return Look(
        heights=heights(voxels),
        roof=_commonest(voxels, _topmost(voxels)),
        walls=_commonest(voxels, voxels.set_by("walls")),
        fronts=tuple(_front(design, SIDES[(start + n) % 4]) for n in range(4)),
    )


def heights(voxels: Voxels) -> Heights:
    """How high it stands above the ground's surface, over the bounds of its footprint."""
    where = _built(voxels)
    top = (where.shape[2] - where[:, :, ::-1].argmax(axis=2)) * where.any(axis=2)
    x, y = (np.flatnonzero(top.any(axis=axis)) for axis in (1, 0))
    footprint = top[x[0] : x[-1] + 1, y[0] : y[-1] + 1].astype(np.uint8)
    return tuple(row.tobytes() for row in footprint)


def _built(voxels: Voxels) -> npt.NDArray[np.bool_]:
    """The cells of what is built, from the ground's surface up."""
    shown = np.array([name in BUILT for name in voxels.about.stages])
    return np.asarray(shown[voxels.stage[:, :, voxels.about.gate[2] // 4 :]])


def _topmost(voxels: Voxels) -> npt.NDArray[np.bool_]:
    """The roof's cells that see the sky."""
    roof = voxels.set_by("roof")
    above = np.logical_or.accumulate(roof[:, :, ::-1], axis=2)[:, :, ::-1]
    above = np.concatenate((above[:, :, 1:], np.zeros_like(above[:, :, :1])), axis=2)
    return np.asarray(roof & ~above)


def _commonest(voxels: Voxels, where: npt.NDArray[np.bool_]) -> str:
    counts = np.bincount(voxels.material[where], minlength=1)
    return voxels.about.materials[int(counts.argmax())].colour


def _front(design: Design, side: Side) -> tuple[str, ...]:
    """How the bays that face a side are opened, from left to right and storey by storey."""
    found = []
    for s in design.segments:
        faces = FLANKS[s.axis][s.low != OUTSIDE]
        if s.boundary == "outer" and faces == side:
            along = s.cells.lie(s.axis).x0
            found.append((s.level, along if side in ("south", "east") else -along, s.opening))
    return tuple(opening for *_, opening in sorted(found))


@lru_cache(maxsize=MANY)
def _ways(rows: Heights) -> tuple[Field, ...]:
    """The field under the square's eight symmetries."""
    field = np.array([list(row) for row in rows], dtype=np.uint8)
    turned = (np.rot90(field, n) for n in range(4))
    return tuple(fixed(np.ascontiguousarray(f)) for t in turned for f in (t, t[::-1]))


@lru_cache(maxsize=MANY)
def _sums(rows: Heights) -> tuple[int, int, Field]:
    """Its volume, its footprint, and its heights from the greatest down."""
    every = np.sort(np.frombuffer(b"".join(rows), dtype=np.uint8))[::-1]
    return int(every.sum()), int(np.count_nonzero(every)), fixed(every)


def outside(a: Heights, b: Heights) -> Fraction:
    """The mean difference of their heights over all ground that either covers, to the higher ridge.

    The least over the square's eight symmetries and the four corners to which the footprints' bounds are
    brought together: a house that goes on farther at one end has not become another, as it would if
    their middles met, and only all four corners make the answer the same from both.
    """
    volumes, footprints = (sum(pair) for pair in zip(_sums(a)[:2], _sums(b)[:2], strict=True))
    least, ground = 1, 0
    for other in _ways(b):
        for shared in _shared(_ways(a)[0], other):
            apart = volumes - 2 * int(shared.sum())
            either = footprints - int(np.count_nonzero(shared))
            if apart * ground < least * either or not ground:
                least, ground = apart, either
    return Fraction(least, ground * _ridge(a, b))


def _ridge(a: Heights, b: Heights) -> int:
    return max(int(_sums(a)[2][0]), int(_sums(b)[2][0]))


def _shared(one: Field, other: Field) -> Iterator[Field]:
    """What both fill, where they meet in each corner in turn."""
    spans = [
        (slice(min(m, n)), slice(-min(m, n), None))[: 1 + (m != n)]
        for m, n in zip(one.shape, other.shape, strict=True)
    ]
    for x in spans[0]:
        for y in spans[1]:
            yield np.minimum(one[x, y], other[x, y])


def alike(a: Heights, b: Heights) -> bool:
    """Whether they are nearer than ``ALIKE``; quick where even their heights, sorted, tell them apart."""
    return _bound(a, b) < ALIKE and outside(a, b) < ALIKE


def _bound(a: Heights, b: Heights) -> Fraction:
    """Never more than ``outside``.

    What both fill of k columns is at most what the k highest of each share.  With one column less the
    difference grows by two cells or more and the ground by one, so k is best as large as it can be,
    unless the mean is above two.
    """
    (volume, footprint, high), (other, ground, tall) = _sums(a), _sums(b)
    most = min(len(high), len(tall))
    unshared = volume + other - 2 * int(np.minimum(high[:most], tall[:most]).sum())
    return min(Fraction(unshared, max(footprint, ground)), Fraction(2)) / _ridge(a, b)


def colours(a: Look, b: Look) -> Fraction:
    """The mean difference of red, green and blue, of roofs and of walls, to the greatest that there is."""
    pairs = ((a.roof, b.roof), (a.walls, b.walls))
    channels = [zip(bytes.fromhex(m[1:]), bytes.fromhex(n[1:]), strict=True) for m, n in pairs]
    return Fraction(sum(abs(m - n) for pair in channels for m, n in pair), 6 * 255)


def rhythm(a: Look, b: Look) -> Fraction:
    """The part of the bays of the fronts that must be opened otherwise, put in or left out (V. Levenshtein
    1966); the least, with one house mirrored or not."""
    bays = sum(max(len(m), len(n)) for m, n in zip(a.fronts, b.fronts, strict=True))
    front, right, back, left = (row[::-1] for row in b.fronts)
    ways = (b.fronts, (front, left, back, right))
    edits = (sum(map(_edits, a.fronts, way)) for way in ways)
    return Fraction(min(edits), max(1, bays))


def _edits(a: Sequence[str], b: Sequence[str]) -> int:
    row = list(range(len(b) + 1))
    for m, one in enumerate(a, 1):
        before, row = row, [m]
        for n, other in enumerate(b, 1):
            row.append(min(before[n] + 1, row[-1] + 1, before[n - 1] + (one != other)))
    return row[-1]
