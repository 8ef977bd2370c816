"""Rooms as a builder furnishes them: what stands where, and which way it looks."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from html import escape

from msgspec import Struct

from genhouse.model.design import Design
from genhouse.model.elements import Placed
from genhouse.model.room import Room
from genhouse.model.voxels import Voxels
from genhouse.outputs.guide._counts import Called, Counts, Need
from genhouse.outputs.guide._places import cell, place
from genhouse.outputs.plans._pen import CARD, CELL, INK, num
from genhouse.outputs.setting_out import clear_size, room_name
from genhouse.outputs.sheets.sheet import Sheets

GAP = 8
HIGHEST = 5
"""Layers of a fitting that are drawn at most."""


class Stands(Struct, frozen=True, kw_only=True):
    """A fitting: where it stands, which way it looks, and from where it is used."""

    name: str
    where: str
    facing: str
    use: str


class RoomSheet(Struct, frozen=True, kw_only=True):
    number: int
    name: str
    level: int
    size: str
    area: int
    where: str
    stands: tuple[Stands, ...]
    needs: tuple[Need, ...]
    picture: str


class FittingSheet(Struct, frozen=True, kw_only=True):
    """A kind of fitting by layers, as its first stands here.  count: how many there are.  pieces: of each
    layer, from the floor up."""

    name: str
    room: str
    facing: str
    count: int
    drawing: str
    pieces: tuple[str, ...]
    caution: str


def room_sheets(design: Design, counts: Counts, pictures: dict[int, str]) -> tuple[RoomSheet, ...]:
    """Each room, court and walk; those indoors with a picture."""
    return tuple(_room(design, room, counts, pictures.get(room.id, "")) for room in design.rooms)


def _room(design: Design, room: Room, counts: Counts, picture: str) -> RoomSheet:
    placed = sorted(
        (p for p in design.placed if p.room == room.id), key=lambda p: (p.name, p.cells)
    )
    return RoomSheet(
        number=room.id,
        name=room_name(design, room),
        level=room.level,
        size=clear_size(room),
        area=room.area,
        where=place(room.rect),
        stands=tuple(map(_stands, placed)),
        needs=counts.room(room.id),
        picture=picture,
    )


def _stands(placed: Placed) -> Stands:
    used = placed.use
    return Stands(
        name=placed.name,
        where=place(placed.cells),
        facing=placed.facing,
        use=", ".join(cell(x, y) for x, y in used[:2]),
    )


def fitting_sheets(
    design: Design, voxels: Voxels, sheets: Sheets, called: Called
) -> tuple[FittingSheet, ...]:
    """Each kind of fitting once, by name."""
    cautions = dict(design.cautions)
    kinds: dict[str, list[Placed]] = {}
    for placed in design.placed:
        kinds.setdefault(placed.name, []).append(placed)
    return tuple(
        FittingSheet(
            name=name,
            room=f"{design.room(some[0].room).id}, {room_name(design, design.room(some[0].room))}",
            facing=some[0].facing,
            count=len(some),
            drawing=_layers(name, some[0], voxels, sheets),
            pieces=tuple(
                _pieces(some[0], z, voxels, sheets, called) for z in _filled(some[0], voxels)
            ),
            caution=cautions.get(name, ""),
        )
        for name, some in sorted(kinds.items())
    )


def _layers(name: str, placed: Placed, voxels: Voxels, sheets: Sheets) -> str:
    """Its layers side by side, from the floor up, north up."""
    r, layers = placed.cells, list(_filled(placed, voxels))
    step = CELL * r.width + GAP
    wide, high = step * max(1, len(layers)) - GAP + 2, CELL * r.depth + 14
    body = "".join(
        f'<g transform="translate({num(1 + n * step)} 1)">{_plan(placed, z, voxels, sheets)}'
        f'<text x="0" y="{CELL * r.depth + 10}" font-size="8" fill="{INK}">{n + 1}</text></g>'
        for n, z in enumerate(layers)
    )
    size = f'width="{num(1.4 * wide)}" height="{num(1.4 * high)}"'
    title = f"<title>{escape(name)} by layers from the floor up</title>"
    return f'<svg viewBox="0 0 {wide} {high}" {size} role="img">{title}{body}</svg>'


def _pieces(placed: Placed, z: int, voxels: Voxels, sheets: Sheets, called: Called) -> str:
    """What a layer is made of, each with the letters of its mark."""
    x0, y0, x1, y1 = placed.cells
    about = voxels.about
    kinds = Counter(
        zip(
            voxels.material[x0:x1, y0:y1, z].ravel().tolist(),
            voxels.form[x0:x1, y0:y1, z].ravel().tolist(),
            strict=True,
        )
    )
    told = []
    for (material, form), count in sorted(kinds.items()):
        if form:
            name = about.forms[form].name
            code = sheets.code(form)
            own = called(about.materials[material].name, name)
            told.append(f"{count} {own}, {name}" + (f" ({code})" if code else ""))
    return "; ".join(told)


def _filled(placed: Placed, voxels: Voxels) -> Iterator[int]:
    x0, y0, x1, y1 = placed.cells
    stage = voxels.about.stages.index("fittings")
    for z in range(placed.floor, min(voxels.size[2], placed.floor + HIGHEST)):
        if (voxels.stage[x0:x1, y0:y1, z] == stage).any():
            yield z


def _plan(placed: Placed, z: int, voxels: Voxels, sheets: Sheets) -> str:
    x0, y0, x1, y1 = placed.cells
    drawn: Sequence[str] = [
        sheets.piece(x, y, z, CELL * (x - x0), CELL * (y1 - 1 - y))
        for y in range(y0, y1)
        for x in range(x0, x1)
        if voxels.form[x, y, z]
    ]
    frame = (
        f'<path d="M0 0h{CELL * (x1 - x0)}v{CELL * (y1 - y0)}H0z" fill="{CARD}" stroke="{INK}"/>'
    )
    return frame + "".join(drawn)
