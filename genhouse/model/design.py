"""A designed house: rooms, segments and parts, in the plot's own frame."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from genhouse.core.axes import Side, Turn
from genhouse.core.box import Rect
from genhouse.core.region import Corner, Region, bounded, rectangle
from genhouse.model.brief import Recipe
from genhouse.model.elements import Placed, Wall
from genhouse.model.laid import Laid
from genhouse.model.palette import Palette
from genhouse.model.part import Part, all_turned
from genhouse.model.roof import Cover
from genhouse.model.room import Room, Stair
from genhouse.model.yard import Yard


@dataclass(frozen=True, kw_only=True)
class Design:
    """wings, courts: on the ground, walls included for wings, clear for courts.
    eaves: z of the lowest layer of roof over the highest wings.
    gate: x, y and floor in quarters.  covers: the roof of each wing.
    laid: its parts in the frame it was thought out in, in building order.  turn: from that to its own.
    fewest_lamps: (room, lamps that no placing can go below), for what the lamps stage lights.
    lit: (room, millilux that its lamps bring to its floor on the mean), for the same.
    cautions: (fitting, what a builder must heed), for the fittings that it has.
    gardens: the kind of each court's garden.  swept: whether the corners of the eaves are lifted.
    dormers: how many.  arrangement: how the wings are arranged, by name.  outline: corners of the plot,
    counter-clockwise; none where it is a rectangle.  yards: the open ground that no court has.
    """

    recipe: Recipe
    palette: Palette
    gate_side: Side
    gate: tuple[int, int, int]
    wings: tuple[Rect, ...]
    courts: tuple[Rect, ...]
    rooms: tuple[Room, ...]
    segments: tuple[Wall, ...]
    stairs: tuple[Stair, ...]
    placed: tuple[Placed, ...]
    laid: Laid
    turn: Turn
    eaves: int
    covers: tuple[Cover, ...] = ()
    fewest_lamps: tuple[tuple[int, int], ...] = ()
    lit: tuple[tuple[int, int], ...] = ()
    cautions: tuple[tuple[str, str], ...] = ()
    gardens: tuple[str, ...] = ()
    swept: bool = False
    dormers: int = 0
    arrangement: str = "ring"
    outline: tuple[Corner, ...] = ()
    yards: tuple[Yard, ...] = ()

    @property
    def plot(self) -> tuple[int, int]:
        """Width and depth."""
        return self.turn.size

    @property
    def land(self) -> Region:
        """The ground of the plot."""
        return bounded(self.outline) if self.outline else rectangle(self.plot)

    @property
    def height(self) -> int:
        """Layers, from the lowest of the ground to above the ridge."""
        return self.laid.size[2]

    @cached_property
    def parts(self) -> tuple[Part, ...]:
        """All its parts in its own frame and in building order."""
        return all_turned(self.laid.parts, self.turn)

    def room(self, number: int) -> Room:
        """The room of this id; KeyError where there is none."""
        for room in self.rooms:
            if room.id == number:
                return room
        raise KeyError(number)

    @property
    def lower_covers(self) -> tuple[Cover, ...]:
        """The roofs of wings lower than the highest."""
        most = max(cover.storeys for cover in self.covers)
        return tuple(cover for cover in self.covers if cover.storeys < most)
