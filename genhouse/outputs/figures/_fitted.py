"""How a house is furnished: what stands before windows, which rooms are alike, where there is fire.

Counts alone, from the cells and from what was placed.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from genhouse.core.solids import Bool
from genhouse.model.design import Design
from genhouse.model.elements import Wall
from genhouse.model.room import Room
from genhouse.model.voxels import Voxels
from genhouse.outputs.figures._tables import FittedFigures
from genhouse.traditions.tradition import Tradition

HIDDEN = 8
"""Sixteenths of a cell up to which what stands before a window leaves it free."""


def fitted(design: Design, voxels: Voxels, tradition: Tradition) -> FittedFigures:
    """The counts of a house."""
    return FittedFigures(
        hidden=sum(any(covers) for covers in windows(design, voxels)),
        fires_above=sum(1 for _ in fires_above(design, tradition)),
        alike=alike(design, tradition),
        task_lit=sum(task_lit(design, tradition)),
        seats_out=len(seats_out(design)),
    )


def windows(design: Design, voxels: Voxels) -> Iterator[list[bool]]:
    """For every window, cell by cell, whether a fitting two layers high or more stands before it.

    Told from the second layer over the floor up, seen square on.
    """
    by_id = {room.id: room for room in design.rooms}
    fittings = voxels.stage == voxels.about.stages.index("fittings")
    seen = {"x": np.asarray(voxels.shapes.any(axis=2)), "y": np.asarray(voxels.shapes.any(axis=1))}
    for s in design.segments:
        if s.opening == "window" and s.way is not None:
            room = by_id.get(s.low) or by_id[s.high]
            room = room if room.indoor else by_id[s.high]
            yield [_covered(voxels, fittings, seen[s.axis], s, c, room) for c in s.way.cells()]


def _covered(
    voxels: Voxels, fittings: Bool, seen: Bool, s: Wall, cell: tuple[int, int], room: Room
) -> bool:
    """Whether more than half of some layer before one cell of a window is covered."""
    x, y = next(c for c in s.beside(cell) if room.has(*c))
    column = np.s_[x, y, room.floor + 1 : room.ceiling]
    covered = seen[voxels.form[column]].sum(axis=(1, 2)) * fittings[column]
    return bool((covered > HIDDEN).any())


def fires_above(design: Design, tradition: Tradition) -> Iterator[str]:
    """Fittings above the lowest storey that burn, or in which firewood is kept."""
    fittings, lowest = dict(tradition.fittings), min(room.level for room in design.rooms)
    levels = {room.id: room.level for room in design.rooms}
    fuel = design.palette.having("fuel")
    for p in design.placed:
        fitting = fittings[p.name]
        wood = any(role in fuel for *_, role, _ in fitting.pieces)
        if levels[p.room] > lowest and (fitting.fire or wood):
            yield p.name


def seats_out(design: Design) -> list[str]:
    """What was set out of doors to sit on, by name."""
    outdoors = {room.id for room in design.rooms if not room.indoor}
    return [p.name for p in design.placed if p.room in outdoors]


def arrangement(design: Design, room: Room) -> tuple[str, ...]:
    """What stands in a room, by name."""
    return tuple(sorted(p.name for p in design.placed if p.room == room.id))


def alike(design: Design, tradition: Tradition) -> int:
    """Workrooms that hold just what another of the house holds: kinds that choose among the same sets."""
    kinds = dict(tradition.kinds)
    found = [
        (kinds[r.kind].sets, arrangement(design, r))
        for r in design.rooms
        if r.kind in kinds and kinds[r.kind].work and kinds[r.kind].sets
    ]
    return len(found) - len(set(found))


def task_lit(design: Design, tradition: Tradition) -> Iterator[bool]:
    """For each indoor room whether its lamps bring to its floor, on the mean, what its kind asks."""
    kinds, means = dict(tradition.kinds), dict(design.lit)
    for room in design.rooms:
        if room.kind in kinds and room.id in means:
            yield means[room.id] >= 1000 * kinds[room.kind].light[0]
