"""Where a point falls on a picture that is framed by the whole house."""

from __future__ import annotations

from genhouse.core.box import Box
from genhouse.outputs.pictures import _print
from genhouse.outputs.pictures._compose import whole_bounds
from genhouse.outputs.pictures._scene import Scene
from genhouse.outputs.pictures.camera import COS_30, WORLD_AXES, View

Point = tuple[float, float]


class Placed:
    def __init__(self, scene: Scene, view: View, size: tuple[int, int]) -> None:
        bounds = whole_bounds(scene, view)
        scale = _print.frame(bounds, bounds, size).scale
        self._across, self._down = scale * COS_30 / 4, scale / 8
        self._left = (bounds[2] + bounds[3]) / 2 - size[0] / self._across / 2
        self._top = (bounds[0] + bounds[1]) / 2 - size[1] / self._down / 2
        self._axes = WORLD_AXES[view]
        self._size = scene.voxels.size

    def point(self, i: float, j: float, k: float) -> Point:
        """Of cells in the frame of the view."""
        p, q = 4 * (i - k), 4 * (j - k)
        return (p - q - self._left) * self._across, (p + q - self._top) * self._down

    def corner(self, box: Box, which: tuple[int, int, int]) -> Point:
        """Of a box of cells of the house.  which: near or far along the view's i and j, low or high."""
        ends = ((box.x0, box.x1), (box.y0, box.y1))
        way: list[int] = []
        for (axis, against), far in zip(self._axes, which[:2], strict=True):
            low, high = ends[axis]
            if against:
                low, high = self._size[axis] - high, self._size[axis] - low
            way.append(high if far else low)
        i, j = way
        return self.point(i, j, box.z1 if which[2] else box.z0)
