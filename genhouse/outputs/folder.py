"""Every file of a house folder, as bytes."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from typing import TYPE_CHECKING, Any

import numpy as np
import numpy.typing as npt

from genhouse.core.workers import cores, helped
from genhouse.model.design import Design
from genhouse.model.voxels import Voxels
from genhouse.outputs.pictures import picture
from genhouse.outputs.written import HOUSE, sealed

if TYPE_CHECKING:
    from PIL.Image import Image

    from genhouse.outputs.figures._tables import Figures

LOOKS = ("outside.png", "inside.png", "court.png")
HELPERS = 3
"""Processes that draw beside this one, at most; more bring little, the pictures being few."""
AT_HAND = 31 << 20
STEP_SIZE = (480, 432)
"""Pixels of a picture of one building stage."""
UNDER_THE_ROOF = ("court", "fittings", "lamps")
"""Stages that come after the roof and are shown without it."""
LOWER = {"fittings below": "fittings", "lamps below": "lamps"}
"""Pictures more in a house of two storeys, each of what a stage adds to the lower one."""
BEHIND_WALLS = {
    "mats": picture.opened,
    "stair": picture.beyond_stair,
    "court": picture.beyond_court,
}
"""How the house is cut open for what is down between its walls."""


def folder_files(
    design: Design,
    voxels: Voxels,
    checks: Callable[[], Sequence[Mapping[str, Any]]],
    measured: Figures | None = None,
) -> dict[str, bytes]:
    """The files of the contract, by name.  checks: gives the inspector's verdicts, as plain values.

    measured: the figures of the house, where they are known.

    Pictures are drawn by a few processes, where the system can fork them, while everything else is
    read in and written here, and then by this one too; who draws which changes nothing.
    """
    import PIL.Image

    PIL.Image.preinit()  # before forking, or each process reads its formats anew

    # A block of this size, freed at once, teaches glibc to keep so much at hand: a picture's arrays
    # are then not given back to the system, and cleared by it, over and over.
    np.zeros(AT_HAND, dtype=np.uint8)
    finishes = {material.name: material.finish for material in design.palette.materials}
    scene = picture.scene(voxels, finishes)
    storeys = {room.level for room in design.rooms}
    wanted = (*LOOKS, *voxels.about.stages[1:], *(LOWER if len(storeys) > 1 else ()))
    helpers = max(1, min(HELPERS, cores() - 1))
    with helped(partial(_drawn, scene), wanted, helpers, "pictures") as finish:
        from genhouse.outputs import members
        from genhouse.outputs.arrays import voxels_bytes
        from genhouse.outputs.bill import bill, csv_bytes
        from genhouse.outputs.document.document import laid_out, record
        from genhouse.outputs.glb import glb_bytes
        from genhouse.outputs.guide.guide import guide
        from genhouse.outputs.plans.plan import plans
        from genhouse.outputs.plans.room_diagram import room_diagram

        drawn = plans(design)
        lines = bill(voxels)
        told = record(design, voxels, checks(), measured)
        files = {
            "house.json": laid_out(told),
            "house.npz": voxels_bytes(voxels),
            "house.glb": glb_bytes(voxels),
            "materials.csv": csv_bytes(lines),
            "members.csv": members.csv_bytes(members.members(design)),
            **{f"plan-{n}.svg": text.encode() for n, text in enumerate(drawn, 1)},
            "rooms.svg": room_diagram(design, told.metrics).encode(),
        }
        done = dict(zip(wanted, finish(), strict=True))
    files |= {name: done[name] for name in LOOKS}
    lower = {stage: done[name] for name, stage in LOWER.items() if name in done}
    hero = done[LOOKS[0]]
    files["guide.html"] = guide(design, lines, done, hero, drawn, lower, told.edited)
    return sealed(files, HOUSE.file)


def _drawn(scene: picture.Scene, name: str) -> bytes:
    """One picture: a look at the whole as PNG, or what a stage adds as JPEG."""
    if name in LOOKS:
        return picture.png(getattr(picture, name.removesuffix(".png"))(scene))
    return picture.jpeg(_step(scene, LOWER.get(name, name), lower=name in LOWER))


def _step(scene: picture.Scene, name: str, *, lower: bool = False) -> Image:
    """What a stage adds, on what stands before it.  lower: on the lower storey, cut open above it."""
    voxels = scene.voxels
    stages = voxels.about.stages
    number = stages.index(name)
    view = picture.SUNNY_SIDE[picture.gate_side(voxels)]
    new: npt.NDArray[np.bool_] = voxels.stage == number
    shown: npt.NDArray[np.bool_] = (voxels.stage <= number) & (voxels.stage > 0)
    if lower:
        below = [room.id for room in voxels.about.rooms if room.level == 1]
        shown &= picture.opened(voxels, view) | (new & np.isin(voxels.room, below))
    elif name in UNDER_THE_ROOF:
        shown &= voxels.stage != stages.index("roof")
    if name in BEHIND_WALLS:
        shown &= BEHIND_WALLS[name](voxels, view)
    return picture.draw(scene, view=view, size=STEP_SIZE, mask=shown, fresh=new)
