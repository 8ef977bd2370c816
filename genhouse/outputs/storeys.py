"""The storeys of a house, as plans, lists and the guide tell them: read from its rooms alone."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from functools import cached_property

from msgspec import Struct

from genhouse.model.design import Design
from genhouse.model.part import Part
from genhouse.model.room import Room, Stair


class Storey(Struct, dict=True, frozen=True, kw_only=True):
    """Rooms of one level, courts and verandas with the lowest.

    count: how many storeys there are.  floor: z of the lowest free layer over most of its floor.
    under_roof: whether most of it lies right under the roof, and its outer walls are low.
    above: the next storey.
    """

    level: int
    count: int
    lowest: bool
    rooms: tuple[Room, ...]
    floor: int
    under_roof: bool
    above: Storey | None

    @property
    def name(self) -> str:
        """What a drawing calls it."""
        if self.lowest or self.above is None:
            return "Lower storey" if self.lowest else "Upper storey"
        return "Middle storey" if self.count == 3 else f"Storey {self.level}"

    @cached_property
    def _unlike(self) -> dict[tuple[int, ...], tuple[int, bool]]:
        """Floor, and whether right under the roof, wherever that is not as over most of the storey."""
        return {
            cell: (room.floor, room.to_roof)
            for room in self.rooms
            if room.indoor and (room.floor, room.to_roof) != (self.floor, self.under_roof)
            for rect in room.rects
            for cell in rect.grown(1).cells()
        }

    @cached_property
    def _built(self) -> frozenset[tuple[int, int]]:
        """The ground under its rooms and the walls round them, and above the lowest its walks."""
        mine = (room for room in self.rooms if room.indoor or not self.lowest)
        rects = (rect.grown(1) for room in mine for rect in room.rects)
        return frozenset(cell for rect in rects for cell in rect.cells())

    def about(self, part: Part) -> bool:
        """Whether a part stands in or over its rooms and walls, not beside them on or in a lower roof."""
        return not self._built.isdisjoint(part.box.rect.cells())

    def floor_at(self, part: Part) -> int:
        """z of the lowest free layer where a part stands."""
        return self._there(part)[0]

    def under_roof_at(self, part: Part) -> bool:
        """Whether the roof is right over where a part stands."""
        return self._there(part)[1]

    def _there(self, part: Part) -> tuple[int, bool]:
        return self._unlike.get(part.box[:2], (self.floor, self.under_roof))

    def cuts(self, part: Part) -> bool:
        """Whether a part stands in the layer in which a plan is cut: through the windows, a layer above
        the floor; right under the roof through the low outer walls."""
        floor, under_roof = self._there(part)
        return part.box.z0 <= floor + (not under_roof) < part.box.z1

    def pierces(self, part: Part) -> bool:
        """Whether a part stands in the room a layer above the floor."""
        return part.box.z0 <= self.floor_at(part) + 1 < part.box.z1

    def carries(self, part: Part) -> bool:
        """Whether a part stands on its floor."""
        return part.box.z0 == self.floor_at(part)

    def has(self, part: Part) -> bool:
        """Whether a part begins in its floor or above, and below the floor of the next."""
        z = part.box.z0 + 1
        begins = self.lowest or self.floor_at(part) <= z
        return begins and (self.above is None or z < self.above.floor_at(part))


def storeys(design: Design) -> tuple[Storey, ...]:
    """The storeys, from below."""
    levels = sorted({room.level for room in design.rooms})
    found: list[Storey] = []
    for level in reversed(levels):
        rooms = tuple(room for room in design.rooms if room.level == level)
        floor, under_roof = _commonest([room for room in rooms if room.indoor] or rooms)
        found.append(
            Storey(
                level=level,
                count=len(levels),
                lowest=level == levels[0],
                rooms=rooms,
                floor=floor,
                under_roof=under_roof,
                above=found[-1] if found else None,
            )
        )
    return tuple(reversed(found))


def _commonest(rooms: Sequence[Room]) -> tuple[int, bool]:
    """Floor, and whether right under the roof, over most of some rooms."""
    areas: Counter[tuple[int, bool]] = Counter()
    for room in rooms:
        areas[room.floor, room.to_roof] += room.area
    return areas.most_common(1)[0][0]


def flights(design: Design, storey: Storey) -> Iterator[tuple[Stair, int]]:
    """The flights that begin or end on a storey, each with the level from which it climbs."""
    for flight in design.stairs:
        low = design.room(flight.room).level
        if storey.level in (low, low + 1):
            yield flight, low
