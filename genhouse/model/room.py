"""Rooms, and the stair between their storeys."""

from __future__ import annotations

from msgspec import Struct
from msgspec.structs import replace

from genhouse.core.axes import Turn
from genhouse.core.box import Box, Rect

OUTSIDE = 0
"""The room id of all that lies outside every room."""

COURTS = ("court", "service court")
"""Kinds of court: for the house, and for its work."""

OUTER = "outer veranda"
"""The kind of walk that looks on a yard."""

WALKS = GALLERY, TERRACE = "gallery", "terrace"
"""Kinds of upper floor under the sky, that rooms of the upper storey open to."""


class Room(Struct, frozen=True, kw_only=True):
    """id: 1 and up.  kind: what it is for.  level: 1 below, 2 above; courts and verandas are on
    1, galleries and terraces on 2.

    rects: its clear floor, without walls.  floor: z of the layer of its lowest free cell.
    ceiling: z of the first layer above it; where ``to_roof``, the volume ends under the roof before.
    sunken: part of the floor that lies one layer lower (an entry's earth floor).
    open: it stands open to a court, without leaves.
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
    open: bool = False

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
