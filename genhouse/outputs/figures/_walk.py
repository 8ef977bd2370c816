"""How far a visitor walks from the gate, a cell at a step, over the cells as they are.

A body is one cell square and seven quarter-cells tall; it goes up or down half a cell at a step, or
a whole one along a step piece, which has a half on the way; it opens what can be opened, and does
not wade.  It keeps to whole cells, where a real one could also squeeze between them.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import numpy.typing as npt

from genhouse.core.axes import STEP
from genhouse.model.voxels import Voxels

Bool = npt.NDArray[np.bool_]
Ints = npt.NDArray[np.intp]
TALL, CLIMB = 7, 2
"""Height of a body and of a step, in quarter-cells."""
FLIGHT = 2 * CLIMB
"""Quarter-cells that one climbs along a step piece."""


def walks(voxels: Voxels) -> dict[int, int]:
    """Steps from the gate to the nearest cell of each room that one can stand in, by room id.

    Rooms that are not reached are left out.
    """
    found: dict[int, int] = {}
    for (x, y, q), steps in from_the_gate(voxels):
        if room := int(voxels.room[x, y, q // 4]):
            found.setdefault(room, steps)
    return dict(sorted(found.items()))


def from_the_gate(voxels: Voxels) -> Iterator[tuple[tuple[int, int, int], int]]:
    """Every place that one walks to, the nearest first, and the steps to it: x, y and quarters up."""
    free, stand = _standing(voxels)
    places = np.argwhere(stand)
    near: list[list[int]] = [[] for _ in places]
    for low, high in _climbs(voxels, free, stand, places):
        for a, b in zip(low.tolist(), high.tolist(), strict=True):
            near[a].append(b)
            near[b].append(a)
    gate = np.flatnonzero((places == voxels.about.gate).all(axis=1)).tolist()
    at = places.tolist()
    for place, steps in _from(gate, near).items():
        x, y, q = at[place]
        yield (x, y, q), steps


def _standing(voxels: Voxels) -> tuple[Bool, Bool]:
    """bool [X, Y, 4 Z]: where nothing is in the way of a body with its feet there, and of those the
    places where it stands on something."""
    x, y, z = voxels.size
    quarters = np.asarray(voxels.shapes.any(axis=(1, 2)))[voxels.form]
    liquid = voxels.flag("liquid")[voxels.material]
    stays = ~(liquid | voxels.flag("passable")[voxels.material])
    solid: Bool = (quarters & stays[..., None]).reshape(x, y, 4 * z)
    wet = (quarters & liquid[..., None]).reshape(x, y, 4 * z)
    free = ~np.pad(solid, ((0, 0), (0, 0), (0, TALL)))
    for more in (1, 2, TALL - 4):  # free for 2, then 4, then all quarters of its height
        free[:, :, :-more] &= free[:, :, more:]
    free = free[:, :, : 4 * z]
    stand = free.copy()
    stand[:, :, 0] = False
    stand[:, :, 1:] &= solid[:, :, :-1]
    stand[:, :, :-1] &= ~wet[:, :, 1:]
    return free, stand


def _climbs(voxels: Voxels, free: Bool, stand: Bool, places: Ints) -> Iterator[tuple[Ints, Ints]]:
    """Numbers of the places between which one steps, the lower first: no rise too high, and headroom
    on the way.  places: ``[N, 3]``, where ``stand``.
    """
    edge = ((1, 1), (1, 1), (0, FLIGHT))
    number = np.full(np.add(stand.shape, (2, 2, FLIGHT)), -1)
    number[1:-1, 1:-1, :-FLIGHT][stand] = np.arange(len(places))
    open_, (x, y, q) = np.pad(free, edge), places.T
    forms = [form.name for form in voxels.about.forms]
    clear = np.ones(len(places), dtype=bool)
    for rise in range(FLIGHT + 1):
        clear = clear & open_[x + 1, y + 1, q + rise]
        for side, (dx, dy) in STEP.items():
            high = number[x + 1 + dx, y + 1 + dy, q + rise]
            low = np.flatnonzero(clear & (high >= 0))
            if rise > CLIMB:
                i, j, top = places[high[low]].T
                flight = forms.index(f"tread {side}")
                low = low[voxels.form[i, j, (top - 1) // 4] == flight]
            yield low, high[low]


def _from(gate: list[int], near: list[list[int]]) -> dict[int, int]:
    """Every place that is reached, nearest first, with the steps to it."""
    steps, reached = dict.fromkeys(gate, 0), gate
    for place in reached:
        for onward in near[place]:
            if onward not in steps:
                steps[onward] = steps[place] + 1
                reached.append(onward)
    return steps
