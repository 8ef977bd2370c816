"""Siheyuan of a few seeds for the tests, and what one reads of them: bays, axes, sight."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

import numpy as np
import numpy.typing as npt

from genhouse.core.box import Rect
from genhouse.generate.recipe import design_house
from genhouse.model.brief import Brief, Recipe
from genhouse.model.design import Design
from genhouse.model.raster import raster
from genhouse.model.room import Room
from genhouse.model.voxels import Voxels

SEEDS = range(24)
EYE = 1.6
"""Cells above the ground at which a visitor looks."""


@lru_cache(maxsize=32)
def house(seed: int) -> Design:
    return design_house(Recipe(seed=seed, brief=Brief(tradition="siheyuan")))


@lru_cache(maxsize=32)
def cells(seed: int) -> Voxels:
    return raster(house(seed))


def rooms(design: Design, kind: str) -> list[Room]:
    return [room for room in design.rooms if room.kind == kind]


def courts(design: Design) -> list[Rect]:
    """The courts with halls on all sides, from front to rear; not the walled yards beside them."""
    walled = {"back", "side"}
    beyond = [cover.rect for cover in design.covers if cover.wing in walled]
    sides = [cover.rect for cover in design.covers if cover.wing in ("left", "right", "link")]
    return [
        court
        for court in design.courts
        if any(map(court.adjoins, sides)) and not any(map(court.adjoins, beyond))
    ]


def bays(design: Design, within: Rect, *, walks: bool = False) -> list[int]:
    """How wide each bay of a range is along the innermost court, in order, clear between posts.  walks: of
    the covered walks, or of all others."""
    covered = {room.id for room in rooms(design, "youlang")}
    walls = [
        wall
        for wall in design.segments
        if wall.boundary == "court"
        and within.meets(wall.cells)
        and courts(design)[-1].grown(1).holds(wall.cells)
        and (bool({wall.low, wall.high} & covered) is walks)
    ]
    return [wall.length for wall in sorted(walls, key=lambda wall: wall.lie)]


def seen_from_gate(design: Design, voxels: Voxels) -> Iterator[tuple[int, int]]:
    """The cells of the innermost court over which a visitor at the gate looks, all doors open: straight
    lines, in steps of a twentieth of a cell, from eye to eye.  Where there is but one court, those behind
    the screen wall: past a veranda, a cell to walk on and the wall."""
    passable = np.array([m.passable for m in voxels.about.materials])
    shut = (voxels.material != 0) & ~passable[voxels.material]
    x, y, z4 = design.gate
    z = z4 / 4 + EYE
    court = courts(design)[-1]
    before = 3 if court == design.courts[0] else 1
    for cell in Rect(court.x0 + 1, court.y0 + before, court.x1 - 1, court.y1 - 1).cells():
        if _free(shut, (x + 0.5, y + 0.5, z), (cell[0] + 0.5, cell[1] + 0.5, z)):
            yield cell


def _free(
    shut: npt.NDArray[np.bool_], a: tuple[float, float, float], b: tuple[float, float, float]
) -> bool:
    steps = int(20 * max(abs(p - q) for p, q in zip(a, b, strict=True))) + 2
    line = np.linspace(a, b, steps).astype(int)
    return not shut[line[:, 0], line[:, 1], line[:, 2]].any()
