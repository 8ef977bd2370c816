"""Setting-out: the lengths and heights that a builder counts on the ground, in cells."""

from __future__ import annotations

from collections.abc import Iterable
from functools import reduce

from msgspec import Struct

from genhouse.core.axes import SIDES, Side
from genhouse.core.box import Rect
from genhouse.model.design import Design
from genhouse.model.part import ROOF_COVER, Part
from genhouse.model.room import TERRACE, Room

Span = tuple[int, int]
"""First cell, and the first cell after it."""

_NAMES = {"stairhall": "Stair Hall"}


def room_name(room: Room) -> str:
    """What a drawing calls a room."""
    return _NAMES.get(room.kind, room.kind.title())


def on_level(design: Design, level: int) -> tuple[Room, ...]:
    """The rooms of a storey; courts and verandas belong to the lower one."""
    return tuple(r for r in design.rooms if r.level == level)


def levels(design: Design) -> tuple[int, ...]:
    """The storeys, from below."""
    return tuple(sorted({r.level for r in design.rooms}))


def floor_of(design: Design, level: int) -> int:
    """z of the layer of the lowest free cell over a storey's floor."""
    return next(r.floor for r in design.rooms if r.level == level and r.indoor)


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


def _ends(rect: Rect, side: Side) -> Span:
    return (rect.x0, rect.x1) if side in ("south", "north") else (rect.y0, rect.y1)


def _edge(rect: Rect, side: Side) -> Rect:
    """The outermost row of cells on a side."""
    return {
        "east": Rect(rect.x1 - 1, rect.y0, rect.x1, rect.y1),
        "north": Rect(rect.x0, rect.y1 - 1, rect.x1, rect.y1),
        "west": Rect(rect.x0, rect.y0, rect.x0 + 1, rect.y1),
        "south": Rect(rect.x0, rect.y0, rect.x1, rect.y0 + 1),
    }[side]


def posts(design: Design, z: int) -> tuple[Part, ...]:
    """The posts that stand in a layer."""
    return tuple(p for p in design.parts if p.role == "post" and p.box.z0 <= z < p.box.z1)


def gaps(design: Design, side: Side, level: int = 1) -> Chain:
    """The clear gaps between the posts of an outer wall, from west to east or south to north.

    Below, a garden wall that runs on from a post to the corner counts as well.  Above, the wall is the
    outermost one there is, where a lower wing stands before it.
    """
    house = house_rect(design)
    here = posts(design, floor_of(design, level))
    framed = [p for p in here if level == 1 or p.stage == "frame"]
    standing = [c for p in framed for c in p.box.rect.cells()]
    line = _edge(house if level == 1 else reduce(Rect.hull, (p.box.rect for p in framed)), side)
    along = 0 if side in ("south", "north") else 1
    places = [c[along] for c in standing if line.has(*c)]
    start, end = _ends(house, side) if level == 1 else (min(places), max(places) + 1)
    return _chain(start, end, places)


def walls(design: Design, side: Side) -> Chain:
    """The clear distances between the walls round the house and round its courts."""
    house = house_rect(design)
    start, end = _ends(house, side)
    lines = {start, end - 1}
    for court in design.courts:
        low, high = _ends(court, side)
        lines |= {low - 1, high}
    return _chain(start, end, lines)


def overall(design: Design, side: Side) -> tuple[Span, ...]:
    """Plot edge to wall, wall face to wall face, wall to plot edge."""
    start, end = _ends(house_rect(design), side)
    length = design.plot[0] if side in ("south", "north") else design.plot[1]
    return tuple(s for s in ((0, start), (start, end), (end, length)) if s[1] > s[0])


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


def _layers(design: Design, stage: str, role: str) -> list[int]:
    return sorted({p.box.z0 for p in design.parts if (p.stage, p.role) == (stage, role)})


def heights(design: Design) -> Heights:
    """Read from the parts."""
    return Heights(
        ground=_layers(design, "frame", "post")[0],
        floor=floor_of(design, 1),
        ties=tuple(_layers(design, "frame", "tie")),
        upper_floor=floor_of(design, levels(design)[-1]),
        plate=_layers(design, "frame", "plate")[-1],
        eaves=design.eaves,
        ridge=max(p.box.z1 - 1 for p in design.parts if p.role in ROOF_COVER),
    )
