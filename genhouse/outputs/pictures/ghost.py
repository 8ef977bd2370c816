"""What comes next, as a ghost: the outlines of boxes, drawn over a picture that shows the whole house's
frame.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from genhouse.core.box import Box, runs
from genhouse.outputs.pictures._placed import Placed
from genhouse.outputs.pictures._scene import Scene
from genhouse.outputs.pictures.camera import View

if TYPE_CHECKING:
    from PIL.Image import Image

GHOST = (118, 132, 158)
ROUND = ((1, 0, 0), (1, 0, 1), (0, 0, 1), (0, 1, 1), (0, 1, 0), (1, 1, 0))
"""Corners of a box's outline as the camera sees it, the first again at the end."""


def ghosted(image: Image, scene: Scene, view: View, boxes: Iterable[Box]) -> Image:
    """The same picture with the outlines of some boxes of cells."""
    from PIL import ImageDraw

    pen = ImageDraw.Draw(image)
    place = Placed(scene, view, image.size)
    for box in boxes:
        corners = [place.corner(box, corner) for corner in ROUND]
        pen.line([*corners, corners[0]], fill=GHOST)
    return image


def boxes_of(cells: npt.NDArray[np.bool_]) -> Iterator[Box]:
    """Boxes that cover some cells ``[X, Y, Z]``: equal ones that lie one on another are one."""
    stacked: dict[tuple[int, int, int, int], Box] = {}
    for box in sorted(
        runs([(x, y, z) for x, y, z in np.argwhere(cells).tolist()]), key=lambda b: b.z0
    ):
        x0, y0, z0, x1, y1, z1 = box
        below = stacked.get((x0, y0, x1, y1))
        if below is not None and below.z1 == z0:
            stacked[x0, y0, x1, y1] = Box(x0, y0, below.z0, x1, y1, z1)
            continue
        if below is not None:
            yield below
        stacked[x0, y0, x1, y1] = box
    yield from stacked.values()
