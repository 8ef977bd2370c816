"""Entrances: the front door or the gate in the garden wall, and a second door at the back."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import groupby
from operator import itemgetter
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from genhouse.core.axes import Side, Turn
from genhouse.core.box import Rect
from genhouse.core.draw import Draw
from genhouse.core.errors import InfeasibleError
from genhouse.model.elements import Wall
from genhouse.model.room import Room
from genhouse.stages.seats.places import along
from genhouse.stages.site import Site, stands_alone
from genhouse.stages.ways.doors import Storied, lights, thresholds, with_entrance
from genhouse.stages.ways.stretches import indoor

BEND = 2
"""Rows of floor from the front door through the screen wall of a bent way in."""
LESS = 100
"""How much more than all else it counts that a second door looks the wrong way."""


class Entrance(Struct, frozen=True, kw_only=True):
    """A door in an outer or garden wall.  way: its cells.  side: the way it faces, outward.

    room: the room behind it, 0 for a gate that opens into the court.
    """

    kind: Literal["front", "service"]
    way: Rect
    side: Side
    room: int

    def turned(self, turn: Turn) -> Entrance:
        return replace(self, way=turn.rect(self.way), side=turn.side(self.side))


def entrances_in(
    site: Site, walls: Sequence[Wall], at: Storied, draw: Draw
) -> tuple[list[Wall], list[Entrance]]:
    """The front door or garden gate, the doors of wings that stand apart, and a second entrance at the back
    of the house."""
    done = list(walls)
    front = _front(site, done, at, draw)
    back = next(
        (i for i in _service_walls(site, done, at, draw) if thresholds(done[i], at, done)), None
    )
    if back is None:
        raise InfeasibleError("entrances: no outer wall is free for a second door", stage="rooms")
    done[back] = with_entrance(done[back], at, done)
    doors = [s for s in done if s.opening == "entrance" and s.way not in (None, front.way)]
    return done, [front, *(_service(s, at) for s in doors)]


def seen_from_door(at: Storied) -> frozenset[tuple[int, int]]:
    """The floor of a bent way in before its screen wall, and below it: no other door leads there."""
    bent = [r for r in at.rooms.values() if r.indoor and at.kinds[r.kind].bent]
    rows = (Rect(r.rect.x0, r.rect.y0, r.rect.x1, r.rect.y0 + BEND) for r in bent)
    return frozenset(c for row in rows for c in row.cells()) if at.lowest else frozenset()


def screen_wall(front: Entrance, room: Room) -> Rect:
    """The wall that stands across a bent way in, a step behind its door: whoever comes in turns along it,
    and again round its end, so that no straight line leads from the street past it."""
    x0, y0, x1, _ = room.rect
    east = front.way.x0 - x0 < x1 - 1 - front.way.x0
    low, high = (x0, x1 - 1) if east else (x0 + 1, x1)
    return Rect(low, y0 + BEND - 1, high, y0 + BEND)


def _service(wall: Wall, at: Storied) -> Entrance:
    assert wall.way is not None, "a door has its cells"
    room = indoor(wall, at.rooms).id
    return Entrance(kind="service", way=wall.way, side=wall.outward, room=room)


def _front(site: Site, walls: list[Wall], at: Storied, draw: Draw) -> Entrance:
    """The door of the room in which one arrives, or a gate in the garden wall."""
    rooms = [r for r in at.rooms.values() if r.indoor and at.kinds[r.kind].arrival]
    if not rooms:
        court = site.courts[0]
        wall = next((w for w in site.walls if w.adjoins(court) and w.y1 == court.y0), None)
        if wall is None:
            raise InfeasibleError("entrances: the court has no wall for a gate", stage="rooms")
        middle = (wall.x0 + wall.x1) // 2
        way = Rect(middle - 1, wall.y0, middle + 1, wall.y1)
        return Entrance(kind="front", way=way, side="south", room=0)
    for i, s in enumerate(walls):
        if s.boundary == "outer" and s.outward == "south" and indoor(s, at.rooms) == rooms[0]:
            wide = _leaves(s, at, walls) if at.wide else None
            if wide is not None:
                walls[i] = replace(s, opening="entrance", way=wide, floor=s.z0)
                return Entrance(kind="front", way=wide, side="south", room=rooms[0].id)
            # At one end of its bay: the screens to the court stand in the middle, out of its line; or in
            # line with the middle of the court.
            court = site.courts[0]
            axis = ((court.x0 + court.x1 - 1) // 2, (court.x0 + court.x1) // 2)
            line = axis if at.kinds[rooms[0].kind].axial else (s.cells.x0, s.cells.x1 - 1)
            ends = [x for x, _ in thresholds(s, at, walls) if x in line]
            if not ends:
                continue
            ends = [x for x in ends if _has_lane(site, x, s.cells.y0)] or ends
            x = draw.choice(ends, "front door")
            way = Rect(x, s.cells.y0, x + 1, s.cells.y1)
            walls[i] = replace(s, opening="entrance", way=way, floor=s.z0)
            return Entrance(kind="front", way=way, side="south", room=rooms[0].id)
    raise InfeasibleError(
        f"entrances: the {rooms[0].kind} has no outer wall for a door", stage="rooms"
    )


def _has_lane(site: Site, x: int, y: int) -> bool:
    """Whether a gate can stand straight before a door: the edge of the plot goes on beside it."""
    lane = site.before(x, y)
    return site.land.has(x - 1, lane) and site.land.has(x + 1, lane)


def _leaves(wall: Wall, at: Storied, walls: Sequence[Wall]) -> Rect | None:
    """The two cells in the middle of a wall, where a door can stand there."""
    x0, y0, x1, y1 = wall.cells
    first = (x0 + x1 - 1) // 2
    way = Rect(first, y0, first + 2, y1)
    return way if set(thresholds(wall, at, walls)).issuperset(way.cells()) else None


def _service_walls(site: Site, walls: Sequence[Wall], at: Storied, draw: Draw) -> Iterator[int]:
    """Outer walls away from the gate, those of the room with the hearth first, then of other rooms for work
    and the stair's.

    Between neighbours first those of the house to the ground behind it, which one may come to no other way,
    and at last those toward the gate.
    """
    lit = Counter(indoor(s, at.rooms).id for s in walls if lights(s, at))

    def ranked(room: Room) -> int:
        """A room with one wall to the light keeps it for a window; rooms by a service court come first."""
        aside = site.service is not None and not along(site.service, room.rect)
        kind = at.kinds[room.kind]
        useful = kind.work and not kind.private
        rank = (kind.hearth == room.kind, useful, kind.climbs, kind.work, True).index(True)
        return rank + (5 if lit[room.id] == 1 else 0) + (9 if aside else 0)

    def between(wall: Wall) -> int:
        if not site.party:
            return 0
        alone = any(wing.rect.holds(wall.cells) for wing in site.wings if stands_alone(site, wing))
        return (not alone and wall.outward == "north", wall.outward != "south", True).index(True)

    some = sorted(
        (ranked(indoor(s, at.rooms)) + LESS * between(s), i)
        for i, s in enumerate(walls)
        if s.boundary == "outer" and s.opening == "none" and (s.outward != "south" or site.party)
    )
    for _, same in groupby(some, key=itemgetter(0)):
        yield from sorted((i for _, i in same), key=lambda i: draw.below(1000, f"service/{i}"))
