"""Fronts: all the walls of a range that one sees at once, composed as a whole.

Each bay tells what stands behind it: its look is one that the kind of room may wear.  Bays at the same
distance from the middle wear the same where both may; a storey has one cladding and one band.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import groupby
from typing import NamedTuple

from msgspec.structs import replace

from genhouse.core.axes import FLANKS, STEP
from genhouse.core.box import Box, Rect
from genhouse.core.draw import Draw
from genhouse.model.elements import Jut, Wall, rows_of
from genhouse.stages.roof import Roof
from genhouse.stages.roofs.slopes import NONE, Field, by_cell
from genhouse.stages.rooms import Rooms
from genhouse.stages.site import Site
from genhouse.stages.ways.stretches import middle
from genhouse.traditions.looks import Dress
from genhouse.traditions.tradition import Tradition

Row = tuple[Wall, ...]
PORCH = 3
"""Cells round a door that its porch and the way to it take."""
Filling = tuple[str, ...]
"""Pieces in an opening, from its foot up."""
OPENED = "blank"
"""What a bay wears beside its screens or its door."""
ROUNDS = 2
UNLIKE, ALONE, UNTOLD = 4, 3, 1
"""How much an eye minds a bay unlike its pair, one that stands alone, and a look that tells less."""


def dressed(rooms: Rooms, tradition: Tradition, draw: Draw) -> tuple[Wall, ...]:
    """The walls of a house, those to outdoors and to courts with what they wear, all by one scheme."""
    schemes = [scheme for _, scheme in tradition.front.schemes]
    scheme = draw.choice(schemes, "scheme", [one.weight for one in schemes])
    kinds = {room.id: room.kind for room in rooms.rooms if room.indoor}
    seen = [
        replace(wall, face=FLANKS[wall.axis][wall.low in kinds]) if wall.exposed else wall
        for wall in rooms.segments
    ]
    worn: dict[Wall, Wall] = {}
    for front in planes(seen):
        dress: Dress = getattr(scheme, rank_of(front[0][0]))
        bays = [[_bay(wall, dress, kinds, tradition) for wall in row] for row in front]
        for row, looks in zip(front, composed(bays), strict=True):
            for wall, look in zip(row, looks, strict=True):
                clad = dress.storeys[min(wall.level, len(dress.storeys)) - 1]
                worn[wall] = replace(wall, look=look, clad=clad, band=dress.band)
    return tuple(worn.get(wall, wall) for wall in seen)


def planes(walls: Iterable[Wall]) -> Iterator[list[Row]]:
    """The fronts of a house: rows of walls in one plane, storey over storey."""

    def plane(wall: Wall) -> tuple[str, str, int]:
        return wall.boundary, wall.face or "", wall.lie.y0

    for _, some in groupby(sorted((w for w in walls if w.face), key=plane), plane):
        yield [tuple(row) for row in rows_of(some)]


def rank_of(wall: Wall) -> str:
    """Where the front of a wall looks; the lane lies to the south."""
    if wall.boundary == "court":
        return "court"
    return {"south": "lane", "north": "back"}.get(wall.face or "", "side")


class Bay(NamedTuple):
    """may: looks that it may wear, the most telling first, each with what fills its opening or is beside
    its door.  shape: how its opening lies.  door: whether people go in there, so that it is unlike any
    other.  blind: whether it has no window that others should answer."""

    may: tuple[tuple[str, Filling], ...]
    shape: str = ""
    door: bool = False
    blind: bool = False


def composed(front: Sequence[Sequence[Bay]]) -> list[list[str]]:
    """A look for each bay of each row: pair by pair across the middle, what leaves the front calmest.

    >>> a, b, c, d = ((look, (look,)) for look in "abcd")
    >>> composed([[Bay((a, b)), Bay((c,)), Bay((b, d))]])
    [['b', 'c', 'b']]
    """
    worn = [[bay.may[0] for bay in row] for row in front]
    pairs = [(n, i) for n, row in enumerate(front) for i in range((len(row) + 1) // 2)]
    asking = [(n, i) for n, bays in enumerate(front) for i in range(len(bays)) if _asks(bays, i)]
    for n, i in pairs * ROUNDS:
        bays, row = front[n], worn[n]
        low, high, pair = bays[i], bays[-1 - i], {i, len(bays) - 1 - i}
        if len(low.may) == len(high.may) == 1:
            continue
        ways = []
        for one in low.may:
            for other in (one,) if len(pair) == 1 else high.may:
                row[i], row[-1 - i] = one, other
                weight = sum(_amiss(bays, row, k) for k in pair) + len({look for look, _ in row})
                ways.append((weight + _alone(asking, worn), one, other))
        _, row[i], row[-1 - i] = min(ways, key=lambda way: way[0])
    return [[look for look, _ in row] for row in worn]


Worn = Sequence[tuple[str, Filling]]
"""The look of each bay of a row."""


def _asks(bays: Sequence[Bay], i: int) -> bool:
    """Whether an opening off the middle wants another that answers it."""
    return not (bays[i].door or bays[i].blind or 2 * i == len(bays) - 1)


def _amiss(bays: Sequence[Bay], row: Worn, i: int) -> int:
    """How much a bay is unlike its pair, and tells less than it might."""
    bay, pair, (look, _), (other, _) = bays[i], bays[-1 - i], row[i], row[-1 - i]
    unlike = not bay.door and (look, bay.shape) != (other, pair.shape)
    return UNTOLD * min(bay.may.index(row[i]), ALONE - 1) + UNLIKE * unlike


def _alone(asking: Sequence[tuple[int, int]], worn: Sequence[Worn]) -> int:
    """How much an eye minds openings that nothing on the front answers."""
    fillings = Counter([filling for row in worn for _, filling in row])
    return ALONE * sum(fillings[worn[n][i][1]] == 1 for n, i in asking)


def _bay(wall: Wall, dress: Dress, kinds: Mapping[int, str], tradition: Tradition) -> Bay:
    worn = tradition.kind(kinds[wall.low if wall.low in kinds else wall.high])
    front, door = tradition.front, wall.opening == "entrance"
    some = {"window": (*worn.windows, ""), "none": worn.walls, "entrance": front.doors}
    names = (OPENED,) if wall.abuts else some.get(wall.opening, (OPENED,))
    firm = [name for name in names if name and front.look(name).firm]
    names = tuple(firm[:1]) or names
    plain = dress.plain(wall.level)
    looks = {name or plain: front.look(name or plain) for name in names}
    high = wall.lintel - wall.floor
    whole = wall.way in (None, middle(wall))
    return Bay(
        may=tuple(
            (name, tuple(row[1 if door else 2] for row in look.rows(high)))
            for name, look in looks.items()
        ),
        shape="" if whole else str(wall.way == wall.cells),
        door=door,
        blind=wall.opening != "window",
    )


def juts(site: Site, rooms: Rooms, roof: Roof, tradition: Tradition) -> Iterator[Jut]:
    """What stands before the openings of a front to the lane, in pairs, in the middle or over against the
    door: on the ground before the widest of these, above before all."""
    under = by_cell(roof.under)
    taken = [*site.built, *(e.way.grown(PORCH) for e in rooms.entrances)]
    for row in (row for front in planes(rooms.segments) for row in front):
        if rank_of(row[0]) == "lane":
            fit = [_jut(wall, tradition) for wall in row]
            free = [
                jut
                if jut and is_clear(jut.box, taken, under) and _stands(jut, row[0], site)
                else None
                for jut in fit
            ]
            yield from _matched(row, free, all_of_them=row[0].level > 1)


def _matched(row: Row, free: Sequence[Jut | None], *, all_of_them: bool) -> Iterator[Jut]:
    """Of what could stand before the bays of a row, what is answered across the middle."""
    pairs = list(zip(free, free[::-1], row[::-1], strict=True))
    some = [j for j, other, over in pairs if j and (other or over.opening == "entrance")]
    best = max((j.box.rect.area for j in some), default=0)
    first = next((i for i, j in enumerate(free) if j in some and j and j.box.rect.area == best), 0)
    chosen = {first, len(row) - 1 - first}
    yield from (j for i, j in enumerate(free) if j and j in some and (all_of_them or i in chosen))


def _jut(wall: Wall, tradition: Tradition) -> Jut | None:
    """What may stand before a window by its look."""
    look = tradition.front.look(wall.look)
    low = wall.level == 1 and wall.floor > wall.z0
    name = look.jut if low else look.rail
    if wall.way is None or not name:
        return None
    kind, foot = tradition.front.jut(name), wall.floor - 1
    top = wall.lintel + 1 if kind.roofed else foot + len(kind.pieces)
    (dx, dy), way = STEP[wall.face or "south"], wall.way
    before = Rect(way.x0 + dx, way.y0 + dy, way.x1 + dx, way.y1 + dy)
    return Jut(use=name, box=before.up(foot, top), side=wall.face or "")


def _stands(jut: Jut, wall: Wall, site: Site) -> bool:
    """Whether a cell is left at either hand of it, in an inner corner too, and the ground below it lies as
    high as in its wall."""
    a0, b0, a1, b1 = jut.box.rect.lie(wall.axis)
    falls = {site.fall(*c) for c in jut.box.rect.cells()} if wall.level == 1 else set()
    level = falls <= {site.fall(*wall.cells[:2])}
    return level and not any(map(Rect(a0 - 1, b0, a1 + 1, b1).lie(wall.axis).meets, site.built))


def is_clear(box: Box, taken: Sequence[Rect], under: Field) -> bool:
    """Whether a place lies on the plot, nothing stands there, and no roof comes down to it."""
    if not Rect(0, 0, *under.shape).holds(box.rect):
        return False
    roofs = (int(under[cell]) for cell in box.rect.cells())
    return not any(map(box.rect.meets, taken)) and all(h == NONE or h >= 2 * box.z1 for h in roofs)
