"""Setting-out: the lengths and heights that a builder counts on the ground, in cells."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import pairwise

from msgspec import Struct

from genhouse.core.axes import ALONG, FLANKS, SIDES, STEP, Axis, Side
from genhouse.core.box import Rect
from genhouse.model.design import Design
from genhouse.model.elements import Wall
from genhouse.model.part import Part
from genhouse.model.room import TERRACE, Room
from genhouse.outputs.storeys import Storey, storeys
from genhouse.traditions.loader import load_tradition
from genhouse.traditions.words import Words

Span = tuple[int, int]
"""First cell, and the first cell after it."""


def words_of(design: Design) -> Words:
    """What the tradition of a house says."""
    return load_tradition(design.recipe.brief.tradition).words


def room_name(design: Design, room: Room) -> str:
    """What a drawing calls a room."""
    kinds = dict(load_tradition(design.recipe.brief.tradition).kinds)
    named = kinds[room.kind].title if room.kind in kinds else ""
    name = named or room.kind
    return f"{name[:1].upper()}{name[1:]}"


def house_rect(design: Design) -> Rect:
    """The rectangle inside the outer faces of the walls."""
    whole = design.courts[0].grown(1)
    for rect in (*design.wings, *(court.grown(1) for court in design.courts)):
        whole = whole.hull(rect)
    return whole


def clear_size(room: Room) -> str:
    """Width and depth in cells; of strips round a court, along how many of its sides."""
    r, strips = room.rect, len(room.rects)
    if strips == 1:
        return f"{r.width} × {r.depth}"
    if room.kind == TERRACE:
        return "over a lower wing"
    return "round the court" if strips == len(SIDES) else f"along {strips} sides"


class Chain(Struct, frozen=True):
    """One row of dimensions: the clear spans between solid cells, from ``start`` to ``end``."""

    start: int
    end: int
    clear: tuple[Span, ...]

    @property
    def lengths(self) -> tuple[int, ...]:
        return tuple(b - a for a, b in self.clear)

    @property
    def solid(self) -> int:
        """Cells of posts or walls between the clear spans and at the ends."""
        return self.end - self.start - sum(self.lengths)


def _chain(start: int, end: int, solid: Iterable[int]) -> Chain:
    edges = sorted({n for n in solid if start <= n < end})
    starts = [start, *(n + 1 for n in edges)]
    ends = [*edges, end]
    clear = tuple((a, b) for a, b in zip(starts, ends, strict=True) if b > a)
    return Chain(start, end, clear)


def side_axis(side: Side) -> Axis:
    """The axis that a side of the house runs along."""
    return "x" if side in FLANKS["x"] else "y"


def _ends(rect: Rect, side: Side) -> Span:
    r = rect.lie(side_axis(side))
    return r.x0, r.x1


def posts_of(design: Design) -> Iterator[Part]:
    """What stands on the ground or a floor and bears, as thick as a wall."""
    stands = design.palette.having("stands")
    return (p for p in design.parts if p.role in stands and p.form == "whole")


def posts(design: Design, storey: Storey) -> tuple[Part, ...]:
    """The posts that stand on a storey's floor; above the lowest those of walls alone."""
    return tuple(
        p
        for p in posts_of(design)
        if p.box.z0 <= storey.floor_at(p) < p.box.z1 and (storey.lowest or p.stage == "frame")
    )


def _profile(design: Design, side: Side, storey: Storey) -> dict[int, int]:
    """How far out the house stands on a side: the outermost row of cells by place along it."""
    axis = side_axis(side)
    ground = [*design.wings, *(court.grown(1) for court in design.courts)]
    if not storey.lowest:
        ground = [r.grown(1) for room in storey.rooms if room.indoor for r in room.rects]
    low = side == FLANKS[axis][0]
    outermost: dict[int, int] = {}
    for r in (rect.lie(axis) for rect in ground):
        row = r.y0 if low else r.y1 - 1
        for n in range(r.x0, r.x1):
            outermost[n] = (min if low else max)(outermost.get(n, row), row)
    return outermost


def gaps(design: Design, side: Side, storey: Storey) -> Chain:
    """The clear gaps between the posts of the outer walls that one sees from a side, from west to east
    or south to north; below, those of a garden wall count as well."""
    axis, profile = side_axis(side), _profile(design, side, storey)
    cells = (c for p in posts(design, storey) for c in p.box.rect.lie(axis).cells())
    places = [along for along, row in cells if profile.get(along) == row]
    return _chain(min(profile), max(profile) + 1, places)


def walls(design: Design, side: Side) -> Chain:
    """The clear distances between the walls round the house, round its wings and round its courts."""
    start, end = _ends(house_rect(design), side)
    lines = {start, end - 1}
    for wall in design.segments:
        if not wall.inner and wall.axis != side_axis(side):
            low, high = _ends(wall.cells, side)
            lines |= {low, high - 1}
    for court in design.courts:
        low, high = _ends(court, side)
        lines |= {low - 1, high}
    return _chain(start, end, lines)


def overall(design: Design, side: Side) -> tuple[Span, ...]:
    """Plot edge to wall, wall face to wall face, wall to plot edge."""
    start, end = _ends(house_rect(design), side)
    length = design.plot[ALONG[side_axis(side)]]
    return tuple(s for s in ((0, start), (start, end), (end, length)) if s[1] > s[0])


def corners(design: Design, side: Side) -> tuple[Span, ...]:
    """From corner to corner of the plot's outline, along what of it faces a side; none of a rectangle."""
    n, outline = ALONG[side_axis(side)], design.outline
    way = STEP[SIDES[(SIDES.index(side) + 1) % len(SIDES)]]  # counter-clockwise
    ends = {
        corner[n]
        for a, b in zip(outline, (*outline[1:], *outline[:1]), strict=True)
        if (b[n] - a[n]) * way[n] > 0
        for corner in (a, b)
    }
    return tuple(pairwise(sorted(ends)))


class Heights(Struct, frozen=True, kw_only=True):
    """z of the layers that matter, counted from the bottom of the plot.

    ground: first layer above the ground.  ties: tie beams, from below.  ridge: highest roof layer.
    """

    ground: int
    floor: int
    ties: tuple[int, ...]
    upper_floor: int
    plate: int
    eaves: int
    ridge: int

    def above(self, z: int) -> int:
        """Which layer above the ground this is, from 1."""
        return z - self.ground + 1


def heights(design: Design) -> Heights:
    """Read from its walls, rooms and roof."""
    cover, walls = design.palette.having("covers"), design.segments
    return Heights(
        ground=min(wall.z0 for wall in walls),
        floor=storeys(design)[0].floor,
        ties=tuple(sorted({z for wall in walls for z in _ties(wall)})),
        upper_floor=storeys(design)[-1].floor,
        plate=max(wall.z1 for wall in walls) - 1,
        eaves=design.eaves,
        ridge=max(p.box.z1 - 1 for p in design.parts if p.role in cover),
    )


def _ties(wall: Wall) -> Iterator[int]:
    """Layers in which something crosses a wall over which there is more than the roof."""
    if not wall.lofty:
        yield from (wall.lintel,) if wall.boundary != "open" else ()
        yield from (wall.z1 - 1,) if not wall.rises else ()
