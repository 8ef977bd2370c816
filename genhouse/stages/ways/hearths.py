"""The hearth: by the ridge, at an end of its room, so that the chimney leaves the roof near its top."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from genhouse.core.axes import ENDS, STEP, Axis, Side, opposite
from genhouse.core.box import Rect
from genhouse.core.draw import Draw
from genhouse.core.errors import InfeasibleError
from genhouse.model.elements import Wall
from genhouse.model.room import Room
from genhouse.stages._drains import drains
from genhouse.stages.bays import Bays
from genhouse.stages.site import Site
from genhouse.traditions.tradition import Tradition


@dataclass(frozen=True, slots=True, kw_only=True)
class Hearth:
    """cell: where the hearth stands and its flue runs up.  facing: its open side.

    behind: the room at its back whose fire shares the flue, through a brick in the wall; 0 for none.
    """

    cell: tuple[int, int]
    facing: Side
    room: int
    behind: int = 0

    @property
    def before(self) -> tuple[int, int]:
        """The cell before it, under its hood."""
        (x, y), (dx, dy) = self.cell, STEP[self.facing]
        return (x + dx, y + dy)

    @property
    def back(self) -> tuple[int, int]:
        """The cell of the wall at its back."""
        (x, y), (dx, dy) = self.cell, STEP[self.facing]
        return (x - dx, y - dy)

    @property
    def beyond(self) -> tuple[int, int]:
        """The cell past that wall."""
        (x, y), (dx, dy) = self.cell, STEP[self.facing]
        return (x - 2 * dx, y - 2 * dy)


def plan_hearth(
    site: Site, bays: Bays, rooms: Sequence[Room], tradition: Tradition, draw: Draw
) -> Hearth:
    """In the lowest room of its kind; at a wall to another room, if it can, and best to one whose fire
    shares the flue."""
    kind = tradition.the("hearth")
    room = min((r for r in rooms if r.kind == kind), key=lambda r: (r.level, r.id), default=None)
    if room is None:
        raise InfeasibleError(f"rooms: there is no place for a {kind}", stage="rooms")
    wing = next(w for w in site.wings if w.rect.holds(room.rect))
    deep = any(line.cells.meets(room.rect) for line in bays.middle_lines)
    aside = draw.choice((-1, 1), "side of the ridge") if deep else 0
    found = list(_ends(room, wing.middle + aside, wing.axis))
    beside = [r for r in rooms if r.indoor and r.level == room.level]
    if tradition.heat.under:
        drained = {c for _, rect in drains(site) for c in rect.cells()}
        around = [h for h in _sides(room) if h.cell not in bays.middle]
        found = [h for h in around if drained.isdisjoint((h.cell, h.back, h.beyond))] or found
    inner = [h for h in found if any(r.has(*h.beyond) for r in beside)]
    fires = [r for r in beside if tradition.kind(r.kind).hearth == kind]
    shared = [h for h in inner if any(r.has(*h.beyond) for r in fires)]
    if fires and not shared:
        shared = _along(room, fires, wing.middle, wing.axis, bays)
    return draw.choice(shared or inner or found, "hearth")


def _along(room: Room, fires: Sequence[Room], middle: int, axis: Axis, bays: Bays) -> list[Hearth]:
    """Its places along its other walls at whose back another fire is, those nearest to the ridge."""
    found = [
        h
        for h in _sides(room)
        if h.cell not in bays.middle and any(r.has(*h.beyond) for r in fires)
    ]
    off = [abs(h.cell[axis == "x"] - middle) for h in found]
    return [h for h, far in zip(found, off, strict=True) if far == min(off)]


def _ends(room: Room, middle: int, axis: Axis) -> Iterator[Hearth]:
    """Its places at both ends of a room, as near the ridge as may be: outer walls are kept for windows."""
    a0, b0, a1, b1 = room.rect.lie(axis)
    across = min(max(middle, b0), b1 - 1)
    for end, along in zip(ENDS[axis], (a0, a1 - 1), strict=True):
        x, y, *_ = Rect(along, across, along + 1, across + 1).lie(axis)
        yield Hearth(cell=(x, y), facing=opposite(end), room=room.id)


def _sides(room: Room) -> Iterator[Hearth]:
    """Its places at all walls of a room: where no shaft goes up through the roof, no ridge matters."""
    x0, y0, x1, y1 = room.rect
    for x, y in room.rect.cells():
        ends: dict[Side, bool] = {
            "west": x == x0,
            "east": x == x1 - 1,
            "south": y == y0,
            "north": y == y1 - 1,
        }
        for end in (end for end, there in ends.items() if there):
            yield Hearth(cell=(x, y), facing=opposite(end), room=room.id)


def shared_flue(
    hearth: Hearth, rooms: Sequence[Room], walls: Sequence[Wall], tradition: Tradition
) -> Hearth:
    """The hearth with the room whose fire shares its flue: where the wall between is shut."""
    by_id = {room.id: room for room in rooms}
    here = by_id[hearth.room]
    for room in rooms:
        if _fire_behind(hearth, here, room, tradition):
            shut = any(_shuts(wall, *hearth.back) for wall in walls if wall.level == here.level)
            return replace(hearth, behind=room.id * shut)
    return hearth


def fires(
    hearth: Hearth, rooms: Sequence[Room], tradition: Tradition
) -> tuple[tuple[int, int], ...]:
    """Where fires stand: its own cell, and the one past the wall where another may share its flue."""
    here = next(room for room in rooms if room.id == hearth.room)
    shared = any(_fire_behind(hearth, here, room, tradition) for room in rooms)
    return (hearth.cell, hearth.beyond) if shared else (hearth.cell,)


def _fire_behind(hearth: Hearth, here: Room, room: Room, tradition: Tradition) -> bool:
    fire = room.indoor and tradition.kind(room.kind).hearth == here.kind
    return fire and room.level == here.level and room.has(*hearth.beyond)


def _shuts(wall: Wall, x: int, y: int) -> bool:
    """Whether a wall between rooms stands in a cell, and is not opened there."""
    opened = wall.way is not None and wall.way.has(x, y)
    return wall.boundary == "partition" and wall.cells.has(x, y) and not opened
