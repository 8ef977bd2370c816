"""Rooms: the units joined to rooms, each given its kind; the stair, the hearth, and the ways between."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from dataclasses import replace as replace_fields
from functools import partial

from msgspec.structs import replace

from genhouse.core.axes import STEP, Side
from genhouse.core.box import Rect
from genhouse.core.draw import Draw
from genhouse.core.errors import InfeasibleError
from genhouse.model.brief import Wish
from genhouse.model.elements import Wall
from genhouse.model.room import Room, Stair
from genhouse.stages.bays import Bays
from genhouse.stages.galleries import Walk, most_sides, plan_walks
from genhouse.stages.outdoors import outdoors, with_walks
from genhouse.stages.seats.answers import seen, unmet
from genhouse.stages.seats.places import Place, places
from genhouse.stages.seats.programme import puzzle
from genhouse.stages.seats.search import seat
from genhouse.stages.seats.seating import hopeless
from genhouse.stages.seats.settled import suits
from genhouse.stages.site import Site
from genhouse.stages.ways.entrances import Entrance
from genhouse.stages.ways.flights import plan_flight
from genhouse.stages.ways.openings import open_walls, private_of, strung
from genhouse.traditions.loader import Tradition

TRIES = 4
"""Entries and stairs that are tried until a client's wishes are met and nothing is amiss."""


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
    def back(self) -> tuple[int, int]:
        """The cell of the wall at its back."""
        (x, y), (dx, dy) = self.cell, STEP[self.facing]
        return (x - dx, y - dy)

    @property
    def beyond(self) -> tuple[int, int]:
        """The cell past that wall."""
        (x, y), (dx, dy) = self.cell, STEP[self.facing]
        return (x - 2 * dx, y - 2 * dy)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rooms:
    """gate: the cell at the plot's edge where a visitor stands.

    strung: rooms to which one comes only through a private one.  amiss: these, and halls that are
    larger than a room that should be larger than they.
    """

    rooms: tuple[Room, ...]
    segments: tuple[Wall, ...]
    stair: Stair | None
    hearth: Hearth
    entrances: tuple[Entrance, ...]
    gate: tuple[int, int]
    strung: int = 0
    amiss: int = 0

    @property
    def rising(self) -> tuple[Wall, ...]:
        """The walls that rise to the roof: all of an upper storey, and those in which a ceiling ends."""
        return tuple(s for s in self.segments if s.rises)

    @property
    def lofty(self) -> tuple[Room, ...]:
        """The rooms that are open to the roof."""
        return tuple(r for r in self.rooms if r.to_roof and r.indoor)

    def on(self, level: int) -> tuple[Room, ...]:
        return tuple(r for r in self.rooms if r.level == level and r.indoor)


def plan_rooms(
    site: Site,
    bays: Bays,
    tradition: Tradition,
    wishes: Sequence[Wish],
    draw: Draw,
    *,
    gallery: bool | int | None = None,
) -> Rooms:
    """Seat the rooms of both storeys and decide every opening.

    gallery: as a brief asks for it; where it leaves that open and private rooms above would else be
    strung together, one runs along every side that can carry it.  Raises InfeasibleError, saying which
    wishes are unmet, where no try meets them all.
    """
    above = len(tradition.storeys) > 1
    walks = plan_walks(site, gallery, draw.at("galleries")) if above else ()
    whole = partial(_plan, site, bays, tradition, wishes)
    found, least = _best(whole, walks, draw)
    if found is None:
        raise InfeasibleError(f"no plan on this plot meets {'; '.join(least)}", stage="rooms")
    sides = most_sides(site)
    if above and gallery is None and found.strung and sides:
        more, _ = _best(whole, plan_walks(site, sides, draw.at("galleries")), draw)
        if more is not None and more.strung < found.strung:
            return more
    return found


Whole = Callable[[Sequence[Walk], Draw], "Rooms | tuple[str, ...]"]
"""A plan with these walks, or the wishes that it leaves unmet."""


def _best(whole: Whole, walks: Sequence[Walk], draw: Draw) -> tuple[Rooms | None, tuple[str, ...]]:
    """The plan of a few that meets every wish and leaves least amiss; or the fewest unmet wishes."""
    best: Rooms | None = None
    least: tuple[str, ...] = ()
    for n in range(TRIES):
        try:
            found = whole(walks, draw.at(n) if n else draw)
        except InfeasibleError as error:
            least = least or (str(error),)
            continue
        if isinstance(found, tuple):
            least = found if not least or len(found) < len(least) else least
        elif best is None or found.amiss < best.amiss:
            best = found
        if best is not None and not best.amiss:
            break
    return best, least


def _plan(
    site: Site,
    bays: Bays,
    tradition: Tradition,
    wishes: Sequence[Wish],
    walks: Sequence[Walk],
    draw: Draw,
) -> Rooms | tuple[str, ...]:
    """One plan, or the wishes that it leaves unmet.  Raises InfeasibleError where there is none."""
    rooms, stair = _seated(site, bays, tradition, wishes, walks, draw)
    rooms = with_walks(site, rooms, walks, tradition)
    found = _opened(site, bays, rooms, stair, tradition, draw)
    return (unmet(seen(found.rooms, found.segments), wishes) if wishes else ()) or found


def _seated(
    site: Site,
    bays: Bays,
    tradition: Tradition,
    wishes: Sequence[Wish],
    walks: Sequence[Walk],
    draw: Draw,
) -> tuple[tuple[Room, ...], Stair | None]:
    """Every room with its kind and number: outdoors, below, above; and the stair."""
    entry = _entry_unit(site, bays, tradition, wishes, draw)
    taken = frozenset() if entry is None else frozenset({entry})
    settled = [] if entry is None else [(tradition.the("arrival"), bays.units[entry].rect)]
    flight = None
    left: tuple[Rect, ...] = ()
    if len(tradition.storeys) > 1:
        hall = tradition.the("climbs")
        suited = partial(suits, hall, site=site, others=tuple(settled), wishes=wishes)
        flight = plan_flight(site, bays, taken, draw, suited)
        taken |= {flight.lower, flight.upper}
        settled.append((hall, flight.room))
        settled += [(tradition.the("way"), flight.passage)] if flight.passage else []
        left = (flight.left,) if flight.left else ()
    door = bays.units[entry].rect if entry is not None else site.courts[0]
    storeys = _storey(1, places(site, bays, taken, door, 1, left), settled, tradition, wishes, draw)
    if flight is not None:
        landing = bays.units[flight.upper].rect
        upper = places(site, bays, frozenset({flight.upper}), landing, 2)
        storeys += _storey(
            2,
            upper,
            [(tradition.the("head"), landing)],
            tradition,
            wishes,
            draw.at("upper"),
            [(room.kind, room.rect) for room in storeys],
            [walk.rects for walk in walks],
        )
    rooms = tuple(
        replace(room, id=n) for n, room in enumerate((*outdoors(site, tradition), *storeys), 1)
    )
    if flight is None:
        return rooms, None
    foot = next(r.id for r in rooms if r.indoor and r.rect == flight.room)
    return rooms, replace(flight.stair, room=foot)


def _storey(
    level: int,
    floor: Sequence[Place],
    settled: Sequence[tuple[str, Rect]],
    tradition: Tradition,
    wishes: Sequence[Wish],
    draw: Draw,
    below: Sequence[tuple[str, Rect]] = (),
    walks: Sequence[Sequence[Rect]] = (),
) -> list[Room]:
    """The rooms of one storey, from south to north and west to east."""
    task = puzzle(floor, settled, tradition, wishes, level, draw, below, walks)
    if wishes and hopeless(task):
        raise InfeasibleError(f"the programme of storey {level} has no room here", stage="rooms")
    seating, _ = seat(task, draw.at("seats"))
    named = [(task.asks[s.ask].kind, floor[s.place].rect) for s in seating] + list(settled)
    z = tradition.storeys[level - 1]
    return [
        Room(
            id=0,
            kind=kind,
            level=level,
            rects=(rect,),
            floor=z.floor,
            ceiling=z.head if level == 1 else z.head + 24,
            to_roof=level == 2,
        )
        for kind, rect in sorted(named, key=lambda pair: (pair[1].y0, pair[1].x0))
    ]


def _opened(
    site: Site,
    bays: Bays,
    rooms: tuple[Room, ...],
    stair: Stair | None,
    tradition: Tradition,
    draw: Draw,
) -> Rooms:
    """The hearth in its kitchen, and every wall with its openings."""
    hearth = _hearth(site, bays, rooms, tradition, draw)
    segments, entrances, gate = open_walls(
        site, bays, rooms, stair, hearth.cell, tradition, draw.at("openings")
    )
    few = strung(segments, rooms, private_of(rooms, tradition))
    return Rooms(
        rooms=tuple(_sink(room, entrances, tradition) for room in rooms),
        segments=segments,
        stair=stair,
        hearth=_shared(hearth, rooms, segments, tradition),
        entrances=entrances,
        gate=gate,
        strung=few,
        amiss=few + _overgrown(rooms, tradition),
    )


def _overgrown(rooms: Sequence[Room], tradition: Tradition) -> int:
    """Rooms larger than every room of the kind that should be larger."""
    kinds = dict(tradition.kinds)
    return sum(
        all(other.area < room.area for other in larger)
        for room in rooms
        if room.indoor
        for larger in [[r for r in rooms if r.kind == kinds[room.kind].under]]
        if larger
    )


def _entry_unit(
    site: Site, bays: Bays, tradition: Tradition, wishes: Sequence[Wish], draw: Draw
) -> int | None:
    """A bay of the front wing that reaches the court, off the axis more often than on it."""
    front = site.round(site.courts[0]).get("south")
    if front is None:
        return None
    kind = tradition.the("arrival")
    units = [
        n
        for n, u in enumerate(bays.units)
        if site.wings[u.wing] == front and not u.corner and suits(kind, u.rect, site, (), wishes)
    ]
    if not units:
        raise InfeasibleError(
            f"{kind}: no bay of the front wing is as it is asked for", stage="rooms"
        )
    middle = front.rect.x0 + front.rect.x1
    weights = [
        1 + min(6, abs(bays.units[n].rect.x0 + bays.units[n].rect.x1 - middle)) for n in units
    ]
    return draw.choice(units, "entry", weights)


def _hearth(
    site: Site, bays: Bays, rooms: Sequence[Room], tradition: Tradition, draw: Draw
) -> Hearth:
    """By the ridge, at an end of the kitchen, so that the chimney leaves the roof near its top.

    In a deep wing the beam under the ridge is passed on one side.
    """
    kind = tradition.the("hearth")
    kitchen = next((r for r in rooms if r.kind == kind and r.level == 1), None)
    if kitchen is None:
        raise InfeasibleError(f"rooms: there is no place for a {kind}", stage="rooms")
    rect = kitchen.rect
    wing = next(w for w in site.wings if w.rect.meet(rect).area == rect.area)
    deep = any(line.cells.meets(rect) for line in bays.middle_lines)
    aside = draw.choice((-1, 1), "side of the ridge") if deep else 0
    options: list[tuple[tuple[int, int], Side]]
    if wing.axis == "x":
        y = min(max(wing.middle + aside, rect.y0), rect.y1 - 1)
        options = [((rect.x0, y), "east"), ((rect.x1 - 1, y), "west")]
    else:
        x = min(max(wing.middle + aside, rect.x0), rect.x1 - 1)
        options = [((x, rect.y0), "north"), ((x, rect.y1 - 1), "south")]
    inner = [option for option in options if _backed(option, rooms)]
    found = [Hearth(cell=cell, facing=facing, room=kitchen.id) for cell, facing in inner or options]
    fires = [r for r in rooms if r.indoor and tradition.kind(r.kind).hearth == kind]
    shared = [h for h in found if any(r.level == 1 and r.has(*h.beyond) for r in fires)]
    return draw.choice(shared or found, "hearth")


def _shared(
    hearth: Hearth, rooms: Sequence[Room], segments: Sequence[Wall], tradition: Tradition
) -> Hearth:
    """The hearth with the room whose fire shares its flue: where the wall between is shut."""
    x, y = hearth.back
    shut = any(
        s.level == 1 and s.boundary == "partition" and s.cells.has(x, y)
        and not (s.way is not None and s.way.has(x, y))
        for s in segments
    )  # fmt: skip
    kind = next(r.kind for r in rooms if r.id == hearth.room)
    for room in rooms:
        if shut and room.level == 1 and room.indoor and room.has(*hearth.beyond):
            return replace_fields(
                hearth, behind=room.id * (tradition.kind(room.kind).hearth == kind)
            )
    return hearth


def _backed(option: tuple[tuple[int, int], Side], rooms: Sequence[Room]) -> bool:
    """Whether another room lies behind a hearth: outer walls are kept for windows."""
    (x, y), facing = option
    dx, dy = STEP[facing]
    return any(r.level == 1 and r.indoor and r.has(x - 2 * dx, y - 2 * dy) for r in rooms)


def _sink(room: Room, entrances: Sequence[Entrance], tradition: Tradition) -> Room:
    """The entry's floor lies at ground level in the two rows inside its door."""
    for entrance in entrances:
        mine = entrance.kind == "front" and entrance.room == room.id
        if mine and tradition.kind(room.kind).arrival:
            rect = room.rect
            return replace(room, sunken=(Rect(rect.x0, rect.y0, rect.x1, rect.y0 + 2),))
    return room
