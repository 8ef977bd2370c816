"""The lie of the land: a valley with a stream, shaped by water.  Heights in whole units, 64 a cell.

The land is thought out on a lattice of four cells, with its stream running along the first axis, and
turned at the end to where it is drawn to run.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import isqrt

import numpy as np

from genhouse.core.draw import Draw
from genhouse.village.flow import Flow, flow
from genhouse.village.grids import STEPS, Field, Mask, eased, moved, rough, smooth

PITCH = 4
"""Cells a lattice step."""
CELL, HALF = 64, 32
"""Units."""
FOOT = 8 * CELL
"""The lowest ground, so that there is something below a stream's bed."""
TRICKLE = 24
"""Places from which what comes by cuts nothing yet."""
SHAPING = 6
"""Times that water shapes the ground."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Land:
    """heights: units, [X / 4, Y / 4].  head: where the stream comes onto the map, or begins; None where
    there is none.  flow: how water runs.  own: units of every cell, where they were given; sea: its level.
    """

    heights: Field
    head: tuple[int, int] | None
    flow: Flow
    own: Field | None = None
    sea: int = 0


def lay_land(size: tuple[int, int], draw: Draw, level: int = 0) -> Land:
    """The land of a map of so many cells.  level: hundredths of it that are to be built on: where that is
    much, people settled where a valley's bottom is broad."""
    quarters = draw.below(4, "course")
    along, across = (n // PITCH for n in (size if quarters % 2 == 0 else size[::-1]))
    middle = _course(along, across, draw.at("course"))
    heights = _valley(along, across, middle, level, draw)
    outlets = _borders((along, across))
    heights = _shaped(heights, outlets)
    heights += FOOT - int(heights.min())
    inlet = np.zeros((along, across), dtype=bool)
    inlet[0, middle[0]] = True
    i, j = np.argwhere(np.rot90(inlet, quarters))[0].tolist()
    run = flow(np.rot90(heights, quarters).copy(), np.rot90(outlets, quarters).copy())
    return Land(heights=run.filled, head=(i, j), flow=run)


def _course(along: int, across: int, draw: Draw) -> Field:
    """Where the valley's middle lies across, for each place along: it winds."""
    wide = rough((along, 1), 64, 3, across // 4, draw.at("winding"))[:, 0]
    start = across * draw.between(42, 58, "middle") // 100
    return np.clip(start + wide, across // 6, across - across // 6)


def _valley(along: int, across: int, middle: Field, level: int, draw: Draw) -> Field:
    """A flat bottom, two slopes of unlike steepness, hills, and all of it falling along the stream."""
    shape = (along, across)
    aside = np.arange(across)[None, :] - middle[:, None]
    # At least half as wide again, from rim to rim, as what is to be built on.
    least = max(7 + across // 64, across * level * 3 // 400)
    bottom = least + rough((along, 1), 32, 2, 5, draw.at("bottom"))
    steep = [across * draw.between(28, 44, side) // 100 for side in ("left", "right")]
    rise = np.where(aside < 0, *steep)
    high = min(12 + isqrt(across * 2), across // 4) * CELL
    longest = 1 << (across // 2).bit_length() - 1
    bent = rough(shape, min(longest, 64), 4, 26, draw.at("spurs"))
    slope = eased(np.abs(aside) + bent - bottom, rise)
    fall = (along - np.arange(along))[:, None] * (CELL * PITCH) // 72
    hills = rough(shape, longest, 5, min(9, across // 10) * CELL, draw.at("hills"))
    swell = rough(shape, 16, 3, CELL, draw.at("swell"))
    groove = np.maximum(0, 3 - np.abs(aside)) * CELL // 2
    return np.asarray(fall + (slope * high >> 10) + (hills * (slope + 60) >> 10) + swell - groove)


def _borders(shape: tuple[int, int]) -> Mask:
    """Water leaves over every border but that over which the stream comes in."""
    out = np.ones(shape, dtype=bool)
    out[:-1, 1:-1] = False
    return out


def _shaped(heights: Field, outlets: Mask) -> Field:
    """Streams cut down by what comes by and how steep it is; slopes slip where they are steeper than stand.

    Stream power with whole roots (A. Howard, Water Resources Research 30 (1994) 2261-2285, from memory).
    """
    for _ in range(SHAPING):
        run = flow(heights, outlets)
        fall = run.filled - run.filled.reshape(-1)[run.to].reshape(heights.shape)
        gathered = np.maximum(run.comes - TRICKLE, 0).reshape(-1).tolist()
        power = np.array([isqrt(n) for n in gathered]).reshape(heights.shape)
        cut = np.minimum(fall * power // 24, fall * 3 // 4)
        heights = run.filled - np.minimum(cut, CELL)
        heights = _slipped(smooth(heights) + heights >> 1)
    return heights


def _slipped(heights: Field) -> Field:
    """No neighbour stands more than three cells over another four cells off."""
    most = 3 * CELL
    for _ in range(4):
        low = np.min([moved(heights, *step) for step in STEPS[:4]], axis=0)
        heights = np.where(heights - low > most, heights - (heights - low - most) // 2, heights)
    return heights
