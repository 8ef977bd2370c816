"""Roof: one prism a wing, joined by their upper envelope.

The valley between two wings is wherever the envelope passes from one prism to the other; nothing
else decides it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from genhouse.core.draw import Draw
from genhouse.stages._prisms import gabled, half, hipped
from genhouse.stages._slopes import NONE, Field, join, shell
from genhouse.stages.rooms import Rooms
from genhouse.stages.site import Site, Wing
from genhouse.traditions.loader import RoofRule, Tradition


@dataclass(frozen=True, slots=True, kw_only=True)
class Roof:
    """top, under: int16 [2 X, 2 Y], half cells, read-only.  role: index into ROLES by cell.

    ridges: 0, 1 (along x) or 2 (along y) by cell.  eaves: z of the lowest roof layer.
    chimney: z of the first layer above the flue.  height: layers that the house needs.
    """

    hipped: bool
    top: Field
    under: Field
    role: npt.NDArray[np.uint8]
    ridges: npt.NDArray[np.uint8]
    eaves: int
    chimney: int
    height: int

    def clear(self, x: int, y: int) -> int:
        """Half cells from the array's ground to the underside over a cell."""
        return int(self.under[2 * x : 2 * x + 2, 2 * y : 2 * y + 2].min())


ROLES = ("tile", "eave", "verge", "ridge")


def plan_roof(site: Site, rooms: Rooms, tradition: Tradition, draw: Draw) -> Roof:
    """Grow the roof over the wings."""
    hips = draw.chance(2, 5, "hips")
    rule = tradition.roof
    base = 2 * (tradition.levels.plate + 2)
    widest = max(wing.span for wing in site.wings)
    steep = [w.span == widest > min(x.span for x in site.wings) for w in site.wings]
    fields = [
        (hipped if hips else gabled)(site, wing, tradition.roof, base, steep=is_steep)
        for wing, is_steep in zip(site.wings, steep, strict=True)
    ]
    top = join([f for pieces in fields for f in pieces])
    role, ridges = _roles(site, top, [join(pieces) for pieces in fields], rule, hips=hips)
    inside = half(_indoors(site))
    verge = half(role == ROLES.index("verge")) & ~inside
    under = join([_shell_of(top, part) for part in (inside, verge, ~inside & ~verge)])
    under = _closed_on(under, _walled(site.plot, rooms))
    chimney = _chimney_top(top, rooms.hearth.cell)
    for array in (top, under, role, ridges):
        array.flags.writeable = False
    return Roof(
        hipped=hips,
        top=top,
        under=under,
        role=role,
        ridges=ridges,
        eaves=int(under[under != NONE].min()) // 2,
        chimney=chimney,
        height=max(chimney + 1, -(-int(top.max()) // 2) + 1) + 1,
    )


def _indoors(site: Site) -> npt.NDArray[np.bool_]:
    """The cells of the wings, wall lines included: all else a roof covers is overhang."""
    cells = np.zeros(site.plot, dtype=bool)
    for wing in site.wings:
        cells[wing.rect.x0 : wing.rect.x1, wing.rect.y0 : wing.rect.y1] = True
    return cells


def _shell_of(top: Field, part: npt.NDArray[np.bool_]) -> Field:
    """The shell of one part of a roof: past its edge a wall or the open air is below, nothing to close."""
    return shell(np.where(part, top, NONE).astype(np.int16))


def _roles(
    site: Site, top: Field, fields: list[Field], rule: RoofRule, *, hips: bool
) -> tuple[npt.NDArray[np.uint8], npt.NDArray[np.uint8]]:
    """Which roof piece each cell carries, and which way its ridge runs."""
    role = np.zeros(site.plot, dtype=np.uint8)
    ridges = np.zeros(site.plot, dtype=np.uint8)
    eaves = top[::2, ::2]
    low = int(eaves[eaves != NONE].min())
    role[(eaves == low)] = ROLES.index("eave")
    for wing, field in zip(site.wings, fields, strict=True):
        own = field[::2, ::2]
        on_top = (own == eaves) & (own != NONE)
        r = wing.rect
        if not hips:
            role[on_top & _verges(site, wing, rule)] = ROLES.index("verge")
        crest = on_top & (own == own.max())
        if wing.axis == "x":
            middle = (r.y0 + r.y1 - 1) // 2
            ridges[crest[:, middle], middle] = 1
        else:
            middle = (r.x0 + r.x1 - 1) // 2
            higher = crest[middle] & (own[middle] > _others(fields, field)[2 * middle, ::2])
            ridges[middle, higher & (ridges[middle] == 0)] = 2
    role[(ridges > 0) & (role != ROLES.index("verge"))] = ROLES.index("ridge")
    return role, ridges


def _verges(site: Site, wing: Wing, rule: RoofRule) -> npt.NDArray[np.bool_]:
    """The doubled course at a gable: that beyond the wall and that on it."""
    house = site.house
    cells = np.zeros(site.plot, dtype=bool)
    if wing.axis == "x":
        cells[house.x0 - rule.verge : house.x0 + 1] = True
        cells[house.x1 - 1 : house.x1 + rule.verge] = True
    elif wing.rect.y0 == house.y0:
        cells[:, house.y0 - rule.verge : house.y0 + 1] = True
    return cells


def _others(fields: list[Field], field: Field) -> Field:
    rest = [f for f in fields if f is not field]
    return join(rest) if rest else np.full_like(field, NONE)


def _closed_on(under: Field, walls: npt.NDArray[np.bool_]) -> Field:
    """The underside brought down to the top of a whole cell wherever a wall meets it."""
    x, y = walls.shape
    lowest = under.reshape(x, 2, y, 2).min(axis=(1, 3))
    seat = (lowest - lowest % 2).repeat(2, axis=0).repeat(2, axis=1)
    return np.where(half(walls) & (under != NONE), seat, under).astype(np.int16)


def _walled(plot: tuple[int, int], rooms: Rooms) -> npt.NDArray[np.bool_]:
    """The cells under which a wall of the upper storey rises to the roof."""
    walls = np.zeros(plot, dtype=bool)
    for s in rooms.rising:
        walls[s.cells.x0 : s.cells.x1, s.cells.y0 : s.cells.y1] = True
    for x, y in line_ends(rooms):
        walls[x, y] = True
    return walls


def _chimney_top(top: Field, cell: tuple[int, int]) -> int:
    """The layer above the flue: a cell above the roof there and above anything within three cells.

    IRC 2018 R1003.9 asks 3 ft above the roof where the chimney passes through it and 2 ft above any
    part of the building within 10 ft; a cell stands for a metre.
    """
    x, y = cell
    near = top[max(0, 2 * (x - 3)) : 2 * (x + 4), max(0, 2 * (y - 3)) : 2 * (y + 4)]
    return -(-int(near.max()) // 2) + 1


def line_ends(rooms: Rooms) -> tuple[tuple[int, int], ...]:
    """Post places at the ends of the wall segments that rise to the roof, each once."""
    ends: dict[tuple[int, int], None] = {}
    for s in rooms.rising:
        c = s.cells
        low, high = (
            ((c.x0 - 1, c.y0), (c.x1, c.y0)) if s.axis == "x" else ((c.x0, c.y0 - 1), (c.x0, c.y1))
        )
        ends |= {low: None, high: None}
    return tuple(ends)
