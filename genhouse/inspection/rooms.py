"""Rooms: the table and the cells agree, the programme is there, and one can stand upright."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from genhouse.inspection.access import Walk
from genhouse.inspection.verdict import Finding, Verdict, finding
from genhouse.model.voxels import Voxels

LEAST_FLOOR = 7
"""Cells; IRC 2018 R304.1 asks 70 sq ft (6.5 m2), a cell stands for a square metre."""


def rooms(voxels: Voxels, programme: Sequence[str]) -> Verdict:
    """programme: kinds that the brief asks for, as often as it asks for them."""
    found: list[Finding] = []
    known = {entry.id for entry in voxels.about.rooms}
    for number in sorted(set(voxels.room.ravel().tolist())):
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
    for entry in voxels.about.rooms:
        if entry.indoor:
            cells = voxels.room == entry.id
            area = int(cells.any(axis=2).sum())
            if area < LEAST_FLOOR:
                sentence = (
                    f"room {entry.id} ({entry.kind}) has {area} cells of floor, under {LEAST_FLOOR}"
                )
                found += finding("rooms", cells, sentence)
    return found


def headroom(voxels: Voxels, way: Walk) -> Verdict:
    """In half of a walkable room's open floor one can stand upright.

    IRC 2018 R305.1 lets half of a floor under a sloping ceiling be lower (from memory).
    """
    found: list[Finding] = []
    filled = voxels.form > 0
    for entry in voxels.about.rooms:
        if not (entry.indoor and entry.walkable):
            continue
        cells = voxels.room == entry.id
        floor = cells.copy()
        floor[:, :, 1:] &= ~cells[:, :, :-1]
        open_floor = floor & ~filled
        upright = (cells & way.could).any(axis=2)
        short = open_floor & ~upright[..., None]
        if 2 * int(short.sum()) > int(open_floor.sum()):
            sentence = f"in room {entry.id} ({entry.kind}) one can hardly stand upright"
            found += finding("headroom", short, sentence)
    return Verdict(check="headroom", findings=tuple(found), evidence="every walkable indoor room")
