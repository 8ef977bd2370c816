"""Roofing: the planned roof laid in pieces; wall heads and gables below it, and the chimney."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import numpy.typing as npt

from genhouse.core.axes import CROSS, ENDS, FLANKS, STEP, Axis, Side, cell_at, opposite
from genhouse.core.box import Box, Rect
from genhouse.core.forms import CORNERS, FORMS, NUMBER
from genhouse.core.kept import fixed
from genhouse.model.elements import Beam, Course, Edge, Member, Panel, Support, Wall
from genhouse.stages._wings import Wing
from genhouse.stages.roof import Roof
from genhouse.stages.roofs.carving import Pieces, carve
from genhouse.stages.roofs.ends import Style
from genhouse.stages.roofs.laying import laid_in_boxes
from genhouse.stages.roofs.roles import ROLES, outside
from genhouse.stages.roofs.slopes import ABOVE_ALL, NONE, Whole, by_cell, columns
from genhouse.stages.rooms import Rooms
from genhouse.stages.site import Site, edge_of
from genhouse.stages.walls import is_pier
from genhouse.stages.ways.flues import chimneys
from genhouse.traditions.tradition import Tradition

FACE, BARGE = 5, 3
"""Half cells from the foot of a piece to the top of its column, from which it is a wall, not a slope;
and where it is known to be a small gable's."""
CORNER_STEP = {
    corner: tuple(sum(STEP[s][n] for s in STEP if s in corner.split("-")) for n in (0, 1))
    for corner in CORNERS
}
"""The step from a cell to the one past each of its corners."""
SLOT = 3
"""Cells across a garden over which the lips of two spouts all but meet."""
ROLE, FORM = 16, 0xFFFF
"""A kind of piece is the number of its role, so many bits up, and that of its form, in these."""
UPRIGHT = ROLES.index("gablet") << ROLE | NUMBER["whole"]
RIDGED = fixed(
    np.array([NUMBER[form] for form in ("half course", "saddle x", "saddle y")], np.uint32)
)
"""What a level piece becomes on no ridge, on one along x and on one along y."""


def roof_members(site: Site, roof: Roof, rooms: Rooms, tradition: Tradition) -> Iterator[Member]:
    """Timbers, shell, ridges, gables and wall heads up to the underside, and the chimney."""
    yield from roof.timbers
    yield from _shell(roof, rooms.shaft)
    yield from _tier_walls(roof)
    yield from _parapets(site, roof, rooms, tradition)
    yield from _heads(roof, rooms)
    if rooms.flues:
        yield from chimneys(site, rooms.flues, roof.eaves, tradition)
    else:
        yield from _flue(site, roof, rooms, tradition)


def _shell(roof: Roof, flue: tuple[int, int]) -> Iterator[Member]:
    """The shell with its ridges, open where windows and the flue pass it."""
    column, z, kind = _laid(roof)
    _cap_ridges(roof, column, kind)
    x, y = np.divmod(column, roof.role.shape[1])
    kind[(x == flue[0]) & (y == flue[1])] = 0
    for window in (dormer.window for dormer in roof.dormers):
        kind[(x == window[0]) & (y == window[1]) & (z == window[2])] = 0
        yield Panel(use="dormer window", box=Box.cell(*window))
    there = kind.nonzero()[0]
    for n, box in laid_in_boxes(kind[there], (x[there], y[there], z[there])):
        yield Course(use=ROLES[n >> ROLE], box=box, side=FORMS[n & FORM].name)


def _cap_ridges(roof: Roof, column: Whole, kind: Whole) -> None:
    """Saddles for the level pieces on top of a ridge; what lies below is tile like any other."""
    highest = np.ones(len(column), dtype=bool)
    np.not_equal(column[1:], column[:-1], out=highest[:-1])
    level = (highest & (kind & FORM == NUMBER["half course"])).nonzero()[0]
    kind[level] = kind[level] >> ROLE << ROLE | RIDGED.take(roof.ridges.take(column[level]))
    kind[~highest & (kind >> ROLE == ROLES.index("ridge"))] &= FORM


def _laid(roof: Roof) -> tuple[Whole, Whole, Whole]:
    """The pieces of the roof's shell by column, lowest first: column, layer and kind."""
    pieces = carve(*roof.main)
    column, z, form = pieces
    kind = roof.role.take(column).astype(np.uint32) << ROLE | form
    kind[_faces(roof, pieces)] = UPRIGHT
    if roof.tier is None:
        return column, z, kind
    upper = carve(roof.tier.top, roof.tier.under)
    kinds = np.zeros((roof.role.size, roof.height), dtype=np.uint32)
    kinds[column, z] = kind
    above = roof.role.take(upper.column).astype(np.uint32) << ROLE | upper.form
    kinds[upper.column, upper.z] = np.maximum(kinds[upper.column, upper.z], above)
    column, z = kinds.nonzero()
    return column, z, kinds[column, z]


def _faces(roof: Roof, pieces: Pieces) -> npt.NDArray[np.bool_]:
    """The upright faces of the lower roof: whole pieces well below the top, with a side in the open."""
    x, y = roof.role.shape
    tops = columns(roof.main[0]).max(axis=0)
    padded = np.full((x + 2, y + 2), ABOVE_ALL)
    padded[1:-1, 1:-1] = np.where(tops == NONE, ABOVE_ALL, tops).reshape(x, y)
    beside = (padded[:-2, 1:-1], padded[2:, 1:-1], padded[1:-1, :-2], padded[1:-1, 2:])
    column, foot = pieces.column, 2 * pieces.z
    barge = roof.role.take(column) == ROLES.index("barge")
    deep = foot + np.where(barge, BARGE, FACE) <= tops.take(column)
    deep &= barge | (pieces.form == NUMBER["whole"])
    return np.asarray(deep & (np.minimum.reduce(beside).take(column) <= foot))


def _tier_walls(roof: Roof) -> Iterator[Member]:
    """The four walls of a raised tier, from the lower roof's underside to the upper's: glass along the
    sides."""
    tier = roof.tier
    if tier is None:
        return
    h = tier.hole.lie(tier.axis)
    glazed = [Rect(h.x0 + 1, y, h.x1 - 1, y + 1).lie(tier.axis) for y in (h.y0, h.y1 - 1)]
    for x, y in tier.walls:
        side = any(row.has(x, y) for row in glazed)
        for z in range(int(roof.under[2 * x, 2 * y]) // 2, int(tier.under[2 * x, 2 * y]) // 2):
            use = "clerestory" if side and z == tier.glass else "gablet"
            yield Panel(use=use, box=Box.cell(x, y, z), side="whole")


def _parapets(site: Site, roof: Roof, rooms: Rooms, tradition: Tradition) -> Iterator[Member]:
    """Round a flat roof: a wall with its coping outside, a rail toward the court."""
    flat = [(wing, style) for wing, style in roof.styles if style.form == "flat"]
    if not flat:
        return
    outer = outside(site)
    under = by_cell(roof.under)
    room_for = np.where(under == NONE, np.iinfo(np.int16).max, under)
    done: set[tuple[int, int, int]] = set()
    for wing, style in flat:
        z = style.base // 2
        standing = (s for s in rooms.segments if s.rises or s.level > wing.storeys)
        walls = {c for s in standing for c in (*s.ends, *s.cells.cells())}
        spout = () if wing.terrace else _spout(site, wing, outer)
        for x, y in _decked(site, wing, roof, style, done):
            free = int(room_for[x, y])
            taken = (x, y) in walls or free < 2 * (z + 1)
            if taken if wing.terrace else (x, y) in spout or roof.top[2 * x, 2 * y] != style.base:
                continue
            if outer[x, y] or (not tradition.roof.gentle and _over_lower(site, roof, x, y)):
                yield Edge(use="parapet", box=Box.cell(x, y, z))
                if not wing.terrace or free >= 2 * (z + 2):
                    cap = Box.cell(x, y, z + 1)
                    yield Edge(use="parapet cap", box=cap, side=_runs_along(site, x, y))
            elif not wing.terrace:
                yield from _rails(site, roof, (x, y, z), level=not tradition.roof.gentle)


def _spout(site: Site, wing: Wing, outer: npt.NDArray[np.bool_]) -> tuple[tuple[int, int], ...]:
    """Two cells midway along an outer flank that are left without a parapet, where no court takes the
    water of a flat roof; never to a neighbour."""
    if any(wing.rect.adjoins(court) for court in site.courts):
        return ()
    r = wing.lie
    middle = (r.x0 + r.x1) // 2
    for y in (r.y0, r.y1 - 1):
        cells = tuple(Rect(middle - 1, y, middle + 1, y + 1).lie(wing.axis).cells())
        if all(outer[c] for c in cells) and not any(
            edge_of(site, side).has(*c) for side in site.party for c in cells
        ):
            return cells
    return ()


def _runs_along(site: Site, x: int, y: int) -> Axis:
    """The way an outer wall runs at a cell: a corner goes with the wall along y."""
    built = [any(w.rect.has(x + d, y) for w in site.wings) for d in (-1, 1)]
    return "x" if all(built) else "y"


def _over_lower(site: Site, roof: Roof, x: int, y: int) -> bool:
    """Whether a flat roof ends here over a lower wing."""
    here = roof.top[2 * x, 2 * y]
    beside = ((x + dx, y + dy) for dx, dy in STEP.values())
    return any(
        roof.top[2 * i, 2 * j] < here and any(wing.rect.has(i, j) for wing in site.wings)
        for i, j in beside
    )


def _decked(
    site: Site, wing: Wing, roof: Roof, style: Style, done: set[tuple[int, int, int]]
) -> Iterator[tuple[int, int]]:
    """The cells of a flat roof, those of its eaves that are level with it too; none twice."""
    for cell in (*wing.rect.cells(), *_level_eaves(site, wing, roof, style)):
        if (*cell, style.base) not in done:
            done.add((*cell, style.base))
            yield cell


def _level_eaves(site: Site, wing: Wing, roof: Roof, style: Style) -> Iterator[tuple[int, int]]:
    """The cells of a flat roof that lie past its wing, level with it: over the verandas before it, and over
    the walls of lower wings at its ends."""
    before = {c for court in site.courts for s in site.verandas(court) for c in s.cells()}
    before |= {c for w in site.wings if wing.over(w) for c in w.rect.cells()}
    along, across = wing.lie, max(d for c in site.courts for d in (0, *site.depths(c).values()))
    reach = Rect(along.x0 - 1, along.y0 - across, along.x1 + 1, along.y1 + across).lie(wing.axis)
    for x, y in sorted(before):
        if reach.has(x, y) and roof.top[2 * x, 2 * y] == style.base:
            yield x, y


def _rails(site: Site, roof: Roof, cell: tuple[int, int, int], *, level: bool) -> Iterator[Member]:
    """A rail on each side of a cell that looks into a court, over the eaves of a higher roof too; round its
    corners as well, over level eaves, where a spout goes through the middle of each."""
    x, y, z = cell
    here = int(roof.top[2 * x, 2 * y])

    def ends(i: int, j: int) -> bool:
        return any(c.has(i, j) for c in site.courts) and roof.top[2 * i, 2 * j] != here

    sides = [side for side, (dx, dy) in STEP.items() if ends(x + dx, y + dy)]
    if level and len(sides) > 1:
        yield Edge(use="parapet", box=Box.cell(*cell))
        return
    for side in sides:
        spout = level and _midway(site, cell, side)
        axis = next(axis for axis, ends in ENDS.items() if side in ends)
        yield Edge(
            use="spout" if spout else "roof rail", box=Box.cell(*cell), side=axis if spout else side
        )
        dx, dy = STEP[side]
        if spout and _across(site, x + dx, y + dy, axis) > SLOT:
            yield Beam(use="spout lip", box=Box.cell(x + dx, y + dy, z), side=axis)
    if level and not sides:
        for corner, (dx, dy) in CORNER_STEP.items():
            if ends(x + dx, y + dy):
                yield Edge(use="roof rail", box=Box.cell(*cell), side=f"corner {corner}")


def _across(site: Site, x: int, y: int, axis: Axis) -> int:
    """Cells of the garden at a cell, the way an axis runs."""
    gardens = map(site.garden, site.courts)
    return max((g.lie(axis).width for g in gardens if g.has(x, y)), default=0)


def _midway(site: Site, cell: tuple[int, int, int], side: Side) -> bool:
    """Whether a cell looks at the middle of a side of a garden."""
    axis = next(axis for axis, flanks in FLANKS.items() if side in flanks)
    (x, y, _), (dx, dy) = cell, STEP[side]
    gardens = [g for c in site.courts if (g := site.garden(c)).has(x + dx, y + dy)]
    along = x if axis == "x" else y
    return any(along == (g.lie(axis).x0 + g.lie(axis).x1 - 1) // 2 for g in gardens)


def _heads(roof: Roof, rooms: Rooms) -> Iterator[Member]:
    """Walls below a roof, closed from their heads to the underside of the shell."""
    heights = roof.under[::2, ::2] // 2
    under = heights.tolist()
    ridges = {axis: {c.lie.midway for c in roof.covers if c.axis == axis} for axis in CROSS}
    met: dict[tuple[int, int], list[Wall]] = {}
    for s in rooms.rising:
        for end in s.ends:
            met.setdefault(end, []).append(s)
        line = [under[x][y] for x, y in s.cells.cells()]
        if max(line) > s.z1:
            yield from _head(s, line, ridges[CROSS[s.axis]])
    for (x, y), some in met.items():
        if under[x][y] > (low := max(s.z1 for s in some)):
            use = "gable pier" if is_pier({s.boundary for s in some}) else "gable post"
            yield Support(use=use, box=Box(x, y, low, x + 1, y + 1, under[x][y]))


def _head(s: Wall, heights: list[int], ridges: set[int]) -> Iterator[Member]:
    """A wall from its head up to the heights along it; posts in it carry the ridges that cross it.

    Between rooms that are open to the roof it carries none.
    """
    inner = s.inner and s.lofty
    for (x, y), high in zip(s.cells.cells(), heights, strict=True):
        box = Box(x, y, s.z1, x + 1, y + 1, high)
        if high > s.z1 and cell_at(s.axis, x, y)[0] in ridges and not inner:
            yield Support(use="gable pier" if is_pier({s.boundary}) else "gable post", box=box)
        elif high > s.z1:
            use = "party gable" if s.boundary == "party" else "inner gable" if inner else "gable"
            yield Panel(use=use, box=box, side=s.axis)


def _flue(site: Site, roof: Roof, rooms: Rooms, tradition: Tradition) -> Iterator[Member]:
    """The flue; through a terrace it is built solid, so that no rain comes in beside it."""
    x, y = rooms.hearth.cell
    start = tradition.storeys[0].floor + 1 - site.fall(x, y)
    open_air = any(wing.terrace and wing.rect.has(x, y) for wing in site.wings)
    slim = tradition.storeys[0].head if open_air else roof.chimney
    shaft = Rect(x, y, x + 1, y + 1)
    yield Support(use="flue", box=shaft.up(start, slim))
    if open_air:
        yield Support(use="solid flue", box=shaft.up(slim, roof.chimney))
    yield Support(use="flue cap", box=shaft.up(roof.chimney, roof.chimney + 1))
    hood = Box.cell(*rooms.hearth.before, start + 1)
    yield Beam(use="hood", box=hood, side=opposite(rooms.hearth.facing))
