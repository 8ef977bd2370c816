"""A design to arrays: what its parts set, turned as the house is."""

from __future__ import annotations

from dataclasses import fields, replace
from functools import lru_cache

import numpy as np

from genhouse.core.forms import FORMS, NUMBER, shapes, turned
from genhouse.model.design import Design
from genhouse.model.palette import Material
from genhouse.model.part import STAGES
from genhouse.model.record import differing
from genhouse.model.voxels import About, FormEntry, MaterialEntry, RoomEntry, Voxels

STAGE_TABLE = ("air", *STAGES)
_TOLD = frozenset(field.name for field in fields(MaterialEntry))
FORM_TABLE = tuple(FormEntry(name=f.name, piece=f.piece) for f in FORMS)


@lru_cache(maxsize=16)
def _material_table(materials: tuple[Material, ...]) -> tuple[MaterialEntry, ...]:
    names = [field.name for field in fields(Material) if field.name in _TOLD]
    told = ({name: getattr(material, name) for name in names} for material in materials)
    return (MaterialEntry(name="air", colour="#ffffff"), *(MaterialEntry(**one) for one in told))


def raster(design: Design) -> Voxels:
    """Set every part's cells.  Raises ValueError where two parts claim one cell: stages never do."""
    laid, turn = design.laid, design.turn
    packed = np.zeros(laid.size, dtype=np.uint32)  # of bits: 8 material, 7 stage, covering, 16 form
    table = design.palette.materials
    number = {m.name: n for n, m in enumerate(table, 1)}
    of_role = {role: number[m.name] for role, m in design.palette.roles}
    of_stage = {name: n for n, name in enumerate(STAGE_TABLE)}
    of_form = np.array([NUMBER[turned(name, turn)] for name in NUMBER], dtype=packed.dtype)
    void = design.palette.having("void")
    codes = [
        of_role[role] | of_stage[stage] << 8 | (stage == "roof" and role not in void) << 15
        for stage, role in ((part.stage, part.role) for part in laid.parts)
    ]
    code = np.array(codes, dtype=packed.dtype) | of_form[laid.form] << 16
    packed.reshape(-1)[laid.cell] = code[laid.part]
    packed = np.ascontiguousarray(turn.array(packed))
    material, form = packed.astype(np.uint8), (packed >> 16).astype(np.uint16)
    stage, covering = (packed >> 8 & 127).astype(np.uint8), (packed >> 15 & 1).astype(bool)
    if len(laid.cell) != np.count_nonzero(form):
        raise ValueError(_clash(design))
    about = About(
        seed=design.recipe.seed,
        materials=_material_table(table),
        forms=FORM_TABLE,
        stages=STAGE_TABLE,
        rooms=tuple(
            RoomEntry(
                id=r.id,
                kind=r.kind,
                level=r.level,
                indoor=r.indoor,
                walkable=r.walkable,
                open=r.open,
            )
            for r in design.rooms
        ),
        eaves=design.eaves,
        gate=design.gate,
        party=design.recipe.brief.sides.party,
    )
    room = _room_array(design, covering)
    for array in (material, form, stage, room):
        array.flags.writeable = False
    return Voxels(
        material=material, form=form, stage=stage, room=room, shapes=shapes(), about=about
    )


def edited(design: Design, voxels: Voxels) -> tuple[str, ...]:
    """What of some cells is not as the design's parts set it: somebody changed it by hand.

    Building stages in order, then ``rooms``, then ``tables`` where what the numbers stand for differs.
    Compared by name, since each has numbers of its own.
    """
    told = raster(design)
    if told.size != voxels.size:
        return (*STAGES, "rooms", "tables")
    differ, _, stage = differing(told, voxels)
    return (
        *(
            name
            for n, name in enumerate(STAGE_TABLE)
            if n and (differ & ((told.stage == n) | (stage == n))).any()
        ),
        *(() if np.array_equal(told.room, voxels.room) else ("rooms",)),
        *(() if _tables(told) == _tables(voxels) else ("tables",)),
    )


def _tables(voxels: Voxels) -> tuple[object, ...]:
    """All that is said of the cells, but for names of a builder's own and the forms that none has."""
    about = voxels.about
    materials = tuple(replace(m, own="") for m in about.materials)
    used = np.unique(voxels.form).tolist()
    shapes = sorted((about.forms[n].name, voxels.shapes[n].tobytes()) for n in used)
    return about.seed, materials, about.rooms, about.eaves, about.gate, about.party, shapes


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
