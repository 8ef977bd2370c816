"""Good houses made bad: one named fault, planted at a place that is told, and nothing else changed.

What tests geometry wants bad geometry too.  Each fault breaks a law of the file contract, and the
inspection finds it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from genhouse.core.errors import BriefError
from genhouse.core.kept import fixed
from genhouse.core.sentences import closest
from genhouse.house import House
from genhouse.model.voxels import Voxels

Cell = tuple[int, int, int]
Cells = tuple[Cell, ...]
Mask = npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True)
class Broken:
    """house: with the fault.  good: as it was.  fault: its name.  where: the cells that are not as they
    were.
    """

    house: House
    good: House
    fault: str
    where: Cells

    def __repr__(self) -> str:
        return f"<Broken {self.good.plan.recipe.seed}: {self.fault} at {self.where[0]}>"


def places(house: House, fault: str) -> Sequence[Cells]:
    """Where a fault could be planted in a house, in the order of the cells; none where nowhere.

    Raises BriefError for an unknown fault.

    >>> from genhouse import design
    >>> len(places(design(7), "a room without light")) > 3
    True
    """
    if fault not in FAULTS:
        raise BriefError(f"fault: there is none called {fault!r}; {closest(fault, FAULTS)}")
    return FAULTS[fault](house.voxels)


def broken(house: House, fault: str, place: int = 0) -> Broken:
    """A house with a fault planted at one of its places.

    Raises BriefError where the fault or the place is unknown.

    >>> from genhouse import design
    >>> bad = broken(design(7), "a hole in the roof")
    >>> bad.house.inspect().clean, bad.good.inspect().clean
    (False, True)
    """
    found = places(house, fault)
    if not 0 <= place < len(found):
        raise BriefError(f"place: {fault} could be planted at {len(found)} places, not at {place}")
    v, where = house.voxels, found[place]
    arrays = {name: getattr(v, name).copy() for name in ("material", "form", "stage")}
    stuff = _a_whole_piece(v) if fault == HANGS else (0, 0, 0)
    for cell in where:
        for array, number in zip(arrays.values(), stuff, strict=True):
            array[cell] = number
    changed = replace(v, **{name: fixed(array) for name, array in arrays.items()})
    return Broken(house=House(house.plan, changed), good=house, fault=fault, where=where)


def _a_whole_piece(v: Voxels) -> tuple[int, int, int]:
    """Material, form and stage of a piece of the walls that fills its cell."""
    full = np.asarray(v.shapes.reshape(len(v.shapes), -1).all(axis=1))
    x, y, z = np.argwhere(full[v.form] & v.set_by("frame", "walls"))[0]
    return int(v.material[x, y, z]), int(v.form[x, y, z]), int(v.stage[x, y, z])


def _indoor(v: Voxels) -> Mask:
    indoor: Mask = v.room_flag("indoor")
    return indoor[v.room]


def _single(mask: Mask) -> list[Cells]:
    return [((x, y, z),) for x, y, z in np.argwhere(mask).tolist()]


def _beside(mask: Mask, axis: int, by: int) -> Mask:
    """Cells whose neighbour along an axis is marked."""
    moved = np.zeros_like(mask)
    to: list[slice] = [slice(None)] * 3
    of: list[slice] = [slice(None)] * 3
    to[axis], of[axis] = (
        (slice(0, -1), slice(1, None)) if by > 0 else (slice(1, None), slice(0, -1))
    )
    moved[tuple(to)] = mask[tuple(of)]
    return moved


def _roof(v: Voxels) -> list[Cells]:
    """All of the roof over a cell of a room."""
    roof, rooms = v.set_by("roof"), _indoor(v)
    over = roof.any(axis=2) & rooms.any(axis=2)
    return [
        tuple((x, y, z) for z in np.flatnonzero(roof[x, y]).tolist())
        for x, y in np.argwhere(over).tolist()
    ]


def _wall(v: Voxels) -> list[Cells]:
    """A piece that parts a room from what is not that room, on the other side of it."""
    free = np.where(v.form == 0, v.room, 0)
    indoor = _indoor(v) & (v.form == 0)
    walls = v.set_by("walls") & (v.room == 0)
    found = np.zeros_like(walls)
    for axis in (0, 1):
        here, there = _beside(indoor, axis, 1), _beside(indoor, axis, -1)
        one, other = _rolled(free, axis, 1), _rolled(free, axis, -1)
        found |= walls & (here | there) & (one != other)
    return _single(found)


def _rolled(rooms: npt.NDArray[np.uint16], axis: int, by: int) -> npt.NDArray[np.uint16]:
    return np.roll(rooms, -by, axis)


def _floor(v: Voxels) -> list[Cells]:
    """The piece under a free cell of a room in which one walks."""
    flags = v.room_flag("walkable", "indoor")
    walked = np.asarray(flags[v.room] & (v.form == 0))
    return _single(v.set_by("floors", "mats") & _beside(walked, 2, 1))


def _post(v: Voxels) -> list[Cells]:
    """A column of the frame from its foot to its head."""
    frame = v.set_by("frame")
    tall = np.argwhere(frame.sum(axis=2) >= 5).tolist()
    return [tuple((x, y, z) for z in np.flatnonzero(frame[x, y]).tolist()) for x, y in tall]


def _hanging(v: Voxels) -> list[Cells]:
    """A free cell with free cells on all sides of it."""
    free = v.form == 0
    lonely = free.copy()
    for axis in range(3):
        lonely &= _beside(free, axis, 1) & _beside(free, axis, -1)
    return _single(lonely)


def _dark(v: Voxels) -> list[Cells]:
    """All lamps in a room in which one walks."""
    lit = np.array([material.lumens > 0 for material in v.about.materials])[v.material]
    rooms = [room.id for room in v.about.rooms if room.indoor and room.walkable]
    found = [np.argwhere(lit & (v.room == room)).tolist() for room in rooms]
    return [tuple((x, y, z) for x, y, z in lamps) for lamps in found if lamps]


HANGS = "a piece in the air"
FAULTS: dict[str, Callable[[Voxels], list[Cells]]] = {
    "a hole in the roof": _roof,
    "a hole in a wall": _wall,
    "a hole in a floor": _floor,
    "a post gone": _post,
    HANGS: _hanging,
    "a room without light": _dark,
}
"""Faults by name, and where each could be planted."""
