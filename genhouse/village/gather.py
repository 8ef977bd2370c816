"""Once over the whole map, piece by piece: what the pictures are made of."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from genhouse.core.forms import FORMS
from genhouse.core.kept import fixed, once
from genhouse.outputs.pictures._finish import MOTTLE
from genhouse.outputs.pictures._finish import SOFT as SOFT_FINISHES
from genhouse.outputs.pictures.camera import View
from genhouse.outputs.pictures.landscape import Front, Stuff
from genhouse.village.cells import Box, Cells, World
from genhouse.village.matter import Matter

FILLED = 3
"""Of the eight sub-cells of a half, from which it counts as filled."""


@once
def halves() -> npt.NDArray[np.bool_]:
    """bool [F, 2, 2, 2]: which halves of a cell each form fills."""
    shapes = np.stack([form.shape for form in FORMS])
    eight = shapes.reshape(-1, 2, 2, 2, 2, 2, 2).sum(axis=(2, 4, 6))
    return fixed(eight >= FILLED)


def fine(values: npt.NDArray[np.uint8]) -> npt.NDArray[np.uint8]:
    """Each cell's value in its halves."""
    return values.repeat(2, axis=0).repeat(2, axis=1).repeat(2, axis=2)


def show(front: Front, box: Box, found: Cells, matter: Matter, step: int) -> None:
    """Add a piece to what is seen.  step: 2 for halves of cells, 1 for whole ones."""
    lumens = np.array([m.lumens for m in matter.entries], dtype=np.int32)[found.material]
    # What lies under a roof lights its windows, which shine of themselves.
    roofed = np.logical_or.accumulate(found.material[:, :, ::-1] > 0, axis=2)[:, :, ::-1]
    lumens[:, :, :-1][roofed[:, :, 1:]] = 0
    of_column = lumens.sum(axis=2, dtype=np.int32)
    if step == 1:
        front.add(box[0], box[1], found.form > 0, found.material, of_column)
        return
    x, y, z = found.form.shape
    solid = halves()[found.form].transpose(0, 3, 1, 4, 2, 5).reshape(2 * x, 2 * y, 2 * z)
    wide = of_column.repeat(2, axis=0).repeat(2, axis=1) // 4
    front.add(2 * box[0], 2 * box[1], solid, fine(found.material), wide)


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
    ground = world.surface.ground.astype(np.int64)
    n, m = ground.shape
    low = {
        "south-east": ground[n // 2 :, : m // 2],
        "south-west": ground[: n // 2, : m // 2],
        "north-west": ground[: n // 2, m // 2 :],
        "north-east": ground[n // 2 :, m // 2 :],
    }
    return min(low, key=lambda view: (int(low[view].sum()), view))  # type: ignore[arg-type]
