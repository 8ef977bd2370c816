"""Entrances: the front door or the gate in the garden wall, and a second door at the back."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
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
from genhouse.stages.site import Site
from genhouse.stages.ways.stretches import ById, free, indoor, stretch
from genhouse.traditions.tradition import Tradition


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
    site: Site,
    segments: list[Wall],
    by_id: ById,
    blocked: frozenset[tuple[int, int]],
    tradition: Tradition,
    draw: Draw,
) -> tuple[list[Wall], list[Entrance]]:
    """The front door or garden gate, and a second entrance at the back of the house."""
    done = list(segments)
    entrances = [_front(site, done, by_id, tradition, draw)]
    for i in _service_walls(site, done, by_id, tradition, draw):
        cells = free(done[i], blocked)
        if cells:
            way = stretch([cells[len(cells) // 2]])
            room = indoor(done[i], by_id)
            done[i] = replace(done[i], opening="entrance", way=way)
            side = done[i].outward
            entrances.append(Entrance(kind="service", way=way, side=side, room=room.id))
            return done, entrances
    raise InfeasibleError("entrances: no outer wall is free for a second door", stage="rooms")


def _front(
    site: Site, segments: list[Wall], by_id: ById, tradition: Tradition, draw: Draw
) -> Entrance:
    """The door of the entry, or a gate in the garden wall."""
    kind = tradition.the("arrival")
    entry = next((r for r in by_id.values() if r.kind == kind), None)
    if entry is None:
        wall = next(
            w for w in site.walls if w.adjoins(site.courts[0]) and w.y1 == site.courts[0].y0
        )
        middle = (wall.x0 + wall.x1) // 2
        return Entrance(
            kind="front", way=Rect(middle - 1, wall.y0, middle + 1, wall.y1), side="south", room=0
        )
    for i, s in enumerate(segments):
        if s.boundary == "outer" and s.high == entry.id and s.axis == "x":
            # At one end of its bay: the screens to the court stand in the middle, out of its line.
            x = draw.choice((s.cells.x0, s.cells.x1 - 1), "front door")
            way = Rect(x, s.cells.y0, x + 1, s.cells.y1)
            segments[i] = replace(s, opening="entrance", way=way, floor=s.z0)
            return Entrance(kind="front", way=way, side="south", room=entry.id)
    raise InfeasibleError(f"entrances: the {kind} has no outer wall", stage="rooms")


def _service_walls(
    site: Site, segments: Sequence[Wall], by_id: ById, tradition: Tradition, draw: Draw
) -> Iterator[int]:
    """Outer segments away from the gate, those of the room with the hearth first, then of other rooms for
    work and the stair's."""
    kinds = dict(tradition.kinds)
    lit = Counter(indoor(s, by_id).id for s in segments if s.boundary in ("outer", "court"))

    def ranked(room: Room) -> int:
        """A room with one wall to the light keeps it for a window; rooms by a service court come first."""
        aside = site.service is not None and not along(site.service, room.rect)
        kind = kinds[room.kind]
        rank = (
            kind.hearth == room.kind,
            kind.work and not kind.private,
            kind.climbs,
            kind.work,
            True,
        )
        return rank.index(True) + (3 if lit[room.id] == 1 else 0) + (9 if aside else 0)

    walls = [
        (ranked(indoor(s, by_id)), draw.below(1000, f"service/{i}"), i)
        for i, s in enumerate(segments)
        if s.boundary == "outer" and s.opening == "none" and s.outward != "south"
    ]
    return (i for _, _, i in sorted(walls))
