"""Every file of a house folder, as bytes."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from typing import TYPE_CHECKING, Any

import numpy as np
from msgspec import Struct

from genhouse.core.workers import cores, helped
from genhouse.model.design import Design
from genhouse.model.voxels import Voxels
from genhouse.outputs.details import Detail, detail_picture, details
from genhouse.outputs.names import Names, applied, given, own_steps, remarks
from genhouse.outputs.pictures import picture, vignettes
from genhouse.outputs.step_pictures import View, step_picture, views
from genhouse.outputs.steps.steps import Steps, building_steps
from genhouse.outputs.written import HOUSE, sealed

if TYPE_CHECKING:
    from genhouse.outputs.figures._tables import Figures

LOOKS = tuple(f"{name}.png" for name in picture.LOOKS)
ROOMS = "rooms.png"
HELPERS = 3
"""Processes that draw beside this one, at most; more bring little, the pictures being few."""
AT_HAND = 31 << 20
BUNDLE = 64
"""Pieces that are fetched together, where nobody says how many."""


def folder_files(
    design: Design,
    voxels: Voxels,
    checks: Callable[[], Sequence[Mapping[str, Any]]],
    measured: Figures | None = None,
    names: Names | None = None,
    bundle: int = BUNDLE,
) -> dict[str, bytes]:
    """The files of the contract, by name.  checks: gives the inspector's verdicts, as plain values.

    measured: the figures of the house, where they are known.  names: the builder's own; those that its
    tables hold where none are given.  bundle: pieces that are fetched together.

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
    steps = building_steps(design, voxels)
    own = given(voxels) if names is None else names
    shown = views(voxels, steps)
    cut = details(design, steps)
    wanted: list[str | View | Detail] = [ROOMS, *LOOKS, *shown, *cut]
    drawing = _Drawing(design=design, scene=scene, steps=steps)
    helpers = max(1, min(HELPERS, cores() - 1))
    with helped(partial(_drawn, drawing), wanted, helpers, "pictures") as finish:
        from genhouse.outputs import members
        from genhouse.outputs.arrays import voxels_bytes
        from genhouse.outputs.bill import bill, csv_bytes
        from genhouse.outputs.document.document import laid_out, record
        from genhouse.outputs.glb import glb_bytes
        from genhouse.outputs.guide.guide import guide
        from genhouse.outputs.guide.told import HERO, Told, detail_name, room_name, step_name
        from genhouse.outputs.plans.plan import plans
        from genhouse.outputs.plans.room_diagram import room_diagram
        from genhouse.outputs.sheets.sheet import Sheets
        from genhouse.outputs.steps.table import steps_csv

        drawn = plans(design)
        sheets = Sheets(design, voxels, steps)
        told = record(design, voxels, checks(), measured)
        files = {
            "house.json": laid_out(told),
            "house.npz": voxels_bytes(applied(voxels, own)),
            "house.glb": glb_bytes(voxels, steps),
            "materials.csv": csv_bytes(bill(voxels)),
            "members.csv": csv_bytes(members.members(design), members.Member),
            "steps.csv": steps_csv(steps),
            **sheets.files,
            **{f"plan-{n}.svg": text.encode() for n, text in enumerate(drawn, 1)},
            "rooms.svg": room_diagram(design, told.metrics).encode(),
        }
        if own.rows:
            files["steps-own.csv"] = own_steps(steps, own)
        rooms = [room.id for room in vignettes.pictured(design)]
        page = guide(
            Told(
                design=design,
                voxels=voxels,
                steps=steps,
                sheets=sheets,
                plans=drawn,
                pictures=shown,
                details=cut,
                rooms=rooms,
                edited=told.edited,
                called=own.called,
                bundle=bundle,
                remarks=remarks(voxels, own),
            )
        )
        done = dict(zip(wanted, finish(), strict=True))
    sheet, *alone = done[ROOMS]
    files |= {ROOMS: sheet, **{name: done[name][0] for name in LOOKS}}
    pictures = {HERO: done[LOOKS[0]][0], **{step_name(view): done[view][0] for view in shown}}
    pictures |= {detail_name(one): done[one][0] for one in cut}
    pictures |= dict(zip(map(room_name, rooms), alone, strict=True))
    files["guide.html"] = page.whole(pictures.__getitem__)
    return sealed(files, HOUSE.file)


class _Drawing(Struct, frozen=True, kw_only=True, eq=False):
    """What pictures are drawn of."""

    design: Design
    scene: picture.Scene
    steps: Steps


def _drawn(of: _Drawing, wanted: str | View | Detail) -> tuple[bytes, ...]:
    """A look at the whole as PNG, what a step adds and details as JPEG; of the rooms a sheet, and each by
    itself."""
    if isinstance(wanted, View):
        return (picture.jpeg(step_picture(of.scene, of.steps, wanted)),)
    if isinstance(wanted, Detail):
        return (picture.jpeg(detail_picture(of.scene, of.steps, wanted)),)
    if wanted == ROOMS:
        rooms = vignettes.vignettes(of.design, of.scene)
        return (picture.png(vignettes.rooms_sheet(rooms)), *(picture.jpeg(r.image) for r in rooms))
    return (picture.png(picture.seen(of.scene, wanted.removesuffix(".png"))),)
