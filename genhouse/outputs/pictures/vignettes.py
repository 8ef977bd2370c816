"""A sheet of rooms: each a small model of its own, two walls taken away, all at one scale."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct, structs

from genhouse.core.axes import Side
from genhouse.model.design import Design
from genhouse.model.room import Room
from genhouse.model.voxels import Voxels
from genhouse.outputs.pictures import picture
from genhouse.outputs.pictures._scene import Scene
from genhouse.outputs.pictures._tone import PAPER
from genhouse.outputs.pictures.camera import COS_30, VIEWS, View
from genhouse.outputs.setting_out import room_name

if TYPE_CHECKING:
    from PIL.Image import Image

SHEET = 1500
"""Pixels across the sheet."""
SCALE = 24
"""Pixels along a cell's edge."""
WALLS, HIGH = 2, 3
"""Layers above a floor up to which walls, and what stands before them, are shown."""
MARGIN = 0.06
"""Part of a picture left free on each side, as ``picture.draw`` leaves it."""
GAP, LINE, FADE = 12, 26, 9
"""Pixels between vignettes, for a caption below each, and in which a vignette's edge fades."""
INK = (74, 68, 60)

NEAR: dict[View, tuple[Side, Side]] = {
    "south-east": ("south", "east"),
    "south-west": ("south", "west"),
    "north-west": ("north", "west"),
    "north-east": ("north", "east"),
}
"""The two sides that are next to the camera in each view."""


class Vignette(Struct, frozen=True, kw_only=True, eq=False):
    room: Room
    name: str
    image: Image

    @property
    def caption(self) -> str:
        return f"{self.room.id} {self.name}, {self.room.area} cells"


def vignettes(design: Design, scene: Scene) -> tuple[Vignette, ...]:
    """A picture of each room that has one."""
    return tuple(
        Vignette(room=r, name=room_name(design, r), image=vignette(design, scene, r))
        for r in pictured(design)
    )


def pictured(design: Design) -> tuple[Room, ...]:
    """The rooms indoors, lower storey first."""
    return tuple(sorted((r for r in design.rooms if r.indoor), key=lambda r: (r.level, r.id)))


def rooms_sheet(drawn: Sequence[Vignette], *, captions: bool = True) -> Image:
    """Rooms in rows.  captions: below each, its number and name as on the plans, and its cells."""
    return _laid_out(list(_rows(drawn)), captions)


def vignette(
    design: Design, scene: Scene, room: Room, *, view: View | None = None, scale: int = SCALE
) -> Image:
    """One room without the two walls next to the camera; from where its fittings show best."""
    view = view or best_view(design, room)
    low = room.floor - 1 - bool(room.sunken)
    r = room.rect.grown(1)
    part = cropped(scene, r.up(low, room.floor + HIGH))
    shown = _standing(part.voxels, room, low)
    for side in NEAR[view]:
        shown[edge(side)] = False
    size = size_of(shown.shape, scale)
    return picture.draw(part, view=view, size=size, mask=shown)


def _standing(voxels: Voxels, room: Room, low: int) -> picture.Mask:
    """Walls up to their cut, fittings to their full height, flue and hood; no roof above."""
    about = voxels.about
    roof = voxels.set_by("roof")
    flue = np.array([f.piece == "chimney" for f in about.forms])[voxels.form]
    shown: picture.Mask = ~roof | flue | (not room.to_roof)
    tall = voxels.set_by("fittings") | flue | roof
    shown[:, :, room.floor + WALLS - low :] &= tall[:, :, room.floor + WALLS - low :]
    return shown


def best_view(design: Design, room: Room) -> View:
    """The view into which most of what is used from one side faces; the first of equals."""
    placed = [p for p in design.placed if p.room == room.id and p.use]
    return max(VIEWS, key=lambda view: sum(p.cells.area for p in placed if p.facing in NEAR[view]))


def cropped(scene: Scene, box: tuple[int, int, int, int, int, int]) -> Scene:
    """The part of a scene inside a box, as a scene of its own."""
    x0, y0, z0, x1, y1, z1 = box
    cells = np.s_[x0:x1, y0:y1, z0:z1]
    v = scene.voxels
    x, y, z = v.about.gate
    return structs.replace(
        scene,
        voxels=replace(
            v,
            material=v.material[cells],
            form=v.form[cells],
            stage=v.stage[cells],
            room=v.room[cells],
            about=replace(v.about, gate=(x - x0, y - y0, z - 4 * z0)),
        ),
        solid=scene.solid[4 * x0 : 4 * x1, 4 * y0 : 4 * y1, 4 * z0 : 4 * z1],
        look=scene.look[cells],
        tone=scene.tone[cells],
        soft=scene.soft[cells],
    )


def edge(side: Side, rows: int = 1) -> tuple[slice, slice]:
    """So many outermost rows of cells on a side of ``[X, Y, ..]``."""
    whole, first, last = slice(None), slice(0, rows), slice(-rows, None) if rows else slice(0)
    there = {"west": (first, whole), "east": (last, whole), "south": (whole, first)}
    return there.get(side, (whole, last))


def size_of(cells: tuple[int, ...], scale: int) -> tuple[int, int]:
    """Pixels of a picture that a model of so many cells fills at a scale, up to its margin.

    It is the breadth that decides: not every model reaches its full height.
    """
    across, layers = cells[0] + cells[1] - 2, cells[2]
    free = 1 - 2 * MARGIN
    return (
        round(across * COS_30 * scale / free),
        round((across / 2 + layers) * scale / free) + 2,
    )


def _rows(drawn: Sequence[Vignette]) -> Iterator[list[Vignette]]:
    """As many side by side as the sheet is wide; a storey begins a row."""
    row: list[Vignette] = []
    for v in drawn:
        wide = sum(w.image.width + GAP for w in row) + v.image.width
        if row and (wide > SHEET - 2 * GAP or v.room.level != row[-1].room.level):
            yield row
            row = []
        row.append(v)
    if row:
        yield row


def _faded(size: tuple[int, int]) -> Image:
    """A mask that lets a picture's table run out into the sheet."""
    from PIL import Image, ImageFilter

    inner = Image.new("L", (size[0] - 2 * FADE, size[1] - 2 * FADE), 255)
    mask = Image.new("L", size, 0)
    mask.paste(inner, (FADE, FADE))
    return mask.filter(ImageFilter.BoxBlur(FADE - 1))


def _laid_out(rows: Sequence[Sequence[Vignette]], captions: bool) -> Image:
    from PIL import Image, ImageDraw, ImageFont  # here, for a command that draws nothing

    line = LINE if captions else 0
    heights = [max(v.image.height for v in row) + line + GAP for row in rows]
    sheet = Image.new("RGB", (SHEET, sum(heights) + GAP), PAPER)
    pen, font = ImageDraw.Draw(sheet), ImageFont.load_default(14)
    top = GAP
    for row, height in zip(rows, heights, strict=True):
        spare = SHEET - sum(v.image.width for v in row)
        left = spare // (len(row) + 1)
        for v in row:
            foot = top + height - line - GAP
            sheet.paste(v.image, (left, foot - v.image.height), _faded(v.image.size))
            if captions:
                middle = (left + v.image.width // 2, foot + 4)
                pen.text(middle, v.caption, fill=INK, font=font, anchor="ma")
            left += v.image.width + spare // (len(row) + 1)
        top += height
    return sheet
