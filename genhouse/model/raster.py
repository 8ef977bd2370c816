"""Parts to cells: the only place where parts become arrays."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields
from itertools import chain

import numpy as np
import numpy.typing as npt

from genhouse.core.forms import FORMS, NUMBER, shapes, turned
from genhouse.model.design import Design
from genhouse.model.palette import Material
from genhouse.model.part import ROOF_TIMBERS, STAGES, Part
from genhouse.model.voxels import About, FormEntry, MaterialEntry, RoomEntry, Voxels

STAGE_TABLE = ("air", *STAGES)


def _entry(material: Material) -> MaterialEntry:
    told = {field.name: getattr(material, field.name) for field in fields(MaterialEntry)}
    return MaterialEntry(**told)


def cells_of(
    parts: Sequence[Part], size: tuple[int, int, int]
) -> tuple[npt.NDArray[np.intp], npt.NDArray[np.int32]]:
    """Every cell that parts set, part by part: the number of its part, its place in the flat grid.

    Raises ValueError where one lies outside the grid.
    """
    _, deep, high = size
    edges = chain.from_iterable([part.box for part in parts])
    box = np.fromiter(edges, dtype=np.int32, count=6 * len(parts)).reshape(-1, 6)
    outside = ((box[:, :3] < 0) | (box[:, 3:] > size)).any(axis=1)
    if outside.any():
        raise ValueError(f"{parts[int(outside.argmax())]} lies outside the plot {size}")
    x, y, z = box[:, :3].T
    long, wide, tall = (box[:, 3:] - box[:, :3]).T
    volume = long * wide * tall
    part = np.arange(len(parts)).repeat(volume)
    nth = np.arange(len(part), dtype=np.int32) - (volume.cumsum(dtype=np.int32) - volume)[part]
    column, up = np.divmod(nth, tall[part])
    i, j = np.divmod(column, wide[part])
    first = (x * deep + y) * high + z
    return part, first[part] + (i * deep + j) * high + up


def raster(design: Design) -> Voxels:
    """Set every part's cells.  Raises ValueError where two parts claim one cell: stages never do."""
    turn, size = design.turn, (design.turn.width, design.turn.depth, design.height)
    packed = np.zeros(size, dtype="<u4")  # a byte each for material, form, stage, covering
    table = design.palette.materials
    number = {m.name: n for n, m in enumerate(table, 1)}
    of_role = {role: number[m.name] for role, m in design.palette.roles}
    of_stage = {name: n for n, name in enumerate(STAGE_TABLE)}
    of_form = {name: NUMBER[turned(name, turn)] for name in NUMBER}
    codes = [
        of_role[role]
        | of_form[form] << 8
        | of_stage[stage] << 16
        | (stage == "roof" and role not in ROOF_TIMBERS) << 24
        for stage, role, form in ((part.stage, part.role, part.form) for part in design.laid)
    ]
    which, cell = cells_of(design.laid, size)
    packed.reshape(-1)[cell] = np.array(codes, dtype=packed.dtype)[which]
    layers = turn.array(packed.view(np.uint8).reshape(*size, 4))
    material, form, stage, covering = (layers[..., n].copy() for n in range(4))
    if len(cell) != np.count_nonzero(form):
        raise ValueError(_clash(design))
    about = About(
        seed=design.recipe.seed,
        materials=(MaterialEntry(name="air", colour="#ffffff"), *map(_entry, table)),
        forms=tuple(FormEntry(name=f.name, piece=f.piece) for f in FORMS),
        stages=STAGE_TABLE,
        rooms=tuple(
            RoomEntry(id=r.id, kind=r.kind, level=r.level, indoor=r.indoor, walkable=r.walkable)
            for r in design.rooms
        ),
        eaves=design.eaves,
        gate=design.gate,
    )
    room = _room_array(design, covering.astype(bool))
    for array in (material, form, stage, room):
        array.flags.writeable = False
    return Voxels(
        material=material, form=form, stage=stage, room=room, shapes=shapes(), about=about
    )


def _room_array(design: Design, roof: np.ndarray) -> np.ndarray:
    room = np.zeros(roof.shape, dtype=np.uint16)
    for r in design.rooms:
        for x0, y0, z0, x1, y1, z1 in r.volume():
            cells = np.s_[x0:x1, y0:y1, z0:z1]
            if r.to_roof:
                under = ~np.logical_or.accumulate(roof[cells], axis=2)
                room[cells][under] = r.id
            else:
                room[cells] = r.id
    return room


def _clash(design: Design) -> str:
    seen: dict[tuple[int, int, int], object] = {}
    for part in design.parts:
        for cell in part.box.cells():
            if cell in seen:
                return f"{part} claims cell {cell}, already set by {seen[cell]}"
            seen[cell] = part
    return "two parts claim one cell"
