"""Light: at night no walkable indoor floor lies in the dark."""

from __future__ import annotations

import numpy as np

from genhouse.core.light import lit
from genhouse.core.solids import Dark, Ints, Whole
from genhouse.inspection.access import Walk
from genhouse.inspection.verdict import Finding, Verdict, finding
from genhouse.model import lighting
from genhouse.model.brief import LAMPLIGHT
from genhouse.model.lighting import Lamps, dark, lamps_of
from genhouse.model.voxels import Voxels

NAME = "light"


def light(voxels: Voxels, way: Walk, least: int = LAMPLIGHT) -> Verdict:
    """Each floor cell of a walkable indoor room, where a visitor from the gate can stand, gets the
    least light, on the level of its feet and straight from lamps.

    Lamps in other rooms are asked only where a room's own leave it short.
    """
    lamps, stops = lamps_of(voxels), dark(voxels)
    cells, points, room = floors(voxels, way)
    amount = _sums(stops, lamps, voxels.room[tuple(lamps.cells.T)], points, room)
    short = np.flatnonzero(amount < 1000 * least)
    if short.size:
        one, other = (np.zeros(n, dtype=np.int32) for n in (len(lamps.at), short.size))
        amount[short] = _sums(stops, lamps, one, points[short], other)
    darkest = f", the darkest with {int(amount.min()) / 1000:.1f} lux" if amount.size else ""
    return Verdict(
        check=NAME,
        findings=_dark(voxels, cells, room, amount, least),
        evidence=f"{amount.size} floor cells under {len(lamps.at)} lamps{darkest}",
    )


def floors(voxels: Voxels, way: Walk) -> tuple[Ints, Ints, Ints]:
    """The cells [P, 3] that count, where one stands in them [P, 3], and their rooms [P]."""
    return lighting.floors(
        voxels, voxels.room_flag("indoor", "walkable")[voxels.room] & way.reached
    )


def _sums(stops: Dark, lamps: Lamps, homes: Whole, points: Ints, places: Whole) -> Ints:
    """Millilux of each point by the lamps that have its place for their home."""
    return lit(stops, (lamps.lumens, lamps.at, homes), (points, places)).sums(len(points))


def _dark(voxels: Voxels, cells: Ints, room: Ints, amount: Ints, least: int) -> tuple[Finding, ...]:
    """One finding for each room with a dark corner."""
    found: list[Finding] = []
    for entry in voxels.about.rooms:
        short = (room == entry.id) & (amount < 1000 * least)
        if short.any():
            faults = np.zeros(voxels.size, dtype=bool)
            faults[tuple(cells[short].T)] = True
            worst = f"{int(amount[short].min()) / 1000:.1f} lux of the {least} asked for"
            sentence = f"room {entry.id} ({entry.kind}) has a dark corner with {worst}"
            found += finding(NAME, faults, sentence)
    return tuple(found)
