"""Many houses as arrays: how far each of them is from one, all at once.

What is worked out here is ``distinct.distance`` and ``outside.least``, to the last bit.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Any

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from genhouse.many import distinct, outside
from genhouse.many.distinct import BUILD, GRID, PLAN, PROGRAMME, Features

Reals = npt.NDArray[np.float64]
Mask = npt.NDArray[np.bool_]
Whole = npt.NDArray[np.int64]


SLACK = 1e-9
"""What bounds may lose in rounding."""
FEW = 12
"""Those of the least bounds, among which the nearest is looked for first."""
SAME_WAY = (0, 1, 4, 5)
"""Of eight ways, those that lie along the same axes as the first."""


class Crowd(Struct, frozen=True, kw_only=True, eq=False):
    """N houses.  uses: [N, 256], a number for each use; mirrored: the same from the other hand.

    areas: [N, K] by kind of room.  build: [N, B].  tall: [N, M], heights from the greatest down.  sums:
    volume, footprint and ridge of each, [3, N].  ways: [N, 8, S], heights under eight symmetries.
    """

    members: tuple[Features, ...]
    uses: npt.NDArray[np.int16]
    mirrored: npt.NDArray[np.int16]
    areas: npt.NDArray[np.int32]
    build: npt.NDArray[np.int32]
    tall: npt.NDArray[np.int16]
    sums: Whole
    ways: npt.NDArray[np.uint8]

    @classmethod
    def of(cls, members: Sequence[Features]) -> Crowd:
        names = {
            name: n for n, name in enumerate(sorted({u for m in members for u in m.uses} | {""}))
        }
        kinds = {name: n for n, name in enumerate(sorted({k for m in members for k, _ in m.areas}))}
        uses = np.array([[names[u] for u in m.uses] for m in members], dtype=np.int16)
        areas = np.zeros((len(members), len(kinds)), dtype=np.int32)
        for n, member in enumerate(members):
            for kind, area in member.areas:
                areas[n, kinds[kind]] = area
        every = [np.frombuffer(b"".join(m.look.heights), dtype=np.uint8) for m in members]
        tall = np.zeros((len(members), max(map(len, every))), dtype=np.int16)
        for row, heights in zip(tall, every, strict=True):
            row[: len(heights)] = np.sort(heights)[::-1]
        return cls(
            members=tuple(members),
            uses=uses,
            mirrored=uses.reshape(-1, GRID, GRID)[:, :, ::-1].reshape(uses.shape),
            areas=areas,
            build=np.array([m.build for m in members], dtype=np.int32),
            tall=tall,
            ways=_ways([m.look.heights for m in members]),
            sums=np.stack([tall.sum(axis=1), np.count_nonzero(tall, axis=1), tall[:, 0]]).astype(
                np.int64
            ),
        )

    def inside(self, n: int) -> Reals:
        """``distinct.distance`` from one to each."""
        used = np.maximum(((self.uses > 0) | (self.uses[n] > 0)).sum(axis=1), 1)
        aside = np.maximum(((self.mirrored > 0) | (self.uses[n] > 0)).sum(axis=1), 1)
        plan = np.minimum(
            (self.uses != self.uses[n]).sum(axis=1) / used,
            (self.mirrored != self.uses[n]).sum(axis=1) / aside,
        )
        shared = np.minimum(self.areas, self.areas[n]).sum(axis=1)
        whole = np.maximum(self.areas.sum(axis=1) + int(self.areas[n].sum()), 1)
        build = np.zeros(len(self.build))
        for column in self.build.T:  # added in the order in which ``distance`` adds
            build += np.abs(column - column[n]) / np.maximum(np.maximum(column, column[n]), 1)
        return np.asarray(
            PLAN * plan
            + PROGRAMME * (1 - 2 * shared / whole)
            + BUILD * (build / self.build.shape[1])
        )

    def like_any(self, n: int, among: Mask) -> bool:
        """Whether one is a near-duplicate of any of some."""
        if (self.inside(n)[among] < distinct.ALIKE).any():
            return True
        near = np.flatnonzero(among & (self._bound(n) < float(outside.ALIKE) + SLACK))
        return self._looks(n, near) < outside.ALIKE

    def nearest_look(self, n: int, among: Mask) -> Fraction:
        """How far that of some is whose looks are nearest to one's; 1 where there are none."""
        bound = self._bound(n)
        order = np.argsort(bound, kind="stable")
        order = order[among[order]]
        found = self._looks(n, order[:FEW])
        rest = order[FEW:]
        return min(found, self._looks(n, rest[bound[rest] < float(found) + SLACK]))

    def _looks(self, n: int, others: Whole) -> Fraction:
        """The least of ``outside.outside`` from one to some; 1 where there are none."""
        if not len(others):
            return Fraction(1)
        # Brought together in any corner, and turned any way: its four quarter turns and flips against all
        # eight of the others, each with its low corner in the same place.
        fractions = []
        for way in self.ways[n, SAME_WAY]:
            shared = np.minimum(self.ways[others], way)
            fractions.append((shared.sum(axis=2, dtype=np.int64), np.count_nonzero(shared, axis=2)))
        volumes, grounds = (np.stack(part, axis=2) for part in zip(*fractions, strict=True))
        volume, footprint, ridge = self.sums
        apart = (volume[others] + volume[n])[:, None, None] - 2 * volumes
        ground = (footprint[others] + footprint[n])[:, None, None] - grounds
        ground = ground * np.maximum(ridge[others], ridge[n])[:, None, None]
        # Quotients of whole numbers as small as these are in the order of the fractions.
        least = np.unravel_index(int((apart / ground).argmin()), apart.shape)
        return Fraction(int(apart[least]), int(ground[least]))

    def _bound(self, n: int) -> Reals:
        """Never more than how far looks are apart: see ``outside._bound``."""
        volume, footprint, ridge = self.sums
        apart: Any = volume + volume[n] - 2 * np.minimum(self.tall, self.tall[n]).sum(axis=1)
        mean = apart / np.maximum(footprint, footprint[n])
        return np.asarray(np.minimum(mean, 2) / np.maximum(ridge, ridge[n]))


def _ways(looks: Sequence[outside.Heights]) -> npt.NDArray[np.uint8]:
    """Heights under the eight symmetries, each with its low corner in the corner of a square."""
    fields = [np.array([list(row) for row in rows], dtype=np.uint8) for rows in looks]
    side = max(max(field.shape) for field in fields)
    found = np.zeros((len(fields), 8, side, side), dtype=np.uint8)
    for n, field in enumerate(fields):
        turned = [np.rot90(field, k) for k in range(4)]
        for k, way in enumerate(f for t in turned for f in (t, t[::-1])):
            found[n, k, : way.shape[0], : way.shape[1]] = way
    return found.reshape(len(fields), 8, side * side)
