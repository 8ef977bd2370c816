"""One picture of each step: the same camera, what is new set off, what comes next as a ghost."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np
import numpy.typing as npt

from genhouse.model.voxels import Voxels
from genhouse.outputs.pictures import picture
from genhouse.outputs.pictures.camera import View as Side
from genhouse.outputs.pictures.ghost import boxes_of, ghosted
from genhouse.outputs.pictures.measured import NOWHERE, extent_of, gaps_of, measured
from genhouse.outputs.steps.steps import Step, Steps

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
MEASURED = ("site", "frame", "walls", "roof", "court", "stair")
"""Stages in whose pictures the dimensions of what is new stand."""
FEW, PART = 12, 4
"""Pieces, and the part of its pieces, of a step that is drawn from two sides: so many are hidden by one."""
BEHIND_WALLS = {"stair": picture.beyond_stair, "court": picture.beyond_court}
"""How the house is cut open for what is down between its walls."""

Mask = npt.NDArray[np.bool_]


class View(NamedTuple):
    """A picture of a step, by its number; of one storey, or 0 for the house; from the other side."""

    step: int
    level: int
    behind: bool = False


def views(voxels: Voxels, steps: Steps) -> tuple[View, ...]:
    """The pictures that a guide shows, step after step; the highest storey of a step first, and last what
    the side that all are seen from hides."""
    found: list[View] = []
    level_of = {entry.id: entry.level for entry in voxels.about.rooms}
    room = _floored(voxels)
    for step in steps.steps:
        levels: set[int] = set()
        if step.stage in IN_ROOMS:
            here = np.unique(room[steps.of == step.number]).tolist()
            levels = {level_of[number] for number in here if number in level_of}
        found += [View(step.number, level) for level in sorted(levels, reverse=True) or [0]]
        if step.stage not in (*IN_ROOMS, *BEHIND_WALLS) and _hides(voxels, steps, step):
            found.append(View(step.number, 0, behind=True))
    return tuple(found)


def _hides(voxels: Voxels, steps: Steps, step: Step) -> bool:
    """Whether much of what a step adds is seen from the other side alone."""
    camera = camera_of(voxels)
    new, shown = steps.of == step.number, (steps.of <= step.number) & (steps.of > 0)
    behind = picture.in_sight(new, shown, picture.OPPOSITE[camera])
    alone = behind & ~picture.in_sight(new, shown, camera)
    return int(np.count_nonzero(alone)) > max(FEW, step.pieces // PART)


def camera_of(voxels: Voxels, *, behind: bool = False) -> Side:
    """Where the pictures of steps are seen from."""
    sunny = picture.SUNNY_SIDE[picture.gate_side(voxels)]
    return picture.OPPOSITE[sunny] if behind else sunny


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


def size_of(voxels: Voxels, view: View) -> tuple[int, int]:
    """Pixels of a picture."""
    wide = min(MOST, max(LEAST, A_CELL * max(voxels.size[:2])))
    wide = wide * 3 // 4 if view.behind else wide
    return wide, wide * 9 // 10


def step_picture(scene: picture.Scene, steps: Steps, view: View) -> Image:
    """What a step adds, on what stands before it, its dimensions, and the outlines of the next."""
    voxels, step = scene.voxels, steps.steps[view.step - 1]
    camera = camera_of(voxels, behind=view.behind)
    new: Mask = steps.of == step.number
    shown: Mask = (steps.of <= step.number) & (steps.of > 0)
    if view.level:
        here = _rooms_of(voxels, view.level)
        shown &= picture.opened(voxels, camera, view.level) | (new & np.isin(voxels.room, here))
    elif step.stage in UNDER_THE_ROOF:
        shown &= ~voxels.set_by("roof")
    if step.stage in BEHIND_WALLS:
        shown &= BEHIND_WALLS[step.stage](voxels, camera)
    if not view.level and not picture.in_sight(new, shown, camera).any():
        shown &= picture.beyond(voxels, new, camera)
    size = size_of(voxels, view)
    drawn = picture.draw(scene, view=camera, size=size, mask=shown, fresh=new)
    following = steps.steps[step.number : step.number + 1]
    if not view.level and following and following[0].stage not in IN_ROOMS:
        ghosted(drawn, scene, camera, boxes_of(steps.of == following[0].number))
    if not view.behind and step.stage in MEASURED:
        _measure(drawn, scene, steps, step, camera)
    return drawn


def _measure(drawn: Image, scene: picture.Scene, steps: Steps, step: Step, camera: Side) -> None:
    """Dimensions of what a step adds, as far as they are not those of the step before it."""
    new = steps.of == step.number
    here = extent_of(new, camera)
    before = steps.of == step.number - 1
    known = extent_of(before, camera) if before.any() else NOWHERE
    plan, height = here[:2] != known[:2], here.k != known.k
    gaps = ([], []) if plan else gaps_of(new, camera)
    measured(drawn, scene, camera, here, plan=plan, height=height, gaps=gaps)
