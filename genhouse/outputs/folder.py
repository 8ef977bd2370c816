"""Every file of a house folder, as bytes."""

from __future__ import annotations

import multiprocessing
import threading
from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import Executor, ProcessPoolExecutor, ThreadPoolExecutor
from typing import TYPE_CHECKING, Any

import numpy as np
import numpy.typing as npt

from genhouse.model.design import Design
from genhouse.model.voxels import Voxels
from genhouse.outputs.pictures import picture

if TYPE_CHECKING:
    from PIL.Image import Image

LOOKS = ("outside", "inside", "court")
WORKERS = 2
"""Processes that draw; more bring little, the pictures being few."""
STEP_SIZE = (480, 432)
"""Pixels of a picture of one building stage."""
UNDER_THE_ROOF = ("court", "fittings", "lamps")
"""Stages that come after the roof and are shown without it."""


def folder_files(
    design: Design, voxels: Voxels, checks: Callable[[], Sequence[Mapping[str, Any]]]
) -> dict[str, bytes]:
    """The files of the contract, by name.  checks: gives the inspector's verdicts, as plain values.

    Pictures are drawn by a few processes, where the system can fork them, while everything else is
    read in and written here; the order in which they finish changes nothing.
    """
    import PIL.PngImagePlugin  # noqa: F401  (before forking, or each process reads it anew)

    finishes = {material.name: material.finish for material in design.palette.materials}
    scene = picture.scene(voxels, finishes)
    wanted = (*LOOKS, *voxels.about.stages[1:])
    with _pool() as pool:
        drawing = {name: pool.submit(_drawn, scene, name) for name in wanted}

        from genhouse.outputs import members
        from genhouse.outputs.arrays import voxels_bytes
        from genhouse.outputs.bill import bill, csv_bytes
        from genhouse.outputs.document.document import document
        from genhouse.outputs.glb import glb_bytes
        from genhouse.outputs.guide.guide import guide
        from genhouse.outputs.plans.plan import plans

        drawn = plans(design)
        lines = bill(voxels)
        files = {
            "house.json": document(design, voxels, checks()),
            "house.npz": voxels_bytes(voxels),
            "house.glb": glb_bytes(voxels),
            "materials.csv": csv_bytes(lines),
            "members.csv": members.csv_bytes(members.members(design)),
            **{f"plan-{n}.svg": text.encode() for n, text in enumerate(drawn, 1)},
        }
        done = {name: future.result() for name, future in drawing.items()}
    files |= {f"{name}.png": done[name] for name in LOOKS}
    files["guide.html"] = guide(design, lines, done, done["outside"], drawn)
    return files


def _pool() -> Executor:
    """Processes that start with all this one has read; threads where there is no forking."""
    if "fork" in multiprocessing.get_all_start_methods() and threading.active_count() == 1:
        return ProcessPoolExecutor(WORKERS, multiprocessing.get_context("fork"))
    return ThreadPoolExecutor(WORKERS)


def _drawn(scene: picture.Scene, name: str) -> bytes:
    """One picture as PNG: a look at the whole, or what a stage adds."""
    image = getattr(picture, name)(scene) if name in LOOKS else _step(scene, name)
    return picture.png(image)


def _step(scene: picture.Scene, name: str) -> Image:
    """What a stage adds, on what stands before it."""
    voxels = scene.voxels
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
