"""Rooms: the table and the cells agree, the programme is there, and one can stand upright."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

import numpy as np

from genhouse.inspection.access import Walk
from genhouse.inspection.subcells import Bool
from genhouse.inspection.verdict import Finding, Verdict, finding
from genhouse.model.voxels import Voxels

LEAST_FLOOR = 7
"""Cells; IRC 2018 R304.1 asks 70 sq ft (6.5 m2), a cell stands for a square metre."""


def rooms(voxels: Voxels, programme: Sequence[str]) -> Verdict:
    """programme: kinds that the brief asks for, as often as it asks for them."""
    found: list[Finding] = []
    known = {entry.id for entry in voxels.about.rooms}
    for number in np.flatnonzero(np.bincount(voxels.room.reshape(-1))).tolist():
        if number and number not in known:
            found += finding("rooms", voxels.room == number, f"room {number} is not in the table")
    there = Counter(entry.kind for entry in voxels.about.rooms)
    for kind, count in sorted(Counter(programme).items()):
        if there[kind] < count:
            sentence = f"the programme asks for {count} x {kind}, the house has {there[kind]}"
            found.append(Finding(check="rooms", where=(), count=0, sentence=sentence))
    found += _small(voxels)
    return Verdict(
        check="rooms", findings=tuple(found), evidence=f"{len(known)} rooms in the table"
    )


def _small(voxels: Voxels) -> list[Finding]:
    found: list[Finding] = []
    areas = _columns(voxels, voxels.room > 0).sum(axis=(1, 2))
    for entry in voxels.about.rooms:
        if entry.indoor and entry.id < len(areas) and areas[entry.id] < LEAST_FLOOR:
            area = int(areas[entry.id])
            sentence = (
                f"room {entry.id} ({entry.kind}) has {area} cells of floor, under {LEAST_FLOOR}"
            )
            found += finding("rooms", voxels.room == entry.id, sentence)
    return found


def _columns(voxels: Voxels, cells: Bool) -> Bool:
    """In which columns each room has some of the cells: bool [R, X, Y], by the numbers in ``room``."""
    wide, deep, _ = voxels.size
    columns = np.zeros((int(voxels.room.max()) + 1, wide, deep), dtype=bool)
    x, y, z = np.nonzero(cells)
    columns[voxels.room[x, y, z], x, y] = True
    return columns


def headroom(voxels: Voxels, way: Walk) -> Verdict:
    """In half of a walkable room's open floor one can stand upright.

    IRC 2018 R305.1 lets half of a floor under a sloping ceiling be lower (from memory).
    """
    found: list[Finding] = []
    room = voxels.room
    asked = voxels.room_flag("indoor", "walkable")
    floor = asked[room] & (voxels.form == 0)
    floor[:, :, 1:] &= room[:, :, 1:] != room[:, :, :-1]
    x, y, z = np.nonzero(floor)
    number = room[x, y, z]
    low = ~_columns(voxels, way.could)[number, x, y]
    short, whole = (np.bincount(n, minlength=len(asked)) for n in (number[low], number))
    for entry in voxels.about.rooms:
        if entry.id < len(asked) and 2 * short[entry.id] > whole[entry.id]:
            faults = np.zeros(voxels.size, dtype=bool)
            here = low & (number == entry.id)
            faults[x[here], y[here], z[here]] = True
            sentence = f"in room {entry.id} ({entry.kind}) one can hardly stand upright"
            found += finding("headroom", faults, sentence)
    return Verdict(check="headroom", findings=tuple(found), evidence="every walkable indoor room")
