"""Where lamps may go in a room or round a court, and the points that they have to light."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from genhouse.core.axes import SIDES, STEP, Side, opposite
from genhouse.core.box import Rect
from genhouse.core.forms import NUMBER, SUB, shapes
from genhouse.core.light import EIGHTHS, centres, standing, subcells
from genhouse.model.palette import Palette
from genhouse.model.part import Part
from genhouse.model.raster import forms_of
from genhouse.model.room import Room

Ints = npt.NDArray[np.int32]
Bool = npt.NDArray[np.bool_]
OVERHEAD = 2
"""Cells above a floor from which a lamp is over one's head."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """A place for a lamp.  stand: z of the table below it, where it has one.

    blocks: whether nobody can walk through its cell.
    """

    cell: tuple[int, int, int]
    form: str
    role: str
    stand: int | None = None
    blocks: bool = False

    @property
    def at(self) -> tuple[int, int, int]:
        """The middle of its light, in eighths of a cell."""
        return centre(self.cell, self.form)


CENTRES = centres(shapes())
_SHAPES = shapes()
_CORE: Bool = np.asarray(_SHAPES[:, 1:3, 1:3].all(axis=(1, 2)))
"""bool [F, 4]: whether the middle four of a form's sub-cells are filled, by quarter."""
_FILLED: Bool = np.asarray(_SHAPES.any(axis=(1, 2)))
"""bool [F, 4]: whether any are."""
_FACE: dict[Side, Bool] = {
    "west": _SHAPES[:, 0, 1:3, 1:3].sum(axis=(1, 2)) >= 2,
    "east": _SHAPES[:, 3, 1:3, 1:3].sum(axis=(1, 2)) >= 2,
    "south": _SHAPES[:, 1:3, 0, 1:3].sum(axis=(1, 2)) >= 2,
    "north": _SHAPES[:, 1:3, 3, 1:3].sum(axis=(1, 2)) >= 2,
}
"""bool [F]: whether a form gives hold in the middle of its face on a side."""


def centre(cell: tuple[int, int, int], form: str) -> tuple[int, int, int]:
    """The middle of what a form fills of a cell, in eighths."""
    dx, dy, dz = CENTRES[NUMBER[form]].tolist()
    x, y, z = cell
    return (EIGHTHS * x + dx, EIGHTHS * y + dy, EIGHTHS * z + dz)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Built:
    """The cells that stand before any lamp is set.

    form: uint8 [X, Y, Z].  opaque: bool [4X, 4Y, 4Z], what stops light.  layers: bool [X, Y, 4Z],
    whether anything is in a quarter of a column.
    """

    form: npt.NDArray[np.uint8]
    opaque: Bool
    layers: Bool

    @classmethod
    def of(cls, parts: Sequence[Part], palette: Palette, size: tuple[int, int, int]) -> Built:
        clear = {role for role, material in palette.roles if material.clear}
        form = forms_of(parts, size)
        dark = form.copy()
        for p in parts:
            if p.role in clear:
                x0, y0, z0, x1, y1, z1 = p.box
                dark[x0:x1, y0:y1, z0:z1] = 0
        layers = _FILLED[form].reshape(*size[:2], SUB * size[2])
        return cls(form=form, opaque=subcells(dark, _SHAPES), layers=layers)

    def holds(self, x: int, y: int, z: int, side: Side) -> bool:
        """Whether something can be fixed to a cell by one who looks to this side."""
        inside = 0 <= x < self.form.shape[0] and 0 <= y < self.form.shape[1]
        return inside and bool(_FACE[opposite(side)][self.form[x, y, z]])

    def points(self, rooms: Sequence[Room]) -> list[Ints]:
        """For each room the places on its floor where one can stand, in eighths: int [P, 3]."""
        cells = [floor_cells(room) for room in rooms]
        at = np.concatenate(cells)
        high = standing(self.layers[at[:, 0], at[:, 1]], SUB * at[:, 2])
        points = EIGHTHS * at + EIGHTHS // 2
        points[:, 2] = EIGHTHS * at[:, 2] + 2 * high
        ends = np.cumsum([len(c) for c in cells])[:-1]
        pairs = zip(np.split(points, ends), np.split(high, ends), strict=True)
        return [p[h >= 0] for p, h in pairs]


def floor_cells(room: Room) -> Ints:
    """The lowest cell of each column of a room: int [N, 3]."""
    found = []
    for r in room.rects:
        x, y = np.mgrid[r.x0 : r.x1, r.y0 : r.y1].astype(np.int32)
        z = np.full_like(x, room.floor)
        for low in room.sunken:
            z[(x >= low.x0) & (x < low.x1) & (y >= low.y0) & (y < low.y1)] -= 1
        found.append(np.stack((x, y, z), axis=-1).reshape(-1, 3))
    return np.concatenate(found)


def hung(built: Built, room: Room, over: Iterable[tuple[int, int]]) -> Iterator[Spot]:
    """Under whatever is level and solid over one's head."""
    r, low = room.rect, room.floor + OVERHEAD
    column = built.form[r.x0 : r.x1, r.y0 : r.y1, low : room.ceiling + 1]
    first = (column > 0).argmax(axis=2)
    above = np.take_along_axis(column, first[..., None], axis=2)[..., 0]
    holds, first = (_CORE[above, 0] & (first > 0)).tolist(), first.tolist()
    for x, y in over:
        if holds[x - r.x0][y - r.y0]:
            z = low + first[x - r.x0][y - r.y0] - 1
            yield Spot(cell=(x, y, z), form="hanging lamp", role="lamp")


def bracketed(
    built: Built,
    cells: Iterable[tuple[int, int]],
    z: int,
    role: str,
    *,
    blocks: bool,
    posts: frozenset[tuple[int, int]] | None = None,
) -> Iterator[Spot]:
    """On whatever gives hold beside a cell, or on a post, where posts are given."""
    for x, y in cells:
        if built.form[x, y, z]:
            continue
        for side in SIDES:
            dx, dy = STEP[side]
            wall = (x + dx, y + dy)
            if (posts is None or wall in posts) and built.holds(*wall, z, side):
                form = f"bracket lamp {side}"
                yield Spot(cell=(x, y, z), form=form, role=role, blocks=blocks)
                break


def stood(built: Built, cells: Iterable[tuple[int, int]], floor: int) -> Iterator[Spot]:
    """On a high table of its own."""
    for x, y in cells:
        if not built.form[x, y, floor : floor + 2].any():
            yield Spot(
                cell=(x, y, floor + 1),
                form="standing lamp",
                role="lamp",
                stand=floor,
                blocks=True,
            )


def off_middle(rect: Rect, x: int, y: int) -> int:
    """How far from the middle of a room, doubled."""
    return abs(2 * x + 1 - rect.x0 - rect.x1) + abs(2 * y + 1 - rect.y0 - rect.y1)
