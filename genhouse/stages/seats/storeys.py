"""The rooms of each storey, from the ground up, with the stair that leads on to the next."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import islice

from msgspec.structs import replace

from genhouse.core.axes import FLANKS
from genhouse.core.box import Rect
from genhouse.core.draw import Draw
from genhouse.core.errors import InfeasibleError
from genhouse.model.brief import Wish
from genhouse.model.room import Room, Stair
from genhouse.stages._land import opens_to_gate
from genhouse.stages.bays import Bays, Unit
from genhouse.stages.galleries import Walk
from genhouse.stages.outdoors import outdoors
from genhouse.stages.seats.places import along, beyond, centred, off_middle, places
from genhouse.stages.seats.programme import puzzle
from genhouse.stages.seats.search import seat
from genhouse.stages.seats.seating import hopeless
from genhouse.stages.seats.settled import Settled, suits
from genhouse.stages.site import Site
from genhouse.stages.terraces import fall_of
from genhouse.stages.ways.flights import NONE as NO_FLIGHT
from genhouse.stages.ways.flights import Flight, climbed, plan_flight
from genhouse.stages.ways.hearths import Hearth, plan_hearth
from genhouse.traditions.tradition import Kind, Tradition


@dataclass(frozen=True, slots=True)
class Seated:
    """Rooms with their kinds and numbers: outdoors, then storey by storey; the stairs, from below."""

    rooms: tuple[Room, ...]
    stairs: tuple[Stair, ...]
    hearth: Hearth


@dataclass(frozen=True, slots=True)
class _Begun:
    """A storey before its rooms are seated: where one comes in, what has its place, the flight up."""

    level: int
    door: Rect
    settled: Settled
    taken: frozenset[int]
    flight: Flight | None


def seat_storeys(
    site: Site,
    bays: Bays,
    tradition: Tradition,
    wishes: Sequence[Wish],
    walks: Sequence[Walk],
    draw: Draw,
    given_up: Callable[[Sequence[Room], int], bool],
) -> Seated | None:
    """Every room: the hearth is found once its storey is seated, so that upper flights keep clear of it.

    given_up: whether nothing will come of the rooms up to a storey, whatever lies above; then None.
    """
    rooms = _numbered((), outdoors(site, tradition))
    stairs: list[Stair] = []
    hearth: Hearth | None = None
    kind, first, at = tradition.the("arrival"), _arrival(site, bays, tradition, wishes, draw), draw
    for level in range(1, len(tradition.storeys) + 1):
        flue = hearth.cell if hearth is not None else None
        begun = _begun(site, bays, tradition, wishes, level, (kind, first), flue, at)
        if begun.flight is not None:
            _check_next(site, bays, tradition, level, begun.flight.upper)
        rooms += _numbered(rooms, _seated(site, bays, tradition, wishes, walks, begun, rooms, at))
        if given_up(rooms, level):
            return None
        hearth = hearth or plan_hearth(site, bays, rooms, tradition, draw)
        if (flight := begun.flight) is not None:
            foot = next(r for r in rooms if r.level == level and r.rect == flight.room and r.indoor)
            stairs.append(replace(flight.stair, room=foot.id))
            kind, first, at = tradition.the("head"), flight.upper, at.at("upper")
    assert hearth is not None, "a house has a storey"
    return Seated(rooms, tuple(stairs), hearth)


def _check_next(site: Site, bays: Bays, tradition: Tradition, level: int, upper: int) -> None:
    """Raises InfeasibleError where no flight leads on from the storey above, whatever is seated there.

    upper: the unit in which one arrives there.
    """
    if level + 1 < len(tradition.storeys):
        low, high = tradition.storeys[level : level + 2]
        if not climbed(site, bays, frozenset({upper}), level + 1, high.floor - low.floor):
            raise InfeasibleError(NO_FLIGHT, stage="rooms")


def _numbered(rooms: Sequence[Room], more: Iterable[Room]) -> tuple[Room, ...]:
    return tuple(replace(room, id=n) for n, room in enumerate(more, len(rooms) + 1))


def _begun(
    site: Site,
    bays: Bays,
    tradition: Tradition,
    wishes: Sequence[Wish],
    level: int,
    entered: tuple[str, int | None],
    flue: tuple[int, int] | None,
    draw: Draw,
) -> _Begun:
    """The room that one enters, the hall of the flight to the next storey, and the passage to it."""
    (kind, first), storeys = entered, tradition.storeys
    door = site.courts[0] if first is None else bays.units[first].rect
    settled = () if first is None else ((kind, door),)
    taken = frozenset() if first is None else frozenset({first})
    for name, unit in _axial(site, bays, tradition, wishes, level, taken):
        settled, taken = (*settled, (name, bays.units[unit].rect)), taken | {unit}
    if level == len(storeys):
        return _Begun(level, door, settled, taken, None)
    steps = storeys[level].floor - storeys[level - 1].floor
    hall = tradition.the("climbs")
    suited = partial(suits, hall, site=site, others=settled, wishes=wishes)
    head = door if tradition.kind(kind).head else None
    flight = plan_flight(
        site, bays, taken, draw, suited, level=level, steps=steps, flue=flue, head=head
    )
    passage = ((tradition.the("way"), flight.passage),) if flight.passage else ()
    settled = (*settled, (hall, flight.room), *passage)
    return _Begun(level, door, settled, taken | {flight.lower, flight.upper}, flight)


def _seated(
    site: Site,
    bays: Bays,
    tradition: Tradition,
    wishes: Sequence[Wish],
    walks: Sequence[Walk],
    begun: _Begun,
    rooms: Sequence[Room],
    draw: Draw,
) -> Iterator[Room]:
    """The rooms of one storey, from south to north and west to east."""
    level, settled = begun.level, begun.settled
    storey = tradition.storeys[level - 1]
    left = (begun.flight.left,) if begun.flight and begun.flight.left else ()
    halves = tradition.bays.parted and not storey.under_roof
    floor = places(site, bays, begun.taken, begun.door, level, left, halves=halves)
    below = tuple(room for room in rooms if room.indoor)
    over = [walk.rects for walk in walks if walk.level == level]
    task = puzzle(floor, settled, tradition, wishes, level, draw, below, over)
    if wishes and hopeless(task):
        raise InfeasibleError(f"the programme of storey {level} has no room here", stage="rooms")
    seating = seat(task, draw.at("seats"))[0] if floor else ()
    named = [(task.asks[s.ask].kind, floor[s.place].rect) for s in seating] + list(settled)
    for kind, rect in sorted(named, key=lambda pair: (pair[1].y0, pair[1].x0)):
        fall, *more = fall_of(site, (rect,)) if level == 1 else (0,)
        if more:
            raise InfeasibleError(
                f"ground: the {kind} would lie on floors of unlike height", stage="rooms"
            )
        yield Room(
            id=0,
            kind=kind,
            level=level,
            rects=(rect,),
            floor=storey.floor - fall,
            ceiling=storey.ceiling,
            to_roof=storey.under_roof,
            open=tradition.kind(kind).open,
        )


def _arrival(
    site: Site, bays: Bays, tradition: Tradition, wishes: Sequence[Wish], draw: Draw
) -> int | None:
    """A bay between the gate and a court, off the axis of the plot more often than on it, or at the end
    where the tradition has it; None where the gate opens into a court."""
    kind, facing = tradition.the("arrival"), [u for u in bays.units if _faces_gate(site, u)]
    some = [u for u in facing if suits(kind, u.rect, site, (), wishes)]
    if facing and not some:
        raise InfeasibleError(
            f"{kind}: no bay toward the gate is as it is asked for", stage="rooms"
        )
    if tradition.kind(kind).axial:
        some = [u for u in some if centred(site.courts[0], u.rect)] or some
    if tradition.gate.end:
        some = some and [max(some, key=lambda u: u.rect.x0)]
    weights = [1 + min(6, abs(u.rect.x0 + u.rect.x1 - site.plot[0])) for u in some]
    return bays.units.index(draw.choice(some, "entry", weights)) if some else None


def _axial(
    site: Site,
    bays: Bays,
    tradition: Tradition,
    wishes: Sequence[Wish],
    level: int,
    taken: frozenset[int],
) -> Iterator[tuple[str, int]]:
    """The bays before the middle of a court that a kind of room is meant for, one of each kind: just in the
    middle where rows are alike on both sides of it, or else as near to it as may be, and with a bay on
    either side where several kinds belong by it."""
    exact = tradition.bays.rhythm == "axial"
    for name, kind in tradition.kinds:
        asked = [wish.count for wish in wishes if wish.kind == name]
        if kind.flanking and kind.level == level and asked != [0]:
            both = islice(_flanking(site, bays, kind, taken), sum(asked) if asked else None)
            yield from ((name, n) for n in both)
        if not kind.axial or kind.level != level or asked == [0]:
            continue
        between = sum(name in other.by for _, other in tradition.kinds) > 1
        able = [
            ((0, 0) if exact else (between and _last(bays, n), off_middle(court, unit.rect)), n)
            for n, unit in enumerate(bays.units)
            if site.wings[unit.wing].name in kind.wings and n not in taken
            for court in site.courts
            if (centred if exact else along)(court, unit.rect)
            and suits(name, unit.rect, site, (), wishes)
        ]
        if able:
            yield name, min(able)[1]


def _last(bays: Bays, n: int) -> bool:
    """Whether a bay is at an end of its wing."""
    wings = [bays.units[m].wing if m in range(len(bays.units)) else None for m in (n - 1, n, n + 1)]
    return wings[0] != wings[1] or wings[1] != wings[2]


def _flanking(site: Site, bays: Bays, kind: Kind, taken: frozenset[int]) -> Iterator[int]:
    """The last bays along the first court on both of its sides, where they are free."""
    court = site.courts[0]
    for wing in (wing for wing in site.wings if wing.name in kind.wings):
        some = [
            (unit.rect.y1, n)
            for n, unit in enumerate(bays.units)
            if site.wings[unit.wing] == wing and along(court, unit.rect) and n not in taken
        ]
        if some:
            yield max(some)[1]


def _faces_gate(site: Site, unit: Unit) -> bool:
    """Whether a bay looks to a court, and over open ground to the gate's side of the plot."""
    row = beyond(unit.rect)["south"]
    return "south" in FLANKS[unit.axis] and not unit.corner and opens_to_gate(site, row)
