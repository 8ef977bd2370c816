"""Which cell a point of a picture shows."""

from __future__ import annotations

from math import ceil, floor

import numpy as np

from genhouse.outputs.pictures import _print
from genhouse.outputs.pictures._compose import shot
from genhouse.outputs.pictures._scene import Scene
from genhouse.outputs.pictures.camera import COS_30, Window, look
from genhouse.outputs.pictures.picture import LOOKS, SUNNY_SIDE, gate_side


def cell_at(
    scene: Scene, name: str, point: tuple[float, float], size: tuple[int, int]
) -> tuple[int, int, int] | None:
    """The cell that is seen at a point of a look at the whole house; None on bare paper.

    name: of the look.  point: pixels from the picture's left and upper edge.  size: of the picture.
    """
    view, mask = SUNNY_SIDE[gate_side(scene.voxels)], LOOKS[name]
    s = shot(scene, view, mask(scene.voxels, view) if mask else None, None, False)
    seen = look(s.solid, _triangle(s.bounds, size, point))
    if not seen.place.size:
        return None
    x, y, z = np.unravel_index(int(s.cells_at(seen.at)[0]), scene.voxels.size)
    return int(x), int(y), int(z)


def _triangle(bounds: _print.Bounds, size: tuple[int, int], point: tuple[float, float]) -> Window:
    """The one triangle of the lattice that a point lies in: see ``camera`` and ``_print.frame``."""
    scale = _print.frame(bounds, bounds, size).scale
    across, down = scale * COS_30 / 4, scale / 8
    c = (bounds[2] + bounds[3]) / 2 + (point[0] - size[0] / 2) / across
    t = (bounds[0] + bounds[1]) / 2 + (point[1] - size[1] / 2) / down
    strip, part = floor(c), c - floor(c)
    for middle in (floor(t), ceil(t)):
        right = (middle - 1 + strip) % 2 == 0
        if abs(t - middle) <= (1 - part if right else part):
            break
    return Window(t0=middle - 1, c0=strip, rows=1, strips=1)
