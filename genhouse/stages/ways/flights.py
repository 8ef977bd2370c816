"""Where a straight flight fits: two bays in a row, the second long enough to climb in.

The flight rises five cells in five steps of one cell, two cells wide, along a wall; the bay before
it stays clear to walk up to it.  In a deep wing the hall takes the outer half of both bays; one inner
half is the passage from the court to it, the other is left for a room.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Set
from dataclasses import dataclass

from genhouse.core.axes import STEP, Axis, Side, opposite
from genhouse.core.box import Rect
from genhouse.core.draw import Draw
from genhouse.core.errors import InfeasibleError
from genhouse.model.room import Stair
from genhouse.stages.bays import Bays, Unit, halved
from genhouse.stages.site import Site

STEPS, WIDTH = 5, 2
HALL = 36
"""Cells of a stair hall, where a smaller one can be had."""


@dataclass(frozen=True, slots=True, kw_only=True)
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


def plan_flight(
    site: Site,
    bays: Bays,
    taken: frozenset[int],
    draw: Draw,
    suits: Callable[[Rect], bool] = lambda _: True,
) -> Flight:
    """Choose a flight outside the taken units.

    suits: whether the floor of its hall is as it is asked for.  Raises InfeasibleError where none fits.
    """
    low = {n for n, u in enumerate(bays.units) if site.wings[u.wing].storeys < 2}
    flights = [f for f in _flights(site, bays, taken | low) if suits(f.room)]
    if not flights:
        raise InfeasibleError("stair: no two bays in a row are long enough", stage="rooms")
    most = max(min(f.room.area for f in flights), _measure(site))
    some = [f for f in flights if f.room.area <= most]
    return draw.choice(some, "flight", [_liking(bays, f) for f in some])


def _measure(site: Site) -> int:
    """What a hall may cover: no more than the largest garden, and half of what a large room does."""
    return min(HALL, max(site.garden(court).area for court in site.courts))


def _liking(bays: Bays, flight: Flight) -> int:
    """Corners and the back make the best stair halls: they leave the court's sides to rooms."""
    corners = bays.units[flight.lower].corner + bays.units[flight.upper].corner
    return 1 + 5 * corners + max(0, HALL - flight.room.area) // 8


def _flights(site: Site, bays: Bays, taken: Set[int]) -> Iterator[Flight]:
    free = [(n, unit) for n, unit in enumerate(bays.units) if n not in taken]
    for i, first in free:
        for j, second in free:
            rise = _beside(first.rect, second.rect)
            if rise is not None and not (first.corner and second.corner):
                yield from _in_bay(site, i, j, first, second, rise)


def _beside(a: Rect, b: Rect) -> Side | None:
    """The side of a on which b stands, one wall line apart and of the same breadth."""
    if (a.y0, a.y1) == (b.y0, b.y1):
        if b.x0 == a.x1 + 1:
            return "east"
        if b.x1 == a.x0 - 1:
            return "west"
    if (a.x0, a.x1) == (b.x0, b.x1):
        if b.y0 == a.y1 + 1:
            return "north"
        if b.y1 == a.y0 - 1:
            return "south"
    return None


def _in_bay(site: Site, i: int, j: int, first: Unit, second: Unit, rise: Side) -> Iterator[Flight]:
    axis: Axis = "x" if rise in ("east", "west") else "y"
    bay = second.rect
    length = bay.width if axis == "x" else bay.depth
    breadth = bay.depth if axis == "x" else bay.width
    if length not in (STEPS - 1, STEPS) or breadth <= WIDTH:
        return
    if second.axis != axis and not second.single:
        return
    for wall in ("south", "north") if axis == "x" else ("west", "east"):
        strip = _strip(bay, wall)
        if _outer(site, strip, wall):
            run = _run(strip, rise, length)
            room, passage, left = _shared(first, second, wall)
            yield Flight(
                lower=i,
                upper=j,
                room=room,
                passage=passage,
                left=left,
                stair=Stair(
                    run=run,
                    well=run[1].hull(run[-1]),
                    rise=rise,
                    open_side=opposite(wall),
                    room=0,
                ),
            )


def _shared(first: Unit, second: Unit, wall: Side) -> tuple[Rect, Rect | None, Rect | None]:
    """The hall's floor of two bays, the passage to it, and what is left over."""
    if first.single or second.single:
        return first.rect.hull(second.rect), None, None
    outer = 1 if wall in ("north", "east") else 0
    one, other = halved(first.rect, first.axis), halved(second.rect, second.axis)
    inner = [one[1 - outer], other[1 - outer]]
    passage = inner.pop(1 if first.corner else 0)
    return one[outer].hull(other[outer]), passage, inner[0]


def _strip(bay: Rect, wall: Side) -> Rect:
    match wall:
        case "south":
            return Rect(bay.x0, bay.y0, bay.x1, bay.y0 + WIDTH)
        case "north":
            return Rect(bay.x0, bay.y1 - WIDTH, bay.x1, bay.y1)
        case "west":
            return Rect(bay.x0, bay.y0, bay.x0 + WIDTH, bay.y1)
        case "east":
            return Rect(bay.x1 - WIDTH, bay.y0, bay.x1, bay.y1)


def _outer(site: Site, strip: Rect, wall: Side) -> bool:
    """Whether the wall that the flight would stand along is an outer one: no door is lost there."""
    dx, dy = STEP[wall]
    reach = WIDTH + 1
    behind = Rect(
        strip.x0 + reach * dx, strip.y0 + reach * dy, strip.x1 + reach * dx, strip.y1 + reach * dy
    )
    built = [wing.rect for wing in site.wings] + [court.grown(1) for court in site.courts]
    return not any(rect.meets(behind) for rect in built)


def _run(strip: Rect, rise: Side, length: int) -> tuple[Rect, ...]:
    """The steps, lowest first; a short bay borrows the line before it for the first."""
    x0, y0, x1, y1 = strip
    lead = STEPS - length
    match rise:
        case "east":
            return tuple(Rect(x, y0, x + 1, y1) for x in range(x0 - lead, x1))
        case "west":
            return tuple(Rect(x, y0, x + 1, y1) for x in range(x1 + lead - 1, x0 - 1, -1))
        case "north":
            return tuple(Rect(x0, y, x1, y + 1) for y in range(y0 - lead, y1))
        case "south":
            return tuple(Rect(x0, y, x1, y + 1) for y in range(y1 + lead - 1, y0 - 1, -1))
