"""Weather: no rain indoors, and no way from the sky into a room or a roof void above the eaves."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, NamedTuple

import cc3d
import numpy as np
import numpy.typing as npt

from genhouse.inspection.subcells import SUB, WHOLE, Bool, Quarters, Subcells, cut
from genhouse.inspection.verdict import Verdict, finding
from genhouse.model.voxels import Voxels, wider

Heights = npt.NDArray[np.intp]
NAME = "weather"


def weather(voxels: Voxels, sub: Subcells) -> Verdict:
    """Two rules: [1] rain straight from above; [2] the sky's air above the eaves, faces, edges and
    corners counted as ways through."""
    top = tops(sub)
    wet = _rained_on(sub, top)
    leak = _open_to_sky(voxels, sub, top)
    return Verdict(
        check=NAME,
        findings=finding(NAME, wet, "rain falls on an indoor cell")
        + finding(NAME, leak, "the sky reaches under the roof"),
        evidence=f"{int(sub.indoor.sum())} indoor cells, eaves at layer {voxels.about.eaves}",
    )


def tops(sub: Subcells) -> Heights:
    """How many quarters high the last solid one of each sub-column ends: [X, 4, Y, 4]."""
    x, y, z = sub.indoor.shape
    layer = z - 1 - (sub.solid[:, :, ::-1] > 0).argmax(axis=2)
    last = np.take_along_axis(sub.solid, layer[..., None], axis=2)[..., 0]
    top = np.where(last > 0, SUB * layer + np.frexp(last.astype(np.float32))[1], 0)
    return top.reshape(x, SUB, y, SUB)


def _rained_on(sub: Subcells, top: Heights) -> Bool:
    """RULE 1: each of the sixteen sub-columns of an indoor cell has something solid above it."""
    above = SUB * (np.arange(sub.indoor.shape[2]) + 1)
    return np.asarray(sub.indoor & (top.min(axis=(1, 3))[..., None] <= above))


def _open_to_sky(voxels: Voxels, sub: Subcells, top: Heights) -> Bool:
    """RULE 2: indoor cells and covered roof void that share air with the sky above their own eaves."""
    kept = sub.indoor | void(voxels, sub)
    faults = np.zeros_like(kept)
    for foot, columns in _eaves(voxels, sub).items():
        faults |= _shared(voxels, sub, top, foot, kept & columns[..., None])
    return faults


def _eaves(voxels: Voxels, sub: Subcells) -> dict[int, Bool]:
    """The layers of all eaves, and the columns of which each is the eaves.

    What stands apart, or has its uppermost floor in another layer, has eaves of its own: as far from the
    head of most walls round it as those of the highest part, which the house tells.
    """
    built, eaves = voxels.set_by("frame", "walls"), voxels.about.eaves
    heads = np.where(built.any(axis=2), built.shape[2] - built[:, :, ::-1].argmax(axis=2), 0)
    heads[sub.indoor.any(axis=2)] = 0
    free = np.ones(heads.shape, dtype=bool)
    found: dict[int, Bool] = {}
    fall: int | None = None
    for columns in _parts(voxels, sub):
        near = wider(np.asarray(columns & free)) & free
        walls = heads[near & (heads > 0)]
        head = int(np.bincount(walls).argmax()) if walls.size else eaves - (fall or 0)
        fall = eaves - head if fall is None else fall
        if near.any():
            found[head + fall] = np.asarray(found.get(head + fall, False) | near)
        free &= ~near
    return found


def _parts(voxels: Voxels, sub: Subcells) -> Iterator[Bool]:
    """Columns of indoor rooms that hang together and have their uppermost floor in one layer, the
    highest first."""
    x, y, z = np.nonzero(sub.floor)
    floor = np.zeros(int(voxels.room.max()) + 1, dtype=np.intp)
    np.maximum.at(floor, voxels.room[x, y, z], z)  # of a room, whatever part of it is sunk
    roofed = np.asarray(sub.indoor.any(axis=2))
    last = sub.indoor.shape[2] - 1 - sub.indoor[:, :, ::-1].argmax(axis=2)
    room = np.take_along_axis(voxels.room, last[..., None], axis=2)[..., 0]
    upper = np.where(roofed, floor[room], -1)
    bodies = cc3d.connected_components(wider(roofed)[..., None], connectivity=26)[..., 0]
    for layer in sorted(set(upper[roofed].tolist()), reverse=True):
        here = upper == layer
        for body in sorted(set(bodies[here].tolist())):
            yield here & (bodies == body)


def _shared(voxels: Voxels, sub: Subcells, top: Heights, foot: int, kept: Bool) -> Bool:
    """Those of some cells that share air with the sky from a layer up, indoors or under cover.

    What is empty is looked at in one corner; the pieces cut the air of a cell that they are in.
    """
    labels, at_x, at_y = _joined(sub.solid[:, :, foot:] ^ WHOLE)
    open_air = np.zeros(int(labels.max()) + 1, dtype=bool)
    open_air[labels[:, :, -1]] = True
    open_air[0] = False
    faults = kept.copy()
    faults[:, :, :foot] = False
    x, y, z = np.nonzero(faults & (voxels.form > 0))
    corners = labels[at_x[::SUB]][:, at_y[::SUB], ::SUB]
    layer = np.arange(kept.shape[2])
    covered = sub.indoor | (SUB * layer < top.max(axis=(1, 3))[..., None])
    faults[:, :, foot:] &= open_air[corners] & covered[:, :, foot:]
    i, j = at_x.reshape(-1, SUB)[x], at_y.reshape(-1, SUB)[y]
    height = SUB * z[:, None] + np.arange(SUB)
    sky = open_air[
        labels[i[:, :, None, None], j[:, None, :, None], height[:, None, None] - SUB * foot]
    ]
    sky &= sub.indoor[x, y, z][:, None, None, None] | (
        height[:, None, None] < top[x, :, y, :, None]
    )
    faults[x, y, z] = sky.any(axis=(1, 2, 3))
    return faults


class _Joined(NamedTuple):
    """Which sub-cells hang together.

    labels: a number for all that do, 0 for nothing, [A, B, 4Z].  x, y: where in it the slices of the whole
    are to be found, [4X] and [4Y].
    """

    labels: npt.NDArray[np.unsignedinteger[Any]]
    x: npt.NDArray[np.intp]
    y: npt.NDArray[np.intp]


def _joined(air: Quarters) -> _Joined:
    """Label air that touches by faces, edges or corners.

    A slice just like the one before hangs together with it all over, so that one of them is enough.
    """
    wide, deep, _ = air.shape
    x, y = np.ones(wide, dtype=bool), np.ones(deep, dtype=bool)
    x[1:] = (air[1:] != air[:-1]).reshape(wide - 1, -1).any(axis=1)
    y[1:] = (air[:, 1:] != air[:, :-1]).any(axis=0).any(axis=1)
    labels = cc3d.connected_components(cut(air[x][:, y]), connectivity=26)
    return _Joined(labels=labels, x=x.cumsum() - 1, y=y.cumsum() - 1)


def void(voxels: Voxels, sub: Subcells) -> Bool:
    """Cells of no room and no wall, over an indoor room, no other between, and under the roof's first
    piece, or with it."""
    roof = voxels.set_by("roof")
    empty = voxels.room == 0
    last = np.maximum.accumulate(np.where(empty, 0, np.arange(empty.shape[2])), axis=2)
    above_room = np.take_along_axis(sub.indoor, last, axis=2) & empty
    past = np.logical_or.accumulate(roof & above_room, axis=2)
    past[:, :, 1:] = past[:, :, :-1]
    return np.asarray(above_room & ~past & ~voxels.set_by("walls", "screens"))
