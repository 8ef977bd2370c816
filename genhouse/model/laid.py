"""Parts laid one after another, and the cells that they set: the only place where parts become cells."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import chain

import numpy as np
import numpy.typing as npt

from genhouse.core.forms import NUMBER
from genhouse.model.part import STAGES, Part


@dataclass(frozen=True, slots=True, kw_only=True)
class Laid:
    """Parts on a grid of some size, as they were laid.

    box: the bounds of each part's box [N, 6].  form: the number of its form [N].  part, cell: of every cell
    that is set, part by part, the number of its part and its place in the flat grid [C].  All read-only.
    """

    size: tuple[int, int, int]
    parts: tuple[Part, ...]
    box: npt.NDArray[np.int32] = field(compare=False)
    form: npt.NDArray[np.uint16] = field(compare=False)
    part: npt.NDArray[np.intp] = field(compare=False)
    cell: npt.NDArray[np.int32] = field(compare=False)

    def __post_init__(self) -> None:
        for array in (self.box, self.form, self.part, self.cell):
            array.flags.writeable = False

    @classmethod
    def of(cls, parts: Sequence[Part], size: tuple[int, int, int]) -> Laid:
        """Raises ValueError where one lies outside the grid."""
        edges = chain.from_iterable([part.box for part in parts])
        box = np.fromiter(edges, dtype=np.int32, count=6 * len(parts)).reshape(-1, 6)
        outside = ((box[:, :3] < 0) | (box[:, 3:] > size)).any(axis=1)
        if outside.any():
            raise ValueError(f"{parts[int(outside.argmax())]} lies outside the plot {size}")
        form = np.array([NUMBER[p.form] for p in parts], dtype=np.uint16)
        part, cell = _cells_of(box, size)
        return cls(size=size, parts=tuple(parts), box=box, form=form, part=part, cell=cell)

    def in_building_order(self) -> Laid:
        """The same parts stage by stage, those of a stage as they were laid."""
        stage = {name: n for n, name in enumerate(STAGES)}
        order = np.argsort(np.array([stage[p.stage] for p in self.parts]), kind="stable")
        place = np.empty_like(order)
        place[order] = np.arange(len(order))
        by_part = np.argsort(place[self.part], kind="stable")
        return Laid(
            size=self.size,
            parts=tuple(map(self.parts.__getitem__, order.tolist())),
            box=self.box[order],
            form=self.form[order],
            part=place[self.part[by_part]],
            cell=self.cell[by_part],
        )

    def with_parts(self, more: Sequence[Part]) -> Laid:
        """These, and more after them.  Raises as ``of`` does."""
        new = Laid.of(more, self.size)
        return Laid(
            size=self.size,
            parts=(*self.parts, *new.parts),
            box=np.concatenate((self.box, new.box)),
            form=np.concatenate((self.form, new.form)),
            part=np.concatenate((self.part, new.part + len(self.parts))),
            cell=np.concatenate((self.cell, new.cell)),
        )


def _cells_of(
    box: npt.NDArray[np.int32], size: tuple[int, int, int]
) -> tuple[npt.NDArray[np.intp], npt.NDArray[np.int32]]:
    """Every cell in some boxes, one after another: the number of its box, its place in the flat grid."""
    _, deep, high = size
    x, y, z = box[:, :3].T
    long, wide, tall = (box[:, 3:] - box[:, :3]).T
    volume = long * wide * tall
    part = np.arange(len(box)).repeat(volume)
    nth = np.arange(len(part), dtype=np.int32) - (volume.cumsum(dtype=np.int32) - volume)[part]
    column, up = np.divmod(nth, tall[part])
    i, j = np.divmod(column, wide[part])
    first = (x * deep + y) * high + z
    return part, first[part] + (i * deep + j) * high + up
