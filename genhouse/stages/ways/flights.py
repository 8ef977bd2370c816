"""Where a straight flight fits: two bays in a row, the second long enough to climb in.

The flight rises in steps of one cell, two cells wide, along a wall, from one floor to the next; the bay
before it stays clear to walk up to it.  In a deep wing the hall takes the outer half of both bays; one
inner half is the passage from the court to it, the other is left for a room.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import product

from genhouse.core.axes import CROSS, ENDS, FLANKS, Axis, opposite
from genhouse.core.box import Rect
from genhouse.core.draw import Draw
from genhouse.core.errors import InfeasibleError
from genhouse.model.room import Stair
from genhouse.model.storeys import WELL
from genhouse.stages.bays import Bays, Unit, halved
from genhouse.stages.seats.places import beyond, opens
from genhouse.stages.seats.programme import touch
from genhouse.stages.site import Site
from genhouse.stages.terraces import fall_of

NONE = "stair: no two bays in a row are long enough"
WIDTH = 2
"""Cells of a step's breadth."""
NEAR = 30
"""What it is worth that one need not look for the next flight."""
HALL = 36
"""Cells of a stair hall, where a smaller one can be had."""


@dataclass(frozen=True, slots=True)
class Flight:
    """lower, upper: unit numbers it starts from and climbs in.  room: the floor of its hall.

    passage: the way from the court to a hall that has no side to it.  left: floor left for a room.
    """

    lower: int
    upper: int
    room: Rect
    stair: Stair
    passage: Rect | None = None
    left: Rect | None = None

    @property
    def ground(self) -> Rect:
        """What one walks on, up the steps and round them."""
        return self.stair.run[0].hull(self.stair.run[-1]).grown(1)


def plan_flight(
    site: Site,
    bays: Bays,
    taken: frozenset[int],
    draw: Draw,
    suits: Callable[[Rect], bool] = lambda _: True,
    *,
    level: int = 1,
    steps: int = 5,
    flue: tuple[int, int] | None = None,
    head: Rect | None = None,
) -> Flight:
    """Choose a flight outside the taken units, from a storey to the next, and clear of a flue: begun below
    a lower roof only where no other fits; on an upper storey rather beside the head of the one below.

    suits: whether the floor of its hall is as it is asked for.  Raises InfeasibleError where none fits.
    """
    flights = [
        f
        for f in _flights(site, bays, taken, steps, level)
        if suits(f.room) and not (flue and f.ground.has(*flue))
    ]
    if not flights:
        raise InfeasibleError(NONE, stage="rooms")
    reaching = (f for f in flights if site.wings[bays.units[f.lower].wing].storeys > level)
    flights = list(reaching) or flights
    most = max(min(f.room.area for f in flights), _measure(site))
    some = [f for f in flights if f.room.area <= most]
    return draw.choice(some, "flight", [_liking(bays, f, head) for f in some])


def climbed(site: Site, bays: Bays, taken: frozenset[int], level: int, steps: int) -> bool:
    """Whether some flight outside the taken units leads from a storey to the next."""
    return any(True for _ in _flights(site, bays, taken, steps, level))


def _measure(site: Site) -> int:
    """What a hall may cover: no more than the largest garden, and half of what a large room does."""
    return min(HALL, max(site.garden(court).area for court in site.courts))


def _liking(bays: Bays, flight: Flight, head: Rect | None) -> int:
    """Corners and the back make the best stair halls: they leave the court's sides to rooms."""
    corners = bays.units[flight.lower].corner + bays.units[flight.upper].corner
    near = NEAR * (head is not None and touch(head, flight.room))
    return 1 + 5 * corners + max(0, HALL - flight.room.area) // 8 + near


def _flights(
    site: Site, bays: Bays, taken: frozenset[int], steps: int, level: int
) -> Iterator[Flight]:
    """From a floor that lies lower the flight is as much longer."""
    wings = [site.wings[unit.wing] for unit in bays.units]
    reaching = [n for n, wing in enumerate(wings) if n not in taken and wing.storeys >= level]
    second = [n for n in reaching if wings[n].storeys > level]
    first = [n for n in reaching if n in second or not wings[n].terrace]
    lies = {axis: [unit.rect.lie(axis) for unit in bays.units] for axis in CROSS}
    for i, j in product(first, second):
        low, high = bays.units[i], bays.units[j]
        for axis, lie in lies.items():
            rise = _beside(lie[i], lie[j])
            if (
                rise is not None
                and not (low.corner and high.corner)
                and (high.axis == axis or high.single)
            ):
                fall, *more = fall_of(site, (low.rect, high.rect)) if level == 1 else (0,)
                if not more:
                    yield from _in_bay(site, (i, j), (low, high), axis, rise, steps + fall)


def _beside(a: Rect, b: Rect) -> int | None:
    """At which end of one lying bay another stands, one wall line apart and of the same breadth."""
    if a.y0 != b.y0 or a.y1 != b.y1:
        return None
    return 1 if b.x0 == a.x1 + 1 else 0 if b.x1 == a.x0 - 1 else None


def _in_bay(
    site: Site,
    numbers: tuple[int, int],
    units: tuple[Unit, Unit],
    axis: Axis,
    rise: int,
    steps: int,
) -> Iterator[Flight]:
    """The flights along the outer walls of the second bay: no door is lost there."""
    bay = units[1].rect.lie(axis)
    if bay.width < WELL or bay.depth <= WIDTH:
        return
    around = beyond(units[1].rect)
    for high, wall in enumerate(FLANKS[axis]):
        if site.is_open(around[wall]):
            run = tuple(step.lie(axis) for step in _run(bay, rise, high, steps))
            if not units[0].rect.hull(units[1].rect).holds(_before(run).hull(run[-1])):
                continue
            room, passage, left = _shared(*units, high)
            if _lit(site, room, run) and (passage is None or opens(site, passage)):
                stair = Stair(
                    run=run,
                    well=run[-WELL].hull(run[-1]),
                    rise=ENDS[axis][rise],
                    open_side=opposite(wall),
                    room=0,
                )
                yield Flight(*numbers, room=room, stair=stair, passage=passage, left=left)


def _before(run: Sequence[Rect]) -> Rect:
    """Where one stands before the first step."""
    (x0, y0, x1, y1), (dx, dy, *_) = run[0], (a - b for a, b in zip(run[0], run[1], strict=True))
    return Rect(x0 + dx, y0 + dy, x1 + dx, y1 + dy)


def _lit(site: Site, room: Rect, run: Sequence[Rect]) -> bool:
    """Whether a hall looks out elsewhere than where its flight stands."""
    behind = run[0].hull(run[-1]).grown(2)
    return any(
        site.ground.has(*cell)
        and not behind.has(*cell)
        and not any(wing.rect.has(*cell) for wing in site.wings)
        for row in beyond(room).values()
        for cell in row.cells()
    )


def _shared(first: Unit, second: Unit, outer: int) -> tuple[Rect, Rect | None, Rect | None]:
    """The hall's floor of two bays, the passage to it, and what is left over.  outer: its half."""
    if first.single or second.single:
        return first.rect.hull(second.rect), None, None
    one, other = halved(first.rect, first.axis), halved(second.rect, second.axis)
    inner = [one[1 - outer], other[1 - outer]]
    passage = inner.pop(1 if first.corner else 0)
    return one[outer].hull(other[outer]), passage, inner[0]


def _run(bay: Rect, rise: int, high: int, steps: int) -> Iterator[Rect]:
    """The steps along one flank of a lying bay, lowest first; in a short one they begin before it."""
    low = bay.y1 - WIDTH if high else bay.y0
    for n in range(-steps, 0):
        x = bay.x1 + n if rise else bay.x0 - n - 1
        yield Rect(x, low, x + 1, low + WIDTH)
