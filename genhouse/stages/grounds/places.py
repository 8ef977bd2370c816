"""What each yard is for: chosen by where it lies, and by the rooms before whose walls it does."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import partial
from typing import Literal

from msgspec import Struct

from genhouse.core.axes import SIDES, Side
from genhouse.core.box import Rect, covered
from genhouse.core.draw import Draw
from genhouse.model.room import OUTER
from genhouse.stages.gardens.lot import Cell
from genhouse.stages.grounds.ground import CLOSE, PORCH, Close
from genhouse.stages.rooms import Rooms
from genhouse.stages.site import Site, line_along
from genhouse.traditions.plan import REST
from genhouse.traditions.tradition import Tradition

Where = Literal["before", "aside", "behind"]
AGAIN = 40
"""How much less a use is liked that another yard has."""
SIGHTS = {"garden": 8, "orchard": 4, "kitchen garden": 3, "green": 1}
"""What one likes to look at from a veranda, for each cell of it."""
LOT = 7
"""So much of liking is left to the seed."""


class Ground(Struct, frozen=True, kw_only=True):
    """A yard yet to be put to use.

    rects: its ground, the widest part first.  where: how it lies to the house, seen from the lane.
    bound: the sides of its widest part along all of which the boundary stands.  near: cells of wall that
    rooms have before it, by the room's id.  looked_on: cells of outer verandas along it.  kept: cells of
    it where nothing may stand.  ways: those of its widest part where one comes in.
    """

    rects: tuple[Rect, ...]
    where: Where
    bound: tuple[Side, ...]
    near: tuple[tuple[int, int], ...] = ()
    looked_on: int = 0
    kept: frozenset[Cell] = frozenset()
    ways: tuple[Cell, ...] = ()

    @property
    def cells(self) -> frozenset[Cell]:
        return frozenset(c for r in self.rects for c in r.cells())

    @property
    def widest(self) -> Rect:
        return self.rects[0]

    def off(self, way: Rect) -> int:
        """Cells from its widest part to a way in."""
        g = self.widest
        aside = max(g.x0 - way.x1, way.x0 - g.x1, 0)
        return aside + max(g.y0 - way.y1, way.y0 - g.y1, 0)

    @property
    def least(self) -> int:
        return min(self.widest.width, self.widest.depth)


class Liking(Struct, frozen=True, kw_only=True):
    """Where a use likes to be: before, aside, behind.  least: cells that it needs, the shorter way and the
    longer.  again: whether several yards may well have it."""

    places: tuple[int, int, int]
    least: tuple[int, int] = (3, 4)
    again: bool = False


LIKINGS: Mapping[str, Liking] = {
    "kitchen yard": Liking(places=(-9, 4, 6), least=(4, 5)),
    "drying ground": Liking(places=(-9, 2, 3), least=(3, 6)),
    "work yard": Liking(places=(-3, 1, 2), least=(4, 6)),
    "kitchen garden": Liking(places=(-3, 4, 4), least=(4, 5)),
    "orchard": Liking(places=(-9, 3, 9), least=(6, 7), again=True),
    "garden": Liking(places=(4, 2, 2), least=(5, 5)),
    "forecourt": Liking(places=(12, -20, -20)),
    "wood store": Liking(places=(-9, 3, 2), least=(3, 5)),
    "jar terrace": Liking(places=(-9, 5, 8), least=(4, 5)),
    "green": Liking(places=(0, -2, -4), least=(3, 3), again=True),
}
"""Every use, and what speaks for it in a place, whoever lives beside it."""


def grounds(
    site: Site,
    rooms: Rooms,
    close: Close,
    some: Sequence[tuple[Rect, ...]],
    entries: Sequence[Rect],
    clear: frozenset[Cell],
    taken: frozenset[Cell] = frozenset(),
) -> Iterator[Ground]:
    """What is known of each yard.  entries: doors and gates.  clear: where nothing may stand.  taken:
    where something of the house stands beside it."""
    kept = covered(entry.grown(PORCH) for entry in entries) | clear
    house = site.house
    for rects in some:
        widest = rects[0]
        yield Ground(
            rects=rects,
            where=_where(widest, house),
            bound=tuple(side for side in SIDES if close.bound.issuperset(_along(widest, side))),
            near=tuple(_near(rooms, widest)),
            looked_on=sum(
                room.rects[0].meet(widest.grown(CLOSE)).area
                for room in rooms.rooms
                if room.kind == OUTER
            ),
            kept=frozenset(c for c in kept if any(r.has(*c) for r in rects)),
            ways=tuple(dict.fromkeys(_ways(widest, close, entries, taken))),
        )


def _ways(
    rect: Rect, close: Close, entries: Sequence[Rect], taken: frozenset[Cell]
) -> Iterator[Cell]:
    """Where one comes onto some ground: right before each door and gate, and from beside the house, past a
    post that stands there."""
    edge = [c for side in SIDES for c in line_along(rect, side, 0).cells()]
    for entry in entries:
        if some := [c for c in edge if entry.grown(PORCH).has(*c)]:
            yield min(some, key=lambda c: (_off(c, entry), c))
    for side in SIDES:
        beyond = _along(rect, side)
        if close.inside.issuperset(beyond):
            row = [*line_along(rect, side, 0).cells()]
            middle = len(row) // 2
            by = (middle, middle - 1, middle + 1)
            yield row[next((n for n in by if beyond[n] not in taken), middle)]
            return


def _off(cell: Cell, entry: Rect) -> int:
    """Cells from one to a way in."""
    (x, y), (x0, y0, x1, y1) = cell, entry
    return max(x0 - x, x - x1 + 1, 0) + max(y0 - y, y - y1 + 1, 0)


def _where(rect: Rect, house: Rect) -> Where:
    if rect.y1 <= house.y0:
        return "before"
    return "behind" if rect.y0 + rect.y1 >= house.y1 + house.midway else "aside"


def _along(rect: Rect, side: Side) -> list[Cell]:
    """The cells just outside a side."""
    return [*line_along(rect, side).cells()]


def _near(rooms: Rooms, rect: Rect) -> Iterator[tuple[int, int]]:
    """The rooms that have a wall before some ground, and how much of one."""
    reach = rect.grown(CLOSE)
    lengths: dict[int, int] = {}
    for wall in rooms.segments:
        if wall.boundary == "outer" and wall.cells.meets(reach):
            room = wall.low or wall.high
            lengths[room] = lengths.get(room, 0) + wall.cells.meet(reach).area
    yield from sorted(lengths.items())


def chosen(
    yards: Sequence[Ground], rooms: Rooms, tradition: Tradition, draw: Draw
) -> tuple[tuple[str, int], ...]:
    """A use for each yard, and the id of the room that it serves; those that one place likes most first."""
    asks = {room.id: tradition.kind(room.kind).yards for room in rooms.rooms if room.indoor}
    uses = [use for use in LIKINGS if use in tradition.plan.yards]
    found: dict[int, tuple[str, int]] = {}
    while len(found) < len(yards):
        taken = [use for use, _ in found.values()]
        best = partial(_best, uses=uses, asks=asks, taken=taken, draw=draw)
        ways = [(*best(n, yards[n]), n) for n in range(len(yards)) if n not in found]
        _, use, room, n = max(ways, key=lambda way: (way[0], -way[3]))
        found[n] = use, room
    return tuple(found[n] for n in range(len(yards)))


def _best(
    n: int,
    yard: Ground,
    uses: Sequence[str],
    asks: Mapping[int, Sequence[str]],
    taken: Sequence[str],
    draw: Draw,
) -> tuple[int, str, int]:
    """How much is liked which use of a yard, and for which room."""
    ways = []
    for use in uses:
        liking = LIKINGS[use]
        short, long = sorted((yard.widest.width, yard.widest.depth))
        if use != REST and (short < liking.least[0] or long < liking.least[1]):
            continue
        served = [
            (length * (len(asks[room]) - asks[room].index(use)), room)
            for room, length in yard.near
            if use in asks[room]
        ]
        most, room = max(served, default=(0, 0))
        worth = 2 * sum(length for length, _ in served)
        worth += 2 * liking.places[("before", "aside", "behind").index(yard.where)]
        worth += yard.looked_on * SIGHTS.get(use, 0)
        worth += draw.at(n).below(LOT, use)
        worth -= (LOT if liking.again else AGAIN) * taken.count(use)
        ways.append((worth, use, room if most else 0))
    return max(ways, key=lambda way: way[0])
