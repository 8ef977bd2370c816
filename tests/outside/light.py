"""What always holds at night: enough light straight from lamps on every floor that a visitor walks on.

E = I cos(theta) / d^2 with I = lumens / (4 pi) for a lamp that shines alike to all sides (inverse square
and cosine laws), a cell being a metre.  A ray is cut at every plane between sub-cells that it crosses; the
middles of its parts say which sub-cells it runs through, exactly, as long as it runs along no plane and
through no edge.  So each ray is moved a little, by all eight corners of a tiny box: where all of them
pass, it is clear of everything; where none does, something stands in its way; else it grazes an edge.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import product
from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

from tests.outside.cells import House
from tests.outside.tables import SUB, Bits, Finding

Floats = npt.NDArray[np.float64]
Whole = npt.NDArray[np.integer[Any]]

LEAST = 10
"""Lux that the contract promises where the brief asks for none."""
EIGHTHS = 8
OVER = 1 / EIGHTHS
"""Cells from a floor to where rays end, so that what one stands on is in no ray's way."""
NUDGES = tuple(np.array(signs) * (1.3e-6, 1.7e-6, 2.3e-6) for signs in product((-1, 1), repeat=3))
"""Cells by which a ray is moved: far less than it can pass anything by without touching it."""
AT_ONCE = 4096


class Floor(NamedTuple):
    """Where a visitor stands: places in cells [P, 3], and the id of the room of each [P]."""

    at: Floats
    room: Whole


class Lamps(NamedTuple):
    """Places in cells [L, 3], lumens [L], and the room that each hangs or stands in [L]."""

    at: Floats
    lumens: Floats
    room: Whole


def light(house: House, places: Whole | None, least: float) -> Iterator[Finding]:
    """Each walkable indoor room has so many lux, or more, wherever a visitor can stand in it.

    places: all that a visitor reaches, in quarters of a cell [N, 3]; None where nobody gets in.
    """
    if places is None:
        return
    floor, lamps = floor_of(house, places), lamps_of(house)
    lux = illuminance(house, floor, lamps, own=True, sure=False)
    short = np.flatnonzero(lux < least)
    if short.size:
        few = Floor(floor.at[short], floor.room[short])
        lux[short] = illuminance(house, few, lamps, own=False, sure=False)
    for room in house.about["rooms"]:
        dark = (floor.room == room["id"]) & (lux < least - 0.001)
        if dark.any():
            cells = tuple(tuple(map(int, cell)) for cell in np.floor(floor.at[dark])[:5])
            name = f"room {room['id']} ({room['kind']})"
            yield Finding("light", cells, f"{name} has {lux[dark].min():.2f} lux of {least}")


def floor_of(house: House, places: Whole) -> Floor:
    """The middles of the lowest cells of indoor rooms that one walks in, where one stands square."""
    square = places[(places[:, :2] % SUB == 0).all(axis=1)]
    x, y, z = (square // SUB).T
    room = house.room[x, y, np.minimum(z, house.room.shape[2] - 1)]
    under = house.room[x, y, np.maximum(z - 1, 0)]
    wanted = [r["id"] for r in house.about["rooms"] if r["indoor"] and r["walkable"]]
    lowest = np.isin(room, wanted) & (under != room) & (z < house.room.shape[2])
    at = square[lowest] / SUB + (0.5, 0.5, 0)
    return Floor(at, room[lowest])


def lamps_of(house: House) -> Lamps:
    """Every piece that gives light: the middle of what it fills, to the nearest eighth of a cell."""
    gives = np.array([m.get("lumens", 0) for m in house.about["materials"]], dtype=float)
    cells = np.argwhere(gives[house.material] > 0)
    middles = np.zeros((len(house.shapes), 3))
    for n in np.unique(house.form[gives[house.material] > 0]).tolist():
        middle = (np.argwhere(house.shapes[n]) + 0.5).mean(axis=0) / SUB
        middles[n] = np.floor(EIGHTHS * middle + 0.5) / EIGHTHS
    at = tuple(cells.T)
    return Lamps(cells + middles[house.form[at]], gives[house.material[at]], house.room[at])


def illuminance(house: House, floor: Floor, lamps: Lamps, *, own: bool, sure: bool) -> Floats:
    """Lux at each place [P].

    own: only by the lamps of a place's own room.  sure: without what grazes an edge on its way.
    """
    pairs = floor.room[:, None] == lamps.room if own else np.ones((len(floor.at), len(lamps.at)))
    point, lamp = np.nonzero(pairs)
    way = lamps.at[lamp] - floor.at[point]
    apart = np.sqrt((way**2).sum(axis=1))
    lux = lamps.lumens[lamp] / (4 * math.pi) * np.maximum(way[:, 2], 0) / apart**3
    point, lamp, lux = (a[lux > 0] for a in (point, lamp, lux))
    lux *= clear(house, lamps.at[lamp], floor.at[point] + (0, 0, OVER), sure=sure)
    return np.bincount(point, lux, len(floor.at))


def clear(house: House, start: Floats, end: Floats, *, sure: bool) -> Bits:
    """Whether rays from [R, 3] to [R, 3] are stopped by nothing: as moved by every nudge, where that is
    to be sure, or as moved by any."""
    opaque = house.filled & ~house.flag("clear")
    found, left = np.full(len(start), sure), np.arange(len(start))
    for nudge in NUDGES:
        parts = [left[n : n + AT_ONCE] for n in range(0, len(left), AT_ONCE)]
        ends = ((SUB * (start[part] + nudge), SUB * (end[part] + nudge)) for part in parts)
        passes = np.concatenate([np.zeros(0, dtype=bool), *(_passes(opaque, *e) for e in ends)])
        found[left[passes != sure]] = not sure
        left = left[passes == sure]
    return found


def _passes(opaque: Bits, start: Floats, end: Floats) -> Bits:
    """Whether rays in general position run through no opaque sub-cell; places in sub-cells."""
    way = end - start
    cuts = [np.zeros((len(start), 1)), np.ones((len(start), 1))]
    for axis in range(3):
        a, d = start[:, axis], way[:, axis]
        crossed = np.abs(np.floor(end[:, axis]) - np.floor(a)).astype(int)
        nth = np.arange(crossed.max(initial=0))
        plane = np.where(d > 0, np.floor(a) + 1, np.floor(a))[:, None] + np.sign(d)[:, None] * nth
        with np.errstate(divide="ignore", invalid="ignore"):
            cuts.append(np.where(nth < crossed[:, None], (plane - a[:, None]) / d[:, None], 1.0))
    at = np.sort(np.concatenate(cuts, axis=1), axis=1)
    middle = (at[:, 1:] + at[:, :-1]) / 2
    cell = np.floor(start[:, None] + middle[:, :, None] * way[:, None]).astype(int)
    within = ((cell >= 0) & (cell < opaque.shape)).all(axis=2)
    x, y, z = np.where(within[:, :, None], cell, 0).transpose(2, 0, 1)
    return np.asarray(~(opaque[x, y, z] & within).any(axis=1))
