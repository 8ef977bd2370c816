"""Rooms: the units joined to rooms, each given its kind; the stair, the hearth, and the ways between."""

from __future__ import annotations

from collections.abc import Callable, Container, Sequence
from dataclasses import dataclass
from functools import partial

from msgspec.structs import replace

from genhouse.core.box import Rect
from genhouse.core.draw import Draw
from genhouse.core.errors import InfeasibleError
from genhouse.model.brief import Wish
from genhouse.model.elements import Wall
from genhouse.model.room import Room, Stair
from genhouse.stages.bays import Bays
from genhouse.stages.galleries import Walk, most_sides, plan_walks
from genhouse.stages.outdoors import with_walks
from genhouse.stages.seats.answers import seen, unmet
from genhouse.stages.seats.programme import kinds_above
from genhouse.stages.seats.storeys import Seated, seat_storeys
from genhouse.stages.site import Site
from genhouse.stages.ways.doors import FOOT
from genhouse.stages.ways.entrances import Entrance, screen_wall
from genhouse.stages.ways.flues import Flue, cold, plan_flues
from genhouse.stages.ways.hearths import Hearth, fires, shared_flue
from genhouse.stages.ways.openings import open_walls
from genhouse.traditions.tradition import Tradition

TRIES = 4
"""Entries and stairs that are tried until a client's wishes are met and nothing is amiss."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rooms:
    """gate: the cell at the plot's edge where a visitor stands.

    strung: rooms to which one comes only through a private one.  amiss: these, halls that are larger
    than a room that should be larger than they, and warm rooms that no fire warms.  screen: the wall
    across a bent way in.  flues: under warm floors.
    """

    rooms: tuple[Room, ...]
    segments: tuple[Wall, ...]
    stairs: tuple[Stair, ...]
    hearth: Hearth
    entrances: tuple[Entrance, ...]
    gate: tuple[int, int]
    strung: int = 0
    amiss: int = 0
    screen: Rect | None = None
    flues: tuple[Flue, ...] = ()

    @property
    def shaft(self) -> tuple[int, int]:
        """The cell where smoke goes up past the roof."""
        return self.flues[0].stack if self.flues else self.hearth.cell

    @property
    def front(self) -> Rect:
        """The cells of the front door, or of the gate in a wall."""
        return self.entrances[0].way

    @property
    def rising(self) -> tuple[Wall, ...]:
        """The walls that rise to the roof: all of an upper storey, and those in which a ceiling ends."""
        return tuple(s for s in self.segments if s.rises)

    @property
    def lofty(self) -> tuple[Room, ...]:
        """The rooms that are open to the roof."""
        return tuple(r for r in self.rooms if r.to_roof and r.indoor)

    def flights(self, level: int) -> tuple[Stair, ...]:
        """The stairs that rise from a storey."""
        here = {room.id for room in self.on(level)}
        return tuple(stair for stair in self.stairs if stair.room in here)

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
    """Seat the rooms of every storey and decide every opening.

    gallery: as a brief asks for it; where it leaves that open and private rooms above would else be
    strung together, one runs along every side that can carry it.  Raises InfeasibleError, saying which
    wishes are unmet, where no try meets them all.
    """
    above, rule = len(tradition.storeys) > 1, tradition.plan
    walks = plan_walks(site, gallery, rule, draw.at("galleries")) if above else ()
    whole = partial(_plan, site, bays, tradition, wishes)
    found, least = _best(whole, walks, draw)
    if found is None:
        raise InfeasibleError(f"no plan on this plot meets {'; '.join(least)}", stage="rooms")
    sides = most_sides(site)
    if above and gallery is None and rule.gallery[0] and found.strung and sides:
        more, _ = _best(whole, plan_walks(site, sides, rule, draw.at("galleries")), draw)
        if more is not None and more.strung < found.strung:
            return more
    return found


Whole = Callable[[Sequence[Walk], Draw, "Rooms | None"], "Rooms | tuple[str, ...] | None"]
"""A plan with these walks, or the wishes that it leaves unmet; None where it betters no plan before it."""


def _best(whole: Whole, walks: Sequence[Walk], draw: Draw) -> tuple[Rooms | None, tuple[str, ...]]:
    """The plan of a few that meets every wish and leaves least amiss; or the fewest unmet wishes."""
    best: Rooms | None = None
    least: tuple[str, ...] = ()
    for n in range(TRIES):
        try:
            found = whole(walks, draw.at(n) if n else draw, best)
        except InfeasibleError as error:
            least = least or (str(error),)
            continue
        if isinstance(found, tuple):
            least = found if not least or len(found) < len(least) else least
        elif best is None or (found is not None and found.amiss < best.amiss):
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
    best: Rooms | None,
) -> Rooms | tuple[str, ...] | None:
    """One plan, or the wishes that it leaves unmet; None where its rooms show that it betters none that is
    known.  Raises InfeasibleError where there is none."""

    def given_up(rooms: Sequence[Room], level: int) -> bool:
        if best is None:
            return False
        return _overgrown(rooms, tradition, kinds_above(tradition, wishes, level)) >= best.amiss

    seated = seat_storeys(site, bays, tradition, wishes, walks, draw, given_up)
    if seated is None:
        return None
    rooms = with_walks(site, seated.rooms, walks, tradition)
    found = _opened(site, bays, seated, rooms, tradition, draw)
    return (unmet(seen(found.rooms, found.segments), wishes) if wishes else ()) or found


def _opened(
    site: Site,
    bays: Bays,
    seated: Seated,
    rooms: tuple[Room, ...],
    tradition: Tradition,
    draw: Draw,
) -> Rooms:
    """The rooms with every wall and its openings.  rooms: those that are seated, and upper walks."""
    hearth, stairs = seated.hearth, seated.stairs
    hot = fires(hearth, rooms, tradition)
    opened = open_walls(site, bays, rooms, stairs, hot, tradition, draw.at("openings"))
    front = opened.entrances[0]
    arrival = next((room for room in rooms if room.id == front.room), None)
    bent = arrival is not None and tradition.kind(arrival.kind).bent
    hearth = shared_flue(hearth, rooms, opened.walls, tradition)
    flues = plan_flues(site, rooms, opened.entrances, hearth, tradition)
    return Rooms(
        rooms=tuple(_sunk(room) if room.id == front.room else room for room in rooms),
        segments=opened.walls,
        stairs=stairs,
        hearth=hearth,
        entrances=opened.entrances,
        gate=(front.way.x0, site.before(front.way.x0, front.way.y0)),
        strung=opened.strung,
        screen=screen_wall(front, arrival) if arrival is not None and bent else None,
        amiss=opened.strung + _overgrown(rooms, tradition) + cold(rooms, flues, hearth, tradition),
        flues=flues,
    )


def _sunk(room: Room) -> Room:
    """A room whose floor lies at ground level in the two rows inside the front door."""
    rect = room.rect
    return replace(room, sunken=(Rect(rect.x0, rect.y0, rect.x1, rect.y0 + FOOT),))


def _overgrown(rooms: Sequence[Room], tradition: Tradition, more: Container[str] = ()) -> int:
    """Rooms as large as every room of the kind that should be larger, or larger.  more: kinds of which
    there may be others yet, so that nothing is said of what should be smaller."""
    return sum(
        all(other.area <= room.area for other in larger)
        for room in rooms
        if room.indoor and (under := tradition.kind(room.kind).under) not in more
        for larger in [[r for r in rooms if r.kind == under]]
        if larger
    )
