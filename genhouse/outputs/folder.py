"""Every file of a house folder, as bytes."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from typing import TYPE_CHECKING, Any

import numpy as np
import numpy.typing as npt

from genhouse.model.design import Design
from genhouse.model.voxels import Voxels
from genhouse.outputs.arrays import voxels_bytes
from genhouse.outputs.bill import bill, csv_bytes
from genhouse.outputs.document.document import document
from genhouse.outputs.glb import glb_bytes
from genhouse.outputs.guide.guide import guide
from genhouse.outputs.pictures import picture
from genhouse.outputs.plans.plan import plans

if TYPE_CHECKING:
    from PIL.Image import Image

STEP_SIZE = (480, 432)
"""Pixels of a picture of one building stage."""
UNDER_THE_ROOF = ("court", "fittings", "lamps")
"""Stages that come after the roof and are shown without it."""


def folder_files(
    design: Design, voxels: Voxels, checks: Sequence[Mapping[str, Any]]
) -> dict[str, bytes]:
    """The files of the contract, by name.  checks: the inspector's verdicts, as plain values.

    Pictures are drawn on two threads; the order in which they finish changes nothing.
    """
    finishes = {material.name: material.finish for material in design.palette.materials}
    scene = picture.scene(voxels, finishes)
    lines = bill(voxels)
    with ThreadPoolExecutor(2) as pool:

        def draw(make: Callable[[], Image]) -> Callable[[], bytes]:
            return pool.submit(lambda: picture.png(make())).result

        outside = draw(lambda: picture.outside(scene))
        inside = draw(lambda: picture.inside(scene))
        court = draw(lambda: picture.court(scene))
        steps = {
            name: draw(lambda name=name: _step(scene, voxels, name))  # type: ignore[misc]
            for name in voxels.about.stages[1:]
        }
        drawn = plans(design)
        files = {
            "house.json": document(design, voxels, checks),
            "house.npz": voxels_bytes(voxels),
            "house.glb": glb_bytes(voxels),
            "materials.csv": csv_bytes(lines),
            **{f"plan-{n}.svg": text.encode() for n, text in enumerate(drawn, 1)},
            "outside.png": outside(),
            "inside.png": inside(),
            "court.png": court(),
        }
        pictures = {name: step() for name, step in steps.items()}
    files["guide.html"] = guide(design, lines, pictures, files["outside.png"], drawn)
    return files


def _step(scene: picture.Scene, voxels: Voxels, name: str) -> Image:
    """What a stage adds, on what stands before it."""
    stages = voxels.about.stages
    number = stages.index(name)
    shown: npt.NDArray[np.bool_] = (voxels.stage <= number) & (voxels.stage > 0)
    if name in UNDER_THE_ROOF:
        shown &= voxels.stage != stages.index("roof")
    return picture.draw(
        scene,
        view=picture.SUNNY_SIDE[picture.gate_side(voxels)],
        size=STEP_SIZE,
        mask=shown,
        fresh=voxels.stage == number,
    )
