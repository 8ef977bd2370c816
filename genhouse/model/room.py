"""Rooms, the wall segments between them, and the ways through."""

from __future__ import annotations

from functools import lru_cache
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from genhouse.core.axes import Axis, Turn
from genhouse.core.box import Box, Rect

OUTSIDE = 0
"""The room id of all that lies outside every room."""

COURTS = ("court", "service court")
"""Kinds of court: for the house, and for its work."""

WALKS = GALLERY, TERRACE = "gallery", "terrace"
"""Kinds of upper floor under the sky, that rooms of the upper storey open to."""

Boundary = Literal["outer", "court", "partition", "open"]
"""What a wall segment stands between: outdoors, a court, two rooms, or nothing (one room)."""

Opening = Literal["none", "screens", "window", "door", "entrance", "passage"]
"""How a segment is opened: sliding screens to a veranda or room, a window, a hinged door inside,
an entrance from outdoors, a bare passage."""


class Room(Struct, frozen=True, kw_only=True):
    """id: 1 and up.  kind: what it is for.  level: 1 below, 2 above; courts and verandas are on
    1, galleries and terraces on 2.

    rects: its clear floor, without walls.  floor: z of the layer of its lowest free cell.
    ceiling: z of the first layer above it; where ``to_roof``, the volume ends under the roof before.
    sunken: part of the floor that lies one layer lower (an entry's earth floor).
    """

    id: int
    kind: str
    level: int
    rects: tuple[Rect, ...]
    floor: int
    ceiling: int
    indoor: bool = True
    walkable: bool = True
    to_roof: bool = False
    sunken: tuple[Rect, ...] = ()

    @property
    def area(self) -> int:
        """Clear floor in cells."""
        return sum(r.area for r in self.rects)

    @property
    def rect(self) -> Rect:
        """The smallest rectangle that holds its floor."""
        whole = self.rects[0]
        for r in self.rects[1:]:
            whole = whole.hull(r)
        return whole

    def has(self, x: int, y: int) -> bool:
        return any(r.has(x, y) for r in self.rects)

    def volume(self) -> tuple[Box, ...]:
        """The boxes that hold its volume."""
        boxes = tuple(r.up(self.floor, self.ceiling) for r in self.rects)
        return boxes + tuple(r.up(self.floor - 1, self.floor) for r in self.sunken)

    def turned(self, turn: Turn) -> Room:
        return replace(
            self,
            rects=tuple(map(turn.rect, self.rects)),
            sunken=tuple(map(turn.rect, self.sunken)),
        )


class Segment(Struct, frozen=True, kw_only=True):
    """One bay's length of a wall line, clear between two posts.

    cells: its rectangle on the ground, one cell thick.  axis: the way it runs.
    low, high: room ids on the side of smaller and larger coordinate.
    way: the rectangle of its cells that is kept clear for walking, where it has an opening.
    rises: whether it is closed up to the roof.  abuts: whether the roof of a lower wing leans on it.
    """

    level: int
    axis: Axis
    cells: Rect
    boundary: Boundary
    low: int
    high: int
    opening: Opening = "none"
    way: Rect | None = None
    rises: bool = False
    abuts: bool = False

    @property
    def length(self) -> int:
        return max(self.cells.width, self.cells.depth)

    @property
    def ends(self) -> tuple[tuple[int, int], tuple[int, int]]:
        """The cells of the posts that it stands between."""
        c = self.cells
        if self.axis == "x":
            return (c.x0 - 1, c.y0), (c.x1, c.y0)
        return (c.x0, c.y0 - 1), (c.x0, c.y1)

    def beside(self, cell: tuple[int, int]) -> tuple[tuple[int, int], tuple[int, int]]:
        """The cells before and behind one of its cells."""
        x, y = cell
        dx, dy = (0, 1) if self.axis == "x" else (1, 0)
        return (x - dx, y - dy), (x + dx, y + dy)

    @property
    def passable(self) -> bool:
        """Whether a person can go through."""
        return self.boundary == "open" or self.opening in ("screens", "door", "entrance", "passage")

    def turned(self, turn: Turn) -> Segment:
        low, high = self.low, self.high
        if _reversed(turn, self.axis):
            low, high = high, low
        return Segment(
            level=self.level,
            axis=turn.axis(self.axis),
            cells=turn.rect(self.cells),
            boundary=self.boundary,
            low=low,
            high=high,
            opening=self.opening,
            way=turn.rect(self.way) if self.way else None,
            rises=self.rises,
            abuts=self.abuts,
        )


@lru_cache(maxsize=16)
def _reversed(turn: Turn, axis: Axis) -> bool:
    """Whether a turn reverses the way across a wall that runs along an axis."""
    near, far = Rect(0, 0, 1, 1), Rect(1, 0, 2, 1) if axis == "y" else Rect(0, 1, 1, 2)
    a, b = turn.rect(near), turn.rect(far)
    return b.x0 + b.y0 < a.x0 + a.y0


class Stair(Struct, frozen=True, kw_only=True):
    """A straight flight: cells of its run (the first is the lowest step) across its width.

    well: the rectangle of upper floor left out.  rise: the way it climbs.
    """

    run: tuple[Rect, ...]
    well: Rect
    rise: str
    open_side: str
    room: int

    def turned(self, turn: Turn) -> Stair:
        return replace(
            self,
            run=tuple(map(turn.rect, self.run)),
            well=turn.rect(self.well),
            rise=turn.side(self.rise),  # type: ignore[arg-type]
            open_side=turn.side(self.open_side),  # type: ignore[arg-type]
        )
