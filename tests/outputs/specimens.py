"""Small houses made by hand, so that what tests expect can be counted on paper; and one real."""

from __future__ import annotations

from functools import cache

import numpy as np

from genhouse.core.forms import FORMS, NUMBER, shapes
from genhouse.generate.recipe import design_house
from genhouse.model.brief import Recipe
from genhouse.model.raster import raster
from genhouse.model.voxels import About, FormEntry, MaterialEntry, RoomEntry, Voxels

MATERIALS = (
    MaterialEntry(name="air", colour="#ffffff"),
    MaterialEntry(name="dark timber", colour="#3b2a20"),
    MaterialEntry(name="plaster", colour="#f4efe4"),
    MaterialEntry(name="water", colour="#5f8f94", liquid=True),
    MaterialEntry(name="paper", colour="#f7f1df", clear=True, passable=True),
    MaterialEntry(name="lamp paper", colour="#ffe2a8", clear=True, lumens=800),
)
TIMBER, PLASTER, WATER, PAPER, LAMP = range(1, len(MATERIALS))
STAGES = ("air", "frame", "walls", "roof", "court")
FRAME, WALLS, ROOF, COURT = range(1, len(STAGES))
FULL = NUMBER["whole"]


class Yard:
    """Cells to be set one box at a time, then frozen into a house."""

    def __init__(self, *size: int) -> None:
        self.material = np.zeros(size, dtype=np.uint8)
        self.form = np.zeros(size, dtype=np.uint16)
        self.stage = np.zeros(size, dtype=np.uint8)
        self.room = np.zeros(size, dtype=np.uint16)

    def set(
        self, where: object, form: int = FULL, material: int = TIMBER, stage: int = FRAME
    ) -> Yard:
        """Fill the cells at this index (``np.s_[...]``)."""
        self.form[where] = form
        self.material[where] = material
        self.stage[where] = stage
        return self

    def house(self, *rooms: RoomEntry, seed: int = 7) -> Voxels:
        about = About(
            seed=seed,
            materials=MATERIALS,
            forms=tuple(FormEntry(name=form.name, piece=form.piece) for form in FORMS),
            stages=STAGES,
            rooms=rooms,
            eaves=self.form.shape[2] - 1,
            gate=(0, 0, 4),
        )
        arrays = {name: getattr(self, name) for name in ("material", "form", "stage", "room")}
        for array in arrays.values():
            array.flags.writeable = False
        return Voxels(**arrays, shapes=shapes(), about=about)


def block(width: int, depth: int, height: int, **kind: int) -> Voxels:
    """A block of full cells that fills its plot."""
    return Yard(width, depth, height).set(np.s_[:], **kind).house()


def ring() -> Voxels:
    """5 x 5 cells, one high, with nothing in the middle 3 x 3."""
    yard = Yard(5, 5, 1).set(np.s_[:])
    return yard.set(np.s_[1:4, 1:4], form=0, material=0, stage=0).house()


def hollow() -> Voxels:
    """A cube of 3 x 3 x 3 cells that shuts in one empty cell."""
    return Yard(3, 3, 3).set(np.s_[:]).set(np.s_[1, 1, 1], form=0, material=0, stage=0).house()


def every_form() -> Voxels:
    """Each form once, in its own cell, apart from the others; stages and materials by turns."""
    side = int(np.ceil(np.sqrt(len(FORMS))))
    yard = Yard(2 * side, 2 * side, 2)
    for number in range(1, len(FORMS)):
        x, y = divmod(number, side)
        yard.set((2 * x, 2 * y, 1), number, 1 + number % 5, 1 + number % 4)
    return yard.house()


def heap(seed: int, size: tuple[int, int, int] = (5, 4, 3)) -> Voxels:
    """Random forms, materials and stages, packed close."""
    dice = np.random.default_rng(seed)
    yard = Yard(*size)
    yard.form[:] = dice.integers(1, len(FORMS), size) * dice.integers(0, 2, size)
    yard.material[:] = dice.integers(1, len(MATERIALS), size) * (yard.form > 0)
    yard.stage[:] = dice.integers(1, len(STAGES), size) * (yard.form > 0)
    return yard.house()


def court_house() -> Voxels:
    """A frozen court house of 23 x 32 x 16 cells, for timing: plain, but as full as a real one."""
    yard = Yard(23, 32, 16)
    yard.set(np.s_[:, :, 0], material=PLASTER, stage=COURT)
    court = np.s_[8:15, 9:23]
    yard.set(np.s_[9:12, 10:14, 0], form=NUMBER["half course"], material=WATER, stage=COURT)
    _walls(yard, 2, 2, 21, 30)
    _walls(yard, 7, 8, 16, 24)
    for z in (1, 5):
        yard.set(np.s_[3:20, 3:29, z], form=NUMBER["sheet"], stage=FRAME)
        yard.set((*court, z), form=0, material=0, stage=0)
    _roof(yard)
    room = RoomEntry(id=1, kind="hall", level=1, indoor=True, walkable=True)
    yard.room[3:20, 3:8, 2:5] = 1
    return yard.house(room)


@cache
def designed() -> Voxels:
    """A real house, as the generator now makes it."""
    return raster(design_house(Recipe(seed=0)))


def _walls(yard: Yard, x0: int, y0: int, x1: int, y1: int) -> None:
    """A wall round a rectangle: posts every fourth cell, plaster or paper screens between."""
    for x, y in np.ndindex(23, 32):
        edge_x, edge_y = x in (x0, x1 - 1), y in (y0, y1 - 1)
        if not (x0 <= x < x1 and y0 <= y < y1 and (edge_x or edge_y)):
            continue
        run = "y" if edge_x else "x"
        if (x - x0) % 4 == 0 and (y - y0) % 4 == 0:
            yard.set(np.s_[x, y, 1:9], form=NUMBER["post"])
        else:
            inner = (x0, y0) != (2, 2)
            screen = (
                (NUMBER[f"leaf pair {run}"], PAPER) if inner else (NUMBER[f"infill {run}"], PLASTER)
            )
            yard.set(np.s_[x, y, 1:8], *screen, stage=WALLS)
            yard.set((x, y, 8), form=NUMBER[f"infill {run}"])


def _roof(yard: Yard) -> None:
    """A hipped ring in half courses: up a half for every cell from the nearer eaves."""
    for x, y in np.ndindex(23, 32):
        over_court = 8 <= x < 15 and 9 <= y < 23
        to_court = max(8 - x, x - 14, 9 - y, y - 22)
        rise = min(x, 22 - x, y, 31 - y, to_court - 1)
        if over_court or rise < 0:
            continue
        piece = "half course" if rise % 2 == 0 else "whole"
        yard.set((x, y, 9 + rise // 2), form=NUMBER[piece], stage=ROOF)
        if rise > 1:
            yard.set((x, y, 8 + rise // 2), form=NUMBER["half soffit"], stage=ROOF)
