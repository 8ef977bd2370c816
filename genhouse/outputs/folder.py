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
from genhouse.outputs.storeys import storeys
from genhouse.outputs.written import HOUSE, sealed

if TYPE_CHECKING:
    from PIL.Image import Image

    from genhouse.outputs.figures._tables import Figures

LOOKS = tuple(f"{name}.png" for name in picture.LOOKS)
HELPERS = 3
"""Processes that draw beside this one, at most; more bring little, the pictures being few."""
AT_HAND = 31 << 20
STEP_SIZE = (480, 432)
"""Pixels of a picture of one building stage."""
UNDER_THE_ROOF = ("court", "fittings", "lamps")
"""Stages that come after the roof and are shown without it."""
FURNISHED = ("fittings", "lamps")
"""Stages of which there is a picture more for each storey that others stand on."""
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
    covered = [storey for storey in storeys(design) if storey.above]
    wanted: list[tuple[str, int | None]] = [
        *((name, None) for name in (*LOOKS, *voxels.about.stages[1:])),
        *((stage, storey.level) for stage in FURNISHED for storey in covered),
    ]
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
        from genhouse.outputs.sheets.sheet import Sheets
        from genhouse.outputs.steps.steps import building_steps
        from genhouse.outputs.steps.table import steps_csv

        drawn = plans(design)
        lines = bill(voxels)
        steps = building_steps(design, voxels)
        told = record(design, voxels, checks(), measured)
        files = {
            "house.json": laid_out(told),
            "house.npz": voxels_bytes(voxels),
            "house.glb": glb_bytes(voxels),
            "materials.csv": csv_bytes(lines),
            "members.csv": csv_bytes(members.members(design), members.Member),
            "steps.csv": steps_csv(steps),
            **Sheets(design, voxels, steps).files,
            **{f"plan-{n}.svg": text.encode() for n, text in enumerate(drawn, 1)},
            "rooms.svg": room_diagram(design, told.metrics).encode(),
        }
        done = dict(zip(wanted, finish(), strict=True))
    files |= {name: done[name, None] for name in LOOKS}
    alone = {(name, level): drawing for (name, level), drawing in done.items() if level}
    whole = {name: drawing for (name, level), drawing in done.items() if not level}
    files["guide.html"] = guide(design, lines, whole, whole[LOOKS[0]], drawn, alone, told.edited)
    return sealed(files, HOUSE.file)


def _drawn(scene: picture.Scene, wanted: tuple[str, int | None]) -> bytes:
    """One picture: a look at the whole as PNG, or what a stage adds as JPEG."""
    name, level = wanted
    if name in LOOKS:
        return picture.png(picture.seen(scene, name.removesuffix(".png")))
    return picture.jpeg(_step(scene, name, level))


def _step(scene: picture.Scene, name: str, level: int | None = None) -> Image:
    """What a stage adds, on what stands before it.  level: on one storey, cut open above it."""
    voxels = scene.voxels
    stages = voxels.about.stages
    number = stages.index(name)
    view = picture.SUNNY_SIDE[picture.gate_side(voxels)]
    new: npt.NDArray[np.bool_] = voxels.stage == number
    shown: npt.NDArray[np.bool_] = (voxels.stage <= number) & (voxels.stage > 0)
    if level:
        here = [room.id for room in voxels.about.rooms if room.level == level]
        shown &= picture.opened(voxels, view, level) | (new & np.isin(voxels.room, here))
    elif name in UNDER_THE_ROOF:
        shown &= voxels.stage != stages.index("roof")
    if name in BEHIND_WALLS:
        shown &= BEHIND_WALLS[name](voxels, view)
    return picture.draw(scene, view=view, size=STEP_SIZE, mask=shown, fresh=new)
