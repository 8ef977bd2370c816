"""A hut of a few cells, made by hand: one room under one roof, a forecourt and a gate.

Seen from above at the room's floor (x east, y north), the roof lying over the hut a layer higher::

    6  . . . . . . . .      # wall     D leaf, passable
    5  . # # # # # . .
    4  . # 1 1 1 # . .      1 room 1
    3  . # 1 1 1 # . .
    2  . # 1 1 1 # . .
    1  . # # D # # . .      G gate
    0  . . . G . . . .
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from genhouse.core.forms import FORMS, NUMBER, shapes
from genhouse.inspection.subcells import Subcells, subcells
from genhouse.model.voxels import About, FormEntry, MaterialEntry, RoomEntry, Voxels

MATERIALS = (
    MaterialEntry(name="air", colour="#ffffff"),
    MaterialEntry(name="plaster", colour="#eeeeee"),
    MaterialEntry(name="leaf", colour="#775533", passable=True),
    MaterialEntry(name="water", colour="#6699aa", liquid=True),
)
STAGES = ("air", "site", "walls", "roof", "fittings", "court")
FLOOR, EAVES = 1, 4
"""z of the layer above the ground, and of the roof's layer."""


class Hut:
    """Cells to be set one box at a time."""

    def __init__(self, size: tuple[int, int, int] = (8, 8, 8)) -> None:
        self.eaves = EAVES
        self.cells = {
            name: np.zeros(size, dtype=np.uint16 if name == "form" else np.uint8)
            for name in ("material", "form", "stage")
        }
        self.room = np.zeros(size, dtype=np.uint16)
        self.rooms = [RoomEntry(id=1, kind="hall", level=1, indoor=True, walkable=True)]
        self.gate = (3, 0, 4 * FLOOR)
        self.set(np.s_[:, :, 0], stage="site")
        self.set(np.s_[1:6, 1:6, FLOOR:EAVES], stage="walls")
        self.clear(np.s_[2:5, 2:5, FLOOR:EAVES])
        self.set(np.s_[3, 1, 1:3], "leaf", "leaf near x", "walls")
        self.set(np.s_[1:6, 1:6, EAVES], stage="roof")
        self.room[2:5, 2:5, FLOOR:EAVES] = 1

    def set(
        self, where: Any, material: str = "plaster", form: str = "whole", stage: str = "walls"
    ) -> None:
        names = [m.name for m in MATERIALS]
        self.cells["material"][where] = names.index(material)
        self.cells["form"][where] = NUMBER[form]
        self.cells["stage"][where] = STAGES.index(stage)

    def clear(self, where: Any) -> None:
        self.set(where, "air", "air", "air")

    def hall(self, **words: object) -> None:
        self.rooms[0] = replace(self.rooms[0], **words)  # type: ignore[arg-type]

    def voxels(self) -> Voxels:
        about = About(
            seed=1,
            materials=MATERIALS,
            forms=tuple(FormEntry(name=f.name, piece=f.piece) for f in FORMS),
            stages=STAGES,
            rooms=tuple(self.rooms),
            eaves=self.eaves,
            gate=self.gate,
        )
        return Voxels(**self.cells, room=self.room, shapes=shapes(), about=about)

    def sub(self) -> Subcells:
        return subcells(self.voxels())
