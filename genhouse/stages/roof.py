"""Roof: one prism a wing, joined by their upper envelope; gables, chimney and porch roofs.

The valley between two wings is wherever the envelope passes from one prism to the other; nothing
else decides it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from genhouse.core.axes import STEP, opposite
from genhouse.core.box import Box, Rect, runs
from genhouse.core.forms import FORMS, NUMBER
from genhouse.model.part import Part
from genhouse.stages._carving import carve
from genhouse.stages._openings import Entrance
from genhouse.stages._slopes import NONE, Field, across, join, prism, shell
from genhouse.stages.rooms import Rooms
from genhouse.stages.site import Site, Wing
from genhouse.traditions.loader import Tradition


@dataclass(frozen=True, slots=True, kw_only=True)
class Roof:
    """top, under: int16 [2 X, 2 Y], half cells, read-only.  role: index into ROLES by cell.

    ridges: 0, 1 (along x) or 2 (along y) by cell.  eaves: z of the lowest roof layer.
    chimney: z of the first layer above the flue.  height: layers that the house needs.
    """

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


def plan_roof(site: Site, rooms: Rooms, tradition: Tradition) -> Roof:
    """Grow the roof over the wings."""
    rule = tradition.roof
    base = 2 * (tradition.levels.plate + 2)
    widest = max(wing.span for wing in site.wings)
    steep = [w.span == widest > min(x.span for x in site.wings) for w in site.wings]
    fields = [
        _prism(site, wing, tradition, base, is_steep)
        for wing, is_steep in zip(site.wings, steep, strict=True)
    ]
    top = join([f for pieces in fields for f in pieces])
    role, ridges = _roles(site, top, [join(pieces) for pieces in fields], rule.verge)
    inside = _half(_indoors(site))
    verge = _half(role == ROLES.index("verge")) & ~inside
    under = join([_shell_of(top, part) for part in (inside, verge, ~inside & ~verge)])
    under = _closed_on(under, _walled(site.plot, rooms))
    chimney = _chimney_top(top, rooms.hearth.cell)
    for array in (top, under, role, ridges):
        array.flags.writeable = False
    return Roof(
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


def _half(cells: npt.NDArray[np.bool_]) -> npt.NDArray[np.bool_]:
    """A plan in cells as a plan in half cells."""
    return cells.repeat(2, axis=0).repeat(2, axis=1)


def _prism(site: Site, wing: Wing, tradition: Tradition, base: int, steep: bool) -> list[Field]:
    """A wing's roof.  A through wing reaches out over the court only where a court lies."""
    rule = tradition.roof
    out = rule.outside
    r = wing.rect
    if wing.axis == "y":
        west = out if r.x0 == site.house.x0 else rule.court
        east = out if r.x1 == site.house.x1 else rule.court
        heights = across(wing.span, rule, west, east, steep=steep)
        south, north = _reach(site, wing, rule.verge)
        return [prism(site.plot, Rect(r.x0 - west, south, r.x1 + east, north), heights, "y", base)]
    house = site.house
    sides = {"south": r.y0 == house.y0, "north": r.y1 == house.y1}
    over = {side: out if outer else rule.court for side, outer in sides.items()}
    middle = (r.y0 + r.y1 - 1) // 2
    heights = across(wing.span, rule, out, out, steep=steep)

    def strip(x0: int, x1: int, y0: int, y1: int) -> Field:
        part = heights[2 * (y0 - r.y0 + out) : 2 * (y1 - r.y0 + out)]
        return prism(site.plot, Rect(x0, y0, x1, y1), part, "x", base)

    fields = [
        strip(
            house.x0,
            house.x1,
            r.y0 - (out if sides["south"] else 0),
            r.y1 + (out if sides["north"] else 0),
        )
    ]
    for court in site.courts:
        if court.y0 == r.y1 or court.y1 == r.y0:
            fields.append(
                strip(
                    court.x0,
                    court.x1,
                    r.y0 - (over["south"] if court.y1 == r.y0 else 0),
                    r.y1 + (over["north"] if court.y0 == r.y1 else 0),
                )
            )
    for x, name in ((house.x0 - rule.verge, "left"), (house.x1, "right")):
        winged = site.wing(name) is not None  # type: ignore[arg-type]
        low = r.y0 - over["south"] if sides["south"] or not winged else middle
        high = r.y1 + over["north"] if sides["north"] or not winged else middle + 1
        if high - low > 1:
            fields.append(strip(x, x + rule.verge, low, high))
    return fields


def _reach(site: Site, wing: Wing, verge: int) -> tuple[int, int]:
    """How far a side wing's prism runs: to the ridges of the through wings, or past its gable."""
    south, north = wing.rect.y0 - verge, wing.rect.y1 + verge
    for other in site.wings:
        if other.axis == "x":
            middle = (other.rect.y0 + other.rect.y1 - 1) // 2
            if other.rect.y1 == wing.rect.y0:
                south = middle
            if other.rect.y0 == wing.rect.y1:
                north = middle + 1
    return south, north


def _roles(
    site: Site, top: Field, fields: list[Field], reach: int
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
        x0, x1, y0, y1 = wing.rect.x0, wing.rect.x1, wing.rect.y0, wing.rect.y1
        if wing.axis == "x":
            for x in (site.house.x0 - reach, site.house.x1 + reach - 1):
                role[x, on_top[x]] = ROLES.index("verge")
            middle = (y0 + y1 - 1) // 2
            ridges[on_top[:, middle], middle] = 1
        else:
            if y0 == site.house.y0:
                role[on_top[:, y0 - reach], y0 - reach] = ROLES.index("verge")
            middle = (x0 + x1 - 1) // 2
            higher = on_top[middle] & (top[2 * middle, ::2] > _others(fields, field)[2 * middle, ::2])
            ridges[middle, higher & (ridges[middle] == 0)] = 2
    role[(ridges > 0) & (role != ROLES.index("verge"))] = ROLES.index("ridge")
    return role, ridges


def _others(fields: list[Field], field: Field) -> Field:
    rest = [f for f in fields if f is not field]
    return join(rest) if rest else np.full_like(field, NONE)


def _closed_on(under: Field, walls: npt.NDArray[np.bool_]) -> Field:
    """The underside brought down to the top of a whole cell wherever a wall meets it."""
    x, y = walls.shape
    lowest = under.reshape(x, 2, y, 2).min(axis=(1, 3))
    seat = (lowest - lowest % 2).repeat(2, axis=0).repeat(2, axis=1)
    return np.where(_half(walls) & (under != NONE), seat, under).astype(np.int16)


def _walled(plot: tuple[int, int], rooms: Rooms) -> npt.NDArray[np.bool_]:
    """The cells under which a wall of the upper storey rises to the roof."""
    walls = np.zeros(plot, dtype=bool)
    for s in rooms.segments:
        if s.level == 2 and s.boundary != "open":
            walls[s.cells.x0 : s.cells.x1, s.cells.y0 : s.cells.y1] = True
    for x, y in _line_ends(rooms):
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


def roof_parts(site: Site, roof: Roof, rooms: Rooms, tradition: Tradition) -> tuple[Part, ...]:
    """Shell, ridges, gables and wall heads up to the underside, chimney and porch roofs."""
    return (
        *_shell_parts(roof, rooms.hearth.cell),
        *_heads(site, roof, rooms, tradition),
        *_flue(roof, rooms, tradition),
        *(part for e in rooms.entrances for part in _porch(e, tradition)),
    )


def _shell_parts(roof: Roof, flue: tuple[int, int]) -> Iterator[Part]:
    forms = carve(roof.top, roof.under, roof.height)
    forms[flue] = 0
    roles = np.where(forms > 0, roof.role[..., None], 0)
    highest = roof.height - 1 - (forms[..., ::-1] > 0).argmax(axis=2)
    for axis, form in ((1, "saddle x"), (2, "saddle y")):
        xs, ys = np.nonzero((roof.ridges == axis) & (forms.max(axis=2) > 0))
        cells = (xs, ys, highest[xs, ys])
        slab = forms[cells] == NUMBER["lower slab"]
        forms[cells] = np.where(slab, NUMBER[form], forms[cells])
    inner = (roof.role == ROLES.index("ridge"))[..., None] & (np.arange(roof.height) < highest[..., None])
    roles[inner] = 0
    code = roles.astype(np.int32) * 256 + forms
    for kind in np.unique(code[forms > 0]):
        role, form = ROLES[kind >> 8], FORMS[kind & 255].name
        for box in runs([tuple(c) for c in np.argwhere(code == kind).tolist()]):
            yield Part("roof", role, form, box)


def _heads(site: Site, roof: Roof, rooms: Rooms, tradition: Tradition) -> Iterator[Part]:
    """Walls of the upper storey, closed from the plate to the underside of the shell."""
    low = tradition.levels.plate + 1
    under = roof.under[::2, ::2]
    middles = {
        (w.axis, (w.rect.y0 + w.rect.y1 - 1) // 2 if w.axis == "x" else (w.rect.x0 + w.rect.x1 - 1) // 2)
        for w in site.wings
    }
    posts = {(x, y) for x, y in _line_ends(rooms)}
    for s in rooms.segments:
        if s.level != 2 or s.boundary == "open":
            continue
        role = "partition" if s.boundary == "partition" else "gable"
        for x, y in s.cells.cells():
            high = int(under[x, y]) // 2
            if high > low:
                king = role == "gable" and ("x", y) in middles and s.axis == "y"
                king |= role == "gable" and ("y", x) in middles and s.axis == "x"
                form = "full" if king else f"infill {s.axis}"
                yield Part("roof", "post" if king else role, form, Box(x, y, low, x + 1, y + 1, high))
    for x, y in posts:
        high = int(under[x, y]) // 2
        if high > low:
            yield Part("roof", "post", "full", Box(x, y, low, x + 1, y + 1, high))


def _line_ends(rooms: Rooms) -> Iterator[tuple[int, int]]:
    """Post places between the segments of a wall line that rises to the roof."""
    seen: set[tuple[int, int]] = set()
    for s in rooms.segments:
        if s.level == 2 and s.boundary != "open":
            c = s.cells
            ends = [(c.x0 - 1, c.y0), (c.x1, c.y0)] if s.axis == "x" else [(c.x0, c.y0 - 1), (c.x0, c.y1)]
            for end in ends:
                if end not in seen:
                    seen.add(end)
                    yield end


def _flue(roof: Roof, rooms: Rooms, tradition: Tradition) -> Iterator[Part]:
    x, y = rooms.hearth.cell
    start = tradition.levels.floor + 1
    yield Part("roof", "flue", "chimney", Box(x, y, start, x + 1, y + 1, roof.chimney))
    yield Part("roof", "flue", "chimney cap", Box.cell(x, y, roof.chimney))


def _porch(entrance: Entrance, tradition: Tradition) -> Iterator[Part]:
    z = tradition.levels
    if entrance.room == 0:
        yield from _gate_roof(entrance, z.ground + 4)
        return
    dx, dy = STEP[entrance.side]
    way = entrance.way
    if dy == 0:
        x = way.x0 + dx
        near = Rect(x, way.y0 - 1, x + 1, way.y1 + 1)
        far = Rect(x + dx, near.y0, x + dx + 1, near.y1)
        feet = [(x + dx, near.y0), (x + dx, near.y1 - 1)]
    else:
        y = way.y0 + dy
        near = Rect(way.x0 - 1, y, way.x1 + 1, y + 1)
        far = Rect(near.x0, y + dy, near.x1, y + dy + 1)
        feet = [(near.x0, y + dy), (near.x1 - 1, y + dy)]
    yield Part("roof", "porch-tile", f"step {opposite(entrance.side)}", near.up(z.lower_tie, z.lower_tie + 1))
    yield Part("roof", "porch-tile", "lower slab", far.up(z.lower_tie, z.lower_tie + 1))
    for x, y in feet:
        yield Part("roof", "porch-post", "post", Box(x, y, z.ground, x + 1, y + 1, z.lower_tie))


def _gate_roof(entrance: Entrance, z: int) -> Iterator[Part]:
    """A small gable over a gate in the garden wall."""
    way = entrance.way
    line = Rect(way.x0 - 1, way.y0, way.x1 + 1, way.y1)
    yield Part("roof", "porch-tile", "full", line.up(z, z + 1))
    for y in (line.y0 - 1, line.y1):
        yield Part("roof", "porch-tile", "lower slab", Rect(line.x0, y, line.x1, y + 1).up(z, z + 1))
    yield Part("roof", "ridge", "saddle x", line.up(z + 1, z + 2))
