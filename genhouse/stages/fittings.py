"""Fittings: what makes a room a bedroom or a kitchen, placed so that all of it can be reached and used.

What a room gets is drawn from its kind: the telling ones first, then what may join them until it is
neither bare nor crammed.  Where they stand is searched, see ``furnishing/search`` and ``furnishing/worth``.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from genhouse.core.box import Rect
from genhouse.core.draw import Draw, nth
from genhouse.core.numbers import nths
from genhouse.model.elements import Fitted, Placed
from genhouse.model.laid import Laid
from genhouse.model.room import Room
from genhouse.stages.court import Court
from genhouse.stages.furnishing.beams import Beams
from genhouse.stages.furnishing.choices import Wish, words_of
from genhouse.stages.furnishing.columns import columns, columns_at
from genhouse.stages.furnishing.floorplan import Floor
from genhouse.stages.furnishing.outdoors import seats
from genhouse.stages.furnishing.search import Area, Furnished, chosen_of, furnished, side_by_side
from genhouse.stages.furnishing.stances import Stance
from genhouse.stages.rooms import Rooms
from genhouse.stages.ways.hearths import Hearth
from genhouse.traditions.tradition import FACING, Fitting, Kind, Tradition

ORDER = 100
"""The first of the numbers of a room's word that put its extras in order; those before give hands."""


def plan_fittings(
    rooms: Rooms, floors: Sequence[Floor], tradition: Tradition, draw: Draw
) -> tuple[Fitted, ...]:
    """Furnish every indoor room."""
    by_id = {room.id: room for room in rooms.rooms}
    words = words_for(floors, draw)
    mine = [by_id[f.room] for f in floors]
    sets = sets_for(mine, tradition, draw)
    found = furnish(mine, floors, rooms.hearth, tradition, words, sets)
    return tuple(
        fitted
        for furnished, word in zip(found, words, strict=True)
        for fitted in _fitted(furnished, by_id[furnished.floor.room], word)
    )


def plan_seats(
    rooms: Rooms, courts: Sequence[Court], laid: Laid, tradition: Tradition, draw: Draw
) -> tuple[Fitted, ...]:
    """Where one sits out of doors, beside the verandas.  laid: all that stands, the gardens too."""
    found = seats(rooms.rooms, courts, laid, tradition, draw.at("veranda"))
    return tuple(
        Fitted(
            name=name,
            room=court.id,
            cells=rect,
            floor=court.floor - bool(court.sunken),
            facing=side,
        )
        for name, court, rect, side in found
    )


def words_for(floors: Sequence[Floor], draw: Draw) -> list[int]:
    """A drawn word for each room."""
    word = draw.word("furnish")
    return [nth(word, floor.room) for floor in floors]


def sets_for(rooms: Sequence[Room], tradition: Tradition, draw: Draw) -> list[tuple[str, ...]]:
    """The set of each room: those that choose among the same take one after another from a drawn one on."""
    found: list[tuple[str, ...]] = []
    asked: Counter[tuple[tuple[str, ...], ...]] = Counter()
    for room in rooms:
        sets = tradition.kind(room.kind).sets
        first = draw.below(len(sets), f"set/{'/'.join(sets[0])}") if sets else 0
        found.append(sets[(first + asked[sets]) % len(sets)] if sets else ())
        asked[sets] += 1
    return found


def furnish(
    rooms: Sequence[Room],
    floors: Sequence[Floor],
    hearth: Hearth,
    tradition: Tradition,
    words: Sequence[int],
    sets: Sequence[tuple[str, ...]],
) -> list[Furnished]:
    """Choose what each room holds and search where it stands.

    words: a drawn one for each room.  sets: of fittings that each is known by, beside those of its kind.
    """
    if not rooms:
        return []
    fittings = dict(tradition.fittings)
    kinds = [tradition.kind(room.kind) for room in rooms]
    size = words_of(floors)
    stoves = [_stove(floor, hearth, fittings, size) for floor in floors]
    telling = [(*kind.fittings, *some) for kind, some in zip(kinds, sets, strict=True)]
    most = tradition.most
    hands, orders = nths(words, range(most)), nths(words, range(ORDER, ORDER + most))
    wanted = [
        _wanted(_names(first, kind, order), floor, fittings, its, size)
        for first, kind, floor, its, order in zip(
            telling, kinds, floors, hands, orders, strict=True
        )
    ]
    areas = [Area.of(floor, word) for floor, word in zip(floors, words, strict=True)]
    chosen = [
        chosen_of(some, len(first), area, sum(wish.area for wish in stove))
        for first, area, stove, some in zip(telling, areas, stoves, wanted, strict=True)
    ]
    beams = Beams(floors, 1 + most)
    beams.bare.look(
        (n, wish)
        for n, (stove, some) in enumerate(zip(stoves, chosen, strict=True))
        for wish in (*stove, *(either.likely for either in some))
    )
    return side_by_side(
        beams,
        [
            furnished(beams, n, *each)
            for n, each in enumerate(zip(stoves, chosen, wanted, areas, strict=True))
        ],
    )


def _wanted(
    names: Sequence[str],
    floor: Floor,
    fittings: dict[str, Fitting],
    hands: Sequence[int],
    words: int,
) -> Iterator[Iterator[Wish]]:
    """What a room would like, each followed by the smaller ones that may stand for it."""
    size = floor.rect.width, floor.rect.depth
    for name, hand in zip(names, hands, strict=False):
        yield _either(name, fittings, hand, *size, words)


def _either(
    name: str, fittings: dict[str, Fitting], hand: int, width: int, depth: int, words: int
) -> Iterator[Wish]:
    mirror, mix = bool(hand & 1), hand >> 32
    while name:
        fitting = fittings[name]
        if fitting.against != "flue":
            its = columns(fitting, mirror, width, depth, words)
            if its.stances:
                yield Wish(name, fitting, its, mirror, mix)
        name = fitting.smaller


def _names(telling: Sequence[str], kind: Kind, drawn: Sequence[int]) -> list[str]:
    """What a room of this kind would like, the telling ones first."""
    order = sorted(range(len(kind.extras)), key=drawn.__getitem__)
    return [*telling, *(kind.extras[n] for n in order)]


def _stove(
    floor: Floor, hearth: Hearth, fittings: dict[str, Fitting], words: int
) -> tuple[Wish, ...]:
    """What stands at the flue, in the room that has it."""
    name = next((n for n, f in fittings.items() if f.against == "flue"), None)
    if hearth.room != floor.room or name is None:
        return ()
    (x, y), before = hearth.cell, floor.bit(*hearth.before)
    left, low = x - floor.rect.x0, y - floor.rect.y0
    stance = Stance(
        cells=Rect(left, low, left + 1, low + 1),
        facing=FACING.index(hearth.facing),
        ahead=0,
        solid=floor.bit(x, y),
        tall=0,
        use=before,
        front=before,
    )
    size = floor.rect.width, floor.rect.depth
    its = columns_at(fittings[name], stance, *size, words)
    return (Wish(name, fittings[name], its, False, 0),)


def _fitted(furnished: Furnished, room: Room, word: int) -> Iterator[Fitted]:
    floor, r = furnished.floor, furnished.floor.rect
    for n, (stood, wish) in enumerate(zip(furnished.room, furnished.wishes, strict=True)):
        x0, y0, x1, y1 = stood.stance.cells
        tints = enumerate(stood.fitting.tints, 1000 + 10 * n)
        yield Fitted(
            name=stood.name,
            room=room.id,
            cells=Rect(x0 + r.x0, y0 + r.y0, x1 + r.x0, y1 + r.y0),
            floor=room.floor,
            facing=FACING[stood.stance.facing],
            use=tuple(floor.cells(stood.stance.use)),
            mirror=wish.mirror,
            tints=tuple(nth(word, m) % len(roles) for m, roles in tints),
        )


def lacking(rooms: Rooms, placed: Sequence[Placed], tradition: Tradition, people: int) -> str:
    """What so many people lack of beds and of places at one table; empty where they lack nothing."""
    fittings = dict(tradition.fittings)
    eating = {room.id for room in rooms.rooms if room.kind == tradition.household.eat[0]}
    beds = sum(fittings[p.name].sleeps for p in placed)
    seats = sum(fittings[p.name].seats for p in placed if p.room in eating)
    lacks = [
        f"{what} for {n}" for n, what in ((beds, "beds"), (seats, "places at table")) if n < people
    ]
    return f"people: there are {' and '.join(lacks)}, and {people} live here" if lacks else ""


def unseated(rooms: Rooms, placed: Sequence[Fitted], tradition: Tradition) -> bool:
    """Whether there are fewer places at table than in bed."""
    fittings = dict(tradition.fittings)
    eating = {r.id for r in rooms.rooms if r.indoor and tradition.kind(r.kind).seats[0]}
    seats = sum(fittings[p.name].seats for p in placed if p.room in eating)
    return seats < sum(fittings[p.name].sleeps for p in placed)


def cautions(placed: Sequence[Fitted], tradition: Tradition) -> tuple[tuple[str, str], ...]:
    """The fittings in place that need care, each with its caution, in the tradition's order."""
    names = {p.name for p in placed}
    return tuple((n, f.caution) for n, f in tradition.fittings if f.caution and n in names)
