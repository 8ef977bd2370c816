"""Once over the whole map, piece by piece: what the pictures are made of."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from genhouse.core.forms import FORMS
from genhouse.core.kept import fixed, once
from genhouse.outputs.pictures._finish import MOTTLE
from genhouse.outputs.pictures._finish import SOFT as SOFT_FINISHES
from genhouse.outputs.pictures.camera import View
from genhouse.outputs.pictures.front import Frame, Seen
from genhouse.outputs.pictures.landscape import Stuff
from genhouse.village.cells import Box, Cells, World
from genhouse.village.matter import Matter

FINE, COARSE = 768, 1536
"""Cells along a map's side up to which it is seen by halves of cells, and by cells; beyond, by twos."""
FILLED = 3
"""Of the eight sub-cells of a half, from which it counts as filled."""


@once
def halves() -> npt.NDArray[np.bool_]:
    """bool [F, 2, 2, 2]: which halves of a cell each form fills."""
    shapes = np.stack([form.shape for form in FORMS])
    eight = shapes.reshape(-1, 2, 2, 2, 2, 2, 2).sum(axis=(2, 4, 6))
    return fixed(eight >= FILLED)


CLIFF = 16
"""Cells below its lowest column down to which a piece of the map may show its side."""


@dataclass(frozen=True, slots=True, eq=False)
class Eye:
    """How a map is looked at.  grain: halves of cells along a step: 1, 2 or 4.  size: columns."""

    frame: Frame
    grain: int
    size: tuple[int, int]

    @classmethod
    def of(cls, world: World) -> Eye:
        """The larger a map is, the coarser it is seen: a picture has only so many pixels."""
        size = world.surface.shape
        grain = 1 if max(size) <= FINE else 2 if max(size) <= COARSE else 4
        x, y, z = (2 * n // grain for n in world.size)
        return cls(Frame.of(best_view(world), (x, y, z)), grain, size)

    @property
    def step(self) -> float:
        """Steps to a cell."""
        return 2 / self.grain

    def glimpse(self, box: Box, found: Cells, matter: Matter) -> Glimpse:
        """What a piece shows from aslant, and from above."""
        top, stuff = highest(found.material)
        return Glimpse(box=box, seen=self._seen(box, found, matter), top=top, stuff=stuff)

    def _seen(self, box: Box, found: Cells, matter: Matter) -> Seen:
        low, high = self._layers(box, found.form > 0)
        form, stuff = found.form[:, :, low:high], found.material[:, :, low:high]
        of_column = _lumens(found, matter)
        if self.grain == 1:
            n, m, k = form.shape
            solid = halves()[form].transpose(0, 3, 1, 4, 2, 5).reshape(2 * n, 2 * m, 2 * k)
        elif self.grain == 2:
            solid = form > 0
        else:
            solid, stuff = _coarse(stuff)
            n, m, _ = solid.shape
            of_column = of_column.reshape(n, 2, m, 2).sum(axis=(1, 3))
        x, y, z = (2 * at // self.grain for at in (*box[:2], low))
        return self.frame.seen((x, y, z), solid, stuff, of_column)

    def _layers(self, box: Box, solid: npt.NDArray[np.bool_]) -> tuple[int, int]:
        """The layers of a piece that may be seen, even numbers; all at the edge of the map."""
        top = solid.shape[2] - solid[:, :, ::-1].argmax(axis=2)
        inside = min(box[:2]) > 0 and box[2] < self.size[0] and box[3] < self.size[1]
        low = max(0, int(top.min()) - CLIFF) // 2 * 2 if inside else 0
        return low, min(solid.shape[2], -(-int(top.max()) // 2) * 2)


class Glimpse(Struct, frozen=True, kw_only=True):
    """What a piece of the map shows.  seen: from aslant.  top, stuff: see ``highest``."""

    box: Box
    seen: Seen
    top: npt.NDArray[np.int16]
    stuff: npt.NDArray[np.uint8]


def highest(material: npt.NDArray[np.uint8]) -> tuple[npt.NDArray[np.int16], npt.NDArray[np.uint8]]:
    """Of each column the layer of its top, and the material there."""
    top = material.shape[2] - 1 - (material[:, :, ::-1] > 0).argmax(axis=2)
    stuff = np.take_along_axis(material, top[:, :, None], axis=2)[:, :, 0]
    return top.astype(np.int16), stuff


def _lumens(found: Cells, matter: Matter) -> npt.NDArray[np.int32]:
    """Of each column; what lies under a roof lights its windows, which shine of themselves."""
    lumens = np.array([m.lumens for m in matter.entries], dtype=np.int32)
    shape = found.material.shape
    x, y, z = np.unravel_index(np.flatnonzero((lumens > 0)[found.material]), shape)
    above = np.arange(found.material.shape[2]) > z[:, None]
    free = ~((found.material[x, y] > 0) & above).any(axis=1)
    of_column = np.zeros(found.material.shape[:2], dtype=np.int32)
    np.add.at(of_column, (x[free], y[free]), lumens[found.material[x, y, z][free]])
    return of_column


def _coarse(stuff: npt.NDArray[np.uint8]) -> tuple[npt.NDArray[np.bool_], npt.NDArray[np.uint8]]:
    """By twos of cells: whether any is filled, and the material of the highest that is."""
    x, y, z = (size // 2 for size in stuff.shape)
    parts = stuff.reshape(x, 2, y, 2, z, 2)
    found = np.zeros((x, y, z), dtype=np.uint8)
    for k, i, j in (
        (1, 0, 0),
        (1, 1, 1),
        (1, 0, 1),
        (1, 1, 0),
        (0, 0, 0),
        (0, 1, 1),
        (0, 0, 1),
        (0, 1, 0),
    ):
        part = parts[:, i, :, j, :, k]
        np.copyto(found, part, where=found == 0)
    return found > 0, found


def stuff(matter: Matter) -> Stuff:
    """How materials are drawn on a map."""
    entries = matter.entries
    return Stuff(
        colour=np.array(
            [[int(m.colour[n : n + 2], 16) for n in (1, 3, 5)] for m in entries], dtype=np.int32
        ),
        mottle=np.array(
            [MOTTLE.get(f, MOTTLE["plain"])[1] // 2 + 1 for f in matter.finishes], dtype=np.int32
        ),
        soft=np.array([f in SOFT_FINISHES for f in matter.finishes]),
        glows=np.array([m.lumens > 0 for m in entries]),
        shines=np.array([m.clear and not m.liquid and not m.lumens for m in entries]),
    )


def best_view(world: World) -> View:
    """The view from the lowest side of the map: the land rises behind."""
    ground = world.surface.ground
    n, m = ground.shape
    low = {
        "south-east": ground[n // 2 :, : m // 2],
        "south-west": ground[: n // 2, : m // 2],
        "north-west": ground[: n // 2, m // 2 :],
        "north-east": ground[n // 2 :, m // 2 :],
    }
    return min(low, key=lambda view: (int(low[view].sum(dtype=np.int64)), view))  # type: ignore[arg-type]
