"""Daylight from the sky on grids of sub-cells: the part of it that a point sees.

Rays go out evenly over the half of all directions above the horizon, on a spiral that turns by the
golden angle, so that each stands for the same solid angle.  They are followed in steps of half a
sub-cell along their longest axis: one may pass a corner that it cuts by less than that.
"""

from __future__ import annotations

import math
from functools import cache
from typing import Literal

import numpy as np
import numpy.typing as npt

from genhouse.core.kept import fixed
from genhouse.core.solids import Bool, Ints

RAYS = 320
UNIT = 4096
"""Length of the longest axis of a ray's whole-number direction."""
Floats = npt.NDArray[np.float64]


@cache
def _dome(rays: int) -> Floats:
    """Directions [rays, 3], from the zenith down."""
    up = 1 - (np.arange(rays) + 0.5) / rays
    turn = np.arange(rays) * (math.pi * (3 - math.sqrt(5)))
    flat = np.sqrt(1 - up * up)
    return fixed(np.stack((flat * np.cos(turn), flat * np.sin(turn), up), axis=1))


def sky_component(
    opaque: Bool,
    points: Ints,
    *,
    sky: Literal["even", "overcast"] = "even",
    normal: tuple[float, float, float] = (0, 0, 1),
    rays: int = RAYS,
) -> Floats:
    """The part of open level ground's skylight that each point gets straight from the sky, 0 to 1.

    opaque: bool [A, B, C], sub-cells; beyond the grid all is open.  points: [P, 3] in eighths, on a
    surface whose upward normal is given.  An even sky on level ground gives the sky view factor; the
    overcast one is three times as bright overhead as at the horizon (P. Moon and D. Spencer 1942,
    CIE standard overcast sky) and gives what guides for daylight call sky component.
    """
    ways = _dome(rays)
    bright = np.ones(rays) if sky == "even" else (1 + 2 * ways[:, 2]) / 3
    share = bright * np.maximum(ways @ np.array(normal, dtype=float), 0)
    return np.asarray(_open(opaque, points, ways) @ share / (bright @ ways[:, 2]))


def _open(opaque: Bool, points: Ints, ways: Floats) -> Bool:
    """Whether each ray leaves the grid unhindered: bool [P, N]."""
    grid = np.pad(opaque, 1)
    steps = np.rint(ways / np.abs(ways).max(axis=1)[:, None] * UNIT).astype(np.int64)
    free = np.ones((len(points), len(ways)), dtype=bool)
    for n, step in enumerate(steps if len(points) else ()):
        free[:, n] = _leaves(grid, points, step)
    return free


def _leaves(grid: Bool, points: Ints, step: npt.NDArray[np.int64]) -> Bool:
    """For one direction; each ray is sampled until it is above the grid or past its sides."""
    size = np.array(grid.shape) - 2
    low = points.min(axis=0)
    number = _length(size, low, points.max(axis=0), step)
    k = np.arange(1, number + 1)
    cells = []
    for n in range(3):
        at = (points[:, n, None] * UNIT + k * step[n]) // (2 * UNIT)
        cells.append(np.clip(at, -1, size[n]) + 1)
    flat = (cells[0] * grid.shape[1] + cells[1]) * grid.shape[2] + cells[2]
    blocked = grid.reshape(-1).take(flat).any(axis=1)
    return np.asarray(~blocked)


def _length(size: Ints, low: Ints, high: Ints, step: npt.NDArray[np.int64]) -> int:
    """Steps until every ray is out."""
    ends = []
    for n in range(3):
        way = int(step[n])
        if way:
            far = 2 * int(size[n]) - int(low[n]) if way > 0 else int(high[n])
            ends.append(far * UNIT // abs(way) + 1)
    return max(1, min(ends))
