"""One picture of each step: the same camera, what is new set off, what comes next as a ghost."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np
import numpy.typing as npt

from genhouse.model.voxels import Voxels
from genhouse.outputs.pictures import picture
from genhouse.outputs.pictures.ghost import boxes_of, ghosted
from genhouse.outputs.steps.steps import Steps

if TYPE_CHECKING:
    from PIL.Image import Image

LEAST, MOST = 480, 800
"""Pixels across a picture, of a small house and of a large one."""
A_CELL = 15
"""Pixels across for each cell of the longer side of the plot."""
UNDER_THE_ROOF = ("court", "fittings", "lamps", "mats")
"""Stages that may come after the roof, and are shown without it."""
IN_ROOMS = ("floors", "mats", "fittings", "lamps")
"""Stages that are shown storey by storey, the house cut open above each."""
BEHIND_WALLS = {"stair": picture.beyond_stair, "court": picture.beyond_court}
"""How the house is cut open for what is down between its walls."""

Mask = npt.NDArray[np.bool_]


class View(NamedTuple):
    """A picture of a step, by its number; of one storey, or 0 for the house."""

    step: int
    level: int


def views(voxels: Voxels, steps: Steps) -> tuple[View, ...]:
    """The pictures that a guide shows, step after step; the highest storey of a step first."""
    found: list[View] = []
    level_of = {entry.id: entry.level for entry in voxels.about.rooms}
    room = _floored(voxels)
    for step in steps.steps:
        levels: set[int] = set()
        if step.stage in IN_ROOMS:
            here = np.unique(room[steps.of == step.number]).tolist()
            levels = {level_of[number] for number in here if number in level_of}
        found += [View(step.number, level) for level in sorted(levels, reverse=True) or [0]]
    return tuple(found)


def pieces_in(voxels: Voxels, steps: Steps, view: View) -> int:
    """How many of a step's pieces a picture is of: in the rooms of its storey; of the house all."""
    new = steps.of == view.step
    if view.level:
        new &= np.isin(_floored(voxels), _rooms_of(voxels, view.level))
    return int(np.count_nonzero(new))


def _floored(voxels: Voxels) -> npt.NDArray[np.uint16]:
    """The room of each cell; a floor is of the room on it."""
    room = voxels.room.copy()
    below = room[:, :, :-1]
    below[...] = np.where(below == 0, voxels.room[:, :, 1:], below)
    return room


def _rooms_of(voxels: Voxels, level: int) -> list[int]:
    return [room.id for room in voxels.about.rooms if room.level == level]


def size_of(voxels: Voxels) -> tuple[int, int]:
    """Pixels of a picture."""
    wide = min(MOST, max(LEAST, A_CELL * max(voxels.size[:2])))
    return wide, wide * 9 // 10


def step_picture(scene: picture.Scene, steps: Steps, view: View) -> Image:
    """What a step adds, on what stands before it, and the outlines of the next."""
    voxels, step = scene.voxels, steps.steps[view.step - 1]
    camera = picture.SUNNY_SIDE[picture.gate_side(voxels)]
    new: Mask = steps.of == step.number
    shown: Mask = (steps.of <= step.number) & (steps.of > 0)
    if view.level:
        here = _rooms_of(voxels, view.level)
        shown &= picture.opened(voxels, camera, view.level) | (new & np.isin(voxels.room, here))
    elif step.stage in UNDER_THE_ROOF:
        shown &= ~voxels.set_by("roof")
    if step.stage in BEHIND_WALLS:
        shown &= BEHIND_WALLS[step.stage](voxels, camera)
    if not view.level and not picture.in_sight(new, shown, camera):
        shown &= picture.beyond(voxels, new, camera)
    drawn = picture.draw(scene, view=camera, size=size_of(voxels), mask=shown, fresh=new)
    if view.level or step.number == len(steps.steps):
        return drawn
    following = steps.steps[step.number]
    if following.stage in IN_ROOMS:
        return drawn
    return ghosted(drawn, scene, camera, boxes_of(steps.of == following.number))
