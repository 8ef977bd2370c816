"""What comes next, as a ghost: the outlines of boxes, drawn over a picture that shows the whole house's
frame.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from genhouse.core.box import Box, runs
from genhouse.outputs.pictures import _print
from genhouse.outputs.pictures._compose import whole_bounds
from genhouse.outputs.pictures._scene import Scene
from genhouse.outputs.pictures.camera import COS_30, WORLD_AXES, View

if TYPE_CHECKING:
    from PIL.Image import Image

GHOST = (118, 132, 158)
ROUND = ((1, 0, 0), (1, 0, 1), (0, 0, 1), (0, 1, 1), (0, 1, 0), (1, 1, 0))
"""Corners of a box's outline as the camera sees it, the first again at the end."""

Point = tuple[float, float]


def ghosted(image: Image, scene: Scene, view: View, boxes: Iterable[Box]) -> Image:
    """The same picture with the outlines of some boxes of cells."""
    from PIL import ImageDraw

    pen = ImageDraw.Draw(image)
    place = _Place(scene, view, image.size)
    for box in boxes:
        corners = [place(box, corner) for corner in ROUND]
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


class _Place:
    """Where a corner of a box falls on a picture that is framed by the whole house."""

    def __init__(self, scene: Scene, view: View, size: tuple[int, int]) -> None:
        bounds = whole_bounds(scene, view)
        scale = _print.frame(bounds, bounds, size).scale
        self.across, self.down = scale * COS_30 / 4, scale / 8
        self.left = (bounds[2] + bounds[3]) / 2 - size[0] / self.across / 2
        self.top = (bounds[0] + bounds[1]) / 2 - size[1] / self.down / 2
        self.axes = WORLD_AXES[view]
        self.size = scene.voxels.size

    def __call__(self, box: Box, corner: tuple[int, int, int]) -> Point:
        """corner: near or far along the camera's i and j, low or high."""
        ends = ((box.x0, box.x1), (box.y0, box.y1))
        way = []
        for (axis, against), far in zip(self.axes, corner[:2], strict=True):
            low, high = ends[axis]
            if against:
                low, high = self.size[axis] - high, self.size[axis] - low
            way.append(4 * (high if far else low))
        k = 4 * (box.z1 if corner[2] else box.z0)
        p, q = way[0] - k, way[1] - k
        return (p - q - self.left) * self.across, (p + q - self.top) * self.down
