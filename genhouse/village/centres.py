"""Where people settle first: level ground above a flood, near a stream, with ways out of the valley."""

from __future__ import annotations

import numpy as np

from genhouse.village.grids import Field, Mask, moved
from genhouse.village.land import CELL
from genhouse.village.spans import far_from, mean
from genhouse.village.ways import Place

HOUSES = (45, 30, 20)
"""A green has about so many houses about it, at most; fewer, where so many find no room."""
ROOM = 9
"""Lattice places about a green whose slope counts."""
APART = 56
"""Lattice places between two greens, at least."""
NEAR, DRY = 12, 5
"""Lattice places from a stream that are best; nearer is liable to flood."""


def centres(heights: Field, wet: Mask, many: int) -> tuple[Place, ...]:
    """The middles of so many greens, the best first, as far as there is room."""
    worth = _worth(heights, wet)
    found: list[Place] = []
    i, j = np.indices(heights.shape)
    for _ in range(many):
        at = int(worth.argmax())
        place = (at // heights.shape[1], at % heights.shape[1])
        if worth[place] < 0 and found:
            break
        found.append(place)
        worth[(i - place[0]) ** 2 + (j - place[1]) ** 2 < APART * APART] = -1
    return tuple(found)


def _worth(heights: Field, wet: Mask) -> Field:
    """More for level ground, for a stream near by, for the middle of the map."""
    n, m = heights.shape
    slope = np.abs(heights - moved(heights, 1, 0)) + np.abs(heights - moved(heights, 0, 1))
    steep = mean(slope, ROOM)
    to_water = far_from(wet) if wet.any() else np.full_like(slope, NEAR)
    stream = 6 * np.abs(to_water - NEAR) + 900 * (to_water < DRY)
    i, j = np.indices(heights.shape)
    middle = np.abs(2 * i - n) * 160 // n + np.abs(2 * j - m) * 160 // m
    border = np.minimum(np.minimum(i, j), np.minimum(n - 1 - i, m - 1 - j))
    worth = 2000 - steep * 6 * 100 // CELL - stream - middle
    return np.asarray(np.where(border < 14, -1, np.maximum(worth, 0)))
