"""The rooms of each storey, from the ground up, with the stair that leads on to the next."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial

from msgspec.structs import replace

from genhouse.core.axes import FLANKS
from genhouse.core.box import Rect
from genhouse.core.draw import Draw
from genhouse.core.errors import InfeasibleError
from genhouse.model.brief import Wish
from genhouse.model.room import Room, Stair
from genhouse.stages.bays import Bays, Unit
from genhouse.stages.galleries import Walk
from genhouse.stages.outdoors import outdoors
from genhouse.stages.seats.places import Place, beyond, places
from genhouse.stages.seats.programme import puzzle
from genhouse.stages.seats.search import seat
from genhouse.stages.seats.seating import hopeless
from genhouse.stages.seats.settled import Settled, suits
from genhouse.stages.site import Site
from genhouse.stages.ways.flights import Flight, plan_flight
from genhouse.traditions.tradition import Office, Tradition


def seat_storeys(
    site: Site,
    bays: Bays,
    tradition: Tradition,
    wishes: Sequence[Wish],
    walks: Sequence[Walk],
    draw: Draw,
) -> tuple[tuple[Room, ...], tuple[Stair, ...]]:
    """Every room with its kind and number: outdoors, then storey by storey; and the stairs."""
    found: list[Room] = []
    flights: list[Flight] = []
    office: Office = "arrival"
    first = _arrival(site, bays, tradition, wishes, draw)
    for level, storey in enumerate(tradition.storeys, 1):
        door = bays.units[first].rect if first is not None else site.courts[0]
        settled = [] if first is None else [(tradition.the(office), door)]
        taken = frozenset() if first is None else frozenset({first})
        left: tuple[Rect, ...] = ()
        if level < len(tradition.storeys):
            hall = tradition.the("climbs")
            suited = partial(suits, hall, site=site, others=tuple(settled), wishes=wishes)
            steps = tradition.storeys[level].floor - storey.floor
            flight = plan_flight(site, bays, taken, draw, suited, level=level, steps=steps)
            flights.append(flight)
            taken |= {flight.lower, flight.upper}
            settled.append((hall, flight.room))
            settled += [(tradition.the("way"), flight.passage)] if flight.passage else []
            left = (flight.left,) if flight.left else ()
            first, office = flight.upper, "head"
        halves = not storey.under_roof
        floor = places(site, bays, taken, door, level, left, halves=halves)
        over = [walk.rects for walk in walks if walk.level == level]
        found += _storey(level, floor, settled, tradition, wishes, draw, found, over)
        draw = draw.at("upper")
    rooms = tuple(replace(r, id=n) for n, r in enumerate((*outdoors(site, tradition), *found), 1))
    stairs = (
        replace(flight.stair, room=room.id)
        for level, flight in enumerate(flights, 1)
        for room in rooms
        if room.indoor and room.level == level and room.rect == flight.room
    )
    return rooms, tuple(stairs)


def _storey(
    level: int,
    floor: Sequence[Place],
    settled: Settled,
    tradition: Tradition,
    wishes: Sequence[Wish],
    draw: Draw,
    below: Sequence[Room],
    walks: Sequence[Sequence[Rect]],
) -> Iterator[Room]:
    """The rooms of one storey, from south to north and west to east."""
    task = puzzle(floor, settled, tradition, wishes, level, draw, tuple(below), walks)
    if wishes and hopeless(task):
        raise InfeasibleError(f"the programme of storey {level} has no room here", stage="rooms")
    seating, _ = seat(task, draw.at("seats"))
    named = [(task.asks[s.ask].kind, floor[s.place].rect) for s in seating] + list(settled)
    storey = tradition.storeys[level - 1]
    for kind, rect in sorted(named, key=lambda pair: (pair[1].y0, pair[1].x0)):
        yield Room(
            id=0,
            kind=kind,
            level=level,
            rects=(rect,),
            floor=storey.floor,
            ceiling=storey.ceiling,
            to_roof=storey.under_roof,
        )


def _arrival(
    site: Site, bays: Bays, tradition: Tradition, wishes: Sequence[Wish], draw: Draw
) -> int | None:
    """A bay between the gate and a court, off the axis of the plot more often than on it; None where the
    gate opens into a court."""
    kind, facing = tradition.the("arrival"), [u for u in bays.units if _faces_gate(site, u)]
    some = [u for u in facing if suits(kind, u.rect, site, (), wishes)]
    if facing and not some:
        raise InfeasibleError(
            f"{kind}: no bay toward the gate is as it is asked for", stage="rooms"
        )
    weights = [1 + min(6, abs(u.rect.x0 + u.rect.x1 - site.plot[0])) for u in some]
    return bays.units.index(draw.choice(some, "entry", weights)) if some else None


def _faces_gate(site: Site, unit: Unit) -> bool:
    """Whether a bay looks to a court, and over open ground to the gate's side of the plot."""
    row = beyond(unit.rect)["south"]
    before = Rect(row.x0, 0, row.x1, row.y1)
    built = (*(wing.rect for wing in site.wings), *site.courts, *site.walls)
    return (
        "south" in FLANKS[unit.axis]
        and not unit.corner
        and not any(rect.meets(before) for rect in built)
    )
