"""How far a visitor walks from the gate, a cell at a step, over the cells as they are.

A body is one cell square and seven quarter-cells tall; it goes up or down half a cell at a step, or
a whole one along a step piece, which has a half on the way; it opens what can be opened, and does
not wade.  It keeps to whole cells, where a real one could also squeeze between them.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from genhouse.core.axes import STEP
from genhouse.model.voxels import Voxels

Bool = npt.NDArray[np.bool_]
Place = tuple[int, int, int]
TALL, CLIMB = 7, 2
"""Height of a body and of a step, in quarter-cells."""


def walks(voxels: Voxels) -> dict[int, int]:
    """Steps from the gate to the nearest cell of each room that one can stand in, by room id.

    Rooms that are not reached are left out.
    """
    found: dict[int, int] = {}
    for (x, y, q), steps in _from(voxels.about.gate, _ground(voxels)).items():
        room = int(voxels.room[x, y, q // 4])
        if room:
            found.setdefault(room, steps)
    return dict(sorted(found.items()))


@dataclass(frozen=True, slots=True, eq=False)
class Ground:
    """free: bool [X, Y, 4Z], where nothing is in the way of a body with its feet there.

    columns: at which quarters one can stand in each column.  flights: the cells filled by a step
    piece, and the way each climbs.
    """

    free: Bool
    columns: dict[tuple[int, int], list[int]]
    flights: dict[Place, tuple[int, int]]


def _ground(voxels: Voxels) -> Ground:
    quarters = np.asarray(voxels.shapes.any(axis=(1, 2)))[voxels.form]
    liquid = voxels.flag("liquid")[voxels.material]
    stays = ~(liquid | voxels.flag("passable")[voxels.material])
    x, y, z = voxels.size
    solid: Bool = (quarters & stays[..., None]).reshape(x, y, 4 * z)
    wet = (quarters & liquid[..., None]).reshape(x, y, 4 * z)
    high = np.pad(solid, ((0, 0), (0, 0), (0, TALL)))
    free = np.ones(solid.shape, dtype=bool)
    for n in range(TALL):
        free &= ~high[:, :, n : n + 4 * z]
    stand = free.copy()
    stand[:, :, 0] = False
    stand[:, :, 1:] &= solid[:, :, :-1]
    stand[:, :, :-1] &= ~wet[:, :, 1:]
    columns: dict[tuple[int, int], list[int]] = {}
    for i, j, q in np.argwhere(stand).tolist():
        columns.setdefault((i, j), []).append(q)
    return Ground(free, columns, _flights(voxels))


def _flights(voxels: Voxels) -> dict[Place, tuple[int, int]]:
    found: dict[Place, tuple[int, int]] = {}
    for number, form in enumerate(voxels.about.forms):
        for side, way in STEP.items():
            if form.name == f"step {side}":
                for x, y, z in np.argwhere(voxels.form == number).tolist():
                    found[x, y, z] = way
    return found


def _from(gate: Place, ground: Ground) -> dict[Place, int]:
    """Every place that is reached, nearest first, with the steps to it."""
    here = ground.columns.get(gate[:2], ())
    reached = {(gate[0], gate[1], q): 0 for q in here if q == gate[2]}
    ring = list(reached)
    while ring:
        ahead: list[Place] = []
        for place in ring:
            for onward in _onward(place, ground):
                if onward not in reached:
                    reached[onward] = reached[place] + 1
                    ahead.append(onward)
        ring = ahead
    return reached


def _onward(place: Place, ground: Ground) -> Iterator[Place]:
    x, y, _ = place
    for i, j in ((x + 1, y), (x, y + 1), (x - 1, y), (x, y - 1)):
        for q in ground.columns.get((i, j), ()):
            low, high = sorted((place, (i, j, q)), key=lambda p: p[2])
            if _climbs(low, high, ground):
                yield (i, j, q)


def _climbs(low: Place, high: Place, ground: Ground) -> bool:
    """Whether one gets from a place up to the next: not too high, and headroom on the way."""
    rise = high[2] - low[2]
    if rise > CLIMB:
        way = ground.flights.get((high[0], high[1], (high[2] - 1) // 4))
        if rise > 2 * CLIMB or way != (high[0] - low[0], high[1] - low[1]):
            return False
    return bool(ground.free[low[0], low[1], low[2] : high[2] + 1].all())
