"""The house as cells: all that inspection, pictures, mesh and bill need to know."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from genhouse.core.axes import Side

Bytes = npt.NDArray[np.uint8]


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialEntry:
    """own: the builder's name for it, where a table of names was given."""

    name: str
    colour: str
    liquid: bool = False
    passable: bool = False
    clear: bool = False
    lumens: int = 0
    own: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class FormEntry:
    name: str
    piece: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RoomEntry:
    id: int
    kind: str
    level: int
    indoor: bool
    walkable: bool
    open: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class About:
    """The ``about`` record of the file contract; index 0 of materials, forms and stages is air.

    party: the sides that are shared with a neighbour.
    """

    format: str = "genhouse-voxels"
    version: int = 2
    seed: int
    materials: tuple[MaterialEntry, ...]
    forms: tuple[FormEntry, ...]
    stages: tuple[str, ...]
    rooms: tuple[RoomEntry, ...]
    eaves: int
    gate: tuple[int, int, int]
    party: tuple[Side, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Voxels:
    """material, stage: uint8 [X, Y, Z].  form, room: uint16 [X, Y, Z].  shapes: bool [F, 4, 4, 4].

    All arrays are read-only; see the file contract for what each number means.
    """

    material: Bytes
    form: npt.NDArray[np.uint16]
    stage: Bytes
    room: npt.NDArray[np.uint16]
    shapes: npt.NDArray[np.bool_]
    about: About

    @property
    def size(self) -> tuple[int, int, int]:
        x, y, z = self.material.shape
        return (x, y, z)

    def set_by(self, *stages: str) -> npt.NDArray[np.bool_]:
        """bool [X, Y, Z]: the cells that some building stages set, as far as the house knows them."""
        named = np.array([name in stages for name in self.about.stages])
        return np.asarray(named[self.stage])

    def flag(self, name: str) -> npt.NDArray[np.bool_]:
        """bool [M]: which materials are ``liquid``, ``passable`` or ``clear``; air is none."""
        return np.array([getattr(m, name) for m in self.about.materials], dtype=bool)

    def room_flag(self, *names: str) -> npt.NDArray[np.bool_]:
        """bool [R]: which numbers in ``room`` are of rooms that are ``indoor``, ``walkable``, ``open``, or
        all of these."""
        has = np.zeros(int(self.room.max()) + 1, dtype=bool)
        for entry in self.about.rooms:
            if entry.id < len(has):
                has[entry.id] = all(getattr(entry, name) for name in names)
        return has


def wider(columns: npt.NDArray[np.bool_]) -> npt.NDArray[np.bool_]:
    """Columns [X, Y] and the eight round each: of a room, with its walls."""
    wide = np.pad(columns, 1)
    rows = wide[:-2] | wide[1:-1] | wide[2:]
    return np.asarray(rows[:, :-2] | rows[:, 1:-1] | rows[:, 2:])
