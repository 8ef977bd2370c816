"""The programme as a puzzle: the floor's atoms and places, the kinds asked for, what each is worth."""

from __future__ import annotations

from collections.abc import Sequence
from functools import reduce
from operator import add, or_
from typing import Any, NamedTuple

from genhouse.core.box import Rect
from genhouse.core.draw import Draw
from genhouse.model.brief import Wish
from genhouse.model.room import Room
from genhouse.stages.seats.places import Place
from genhouse.stages.seats.seating import Ask, Puzzle, Settled
from genhouse.traditions.tradition import Kind, Tradition

OPENS = 3
"""Cells along an upper walk by which a room can open to it."""
GRAVE = 20
"""Faults of a house without its hearth: nothing else is worth that."""
USUAL = 40
"""What a kind is worth that a house usually needs, where a client's programme does not name it."""
NEVER = 50
"""Faults of a room that may not be seated at all."""
AMISS = 500
"""What a room costs that is smaller than one it should surpass, or without a window: more than any
likes."""
EXCESS = 30
"""What each cell costs by which a room is larger than its kind may be: the more, the sooner it is cut."""
ABOVE = 5
"""Sleepers of the upper storey for whom most houses have places at table."""
WORK = 40
"""What it is worth that rooms for work lie by the service court, and others do not."""
ELSEWHERE = 200
"""What a room costs that lies in no wing of its kind's."""
WHIM = 14
"""What a house's own taste for a kind is worth, at most."""


Line = tuple[str, Wish | None]
"""A kind of room, and the line of a client's programme that asks for it."""


def lines(tradition: Tradition, wishes: Sequence[Wish], level: int) -> tuple[Line, ...]:
    """The kinds that a storey may hold, each once for every line that asks for it there.

    Kinds of the highest storey that the tradition knows lie on all above it too.
    """
    own = min(level, max(kind.level for _, kind in tradition.kinds))
    found: list[Line] = []
    for name, kind in tradition.kinds:
        mine = [wish for wish in wishes if wish.kind == name]
        if mine:
            found += [
                (name, w) for w in mine if w.storey == level or (not w.storey and kind.level == own)
            ]
        elif kind.level == own:
            found.append((name, None))
    return tuple(found)


def kinds_above(tradition: Tradition, wishes: Sequence[Wish], level: int) -> frozenset[str]:
    """The kinds of which there may be rooms above a storey, whether they are asked for or settled there."""
    upper = range(level + 1, len(tradition.storeys) + 1)
    asked = {name for n in upper for name, _ in lines(tradition, wishes, n)}
    settled = {
        name
        for name, kind in tradition.kinds
        if upper and (kind.level > level or kind.head or kind.climbs or kind.way)
    }
    return frozenset(asked | settled)


def asks(
    tradition: Tradition,
    wanted: Sequence[Line],
    wishes: Sequence[Wish],
    there: Sequence[str] = (),
    below: Sequence[Room] = (),
) -> tuple[Ask, ...]:
    """What is asked of each line of a storey.  wishes: the whole programme.  there: settled kinds.

    below: rooms under it; those on a storey of their kind count, where no line names another.
    """
    done = [r.kind for r in below if r.level >= tradition.kind(r.kind).level]
    numbered: dict[str, list[int]] = {}
    for n, (name, _) in enumerate(wanted):
        numbered.setdefault(name, []).append(n)

    def numbers(*names: str) -> frozenset[int]:
        return frozenset(n for name in names for n in numbered.get(name, ()))

    found: list[Ask] = []
    for k, (name, wish) in enumerate(wanted):
        kind = tradition.kind(name)
        least, most = (wish.count, wish.count) if wish else (_least(name, kind, wishes), kind.most)
        if numbered[name][0] == k:
            seated = there.count(name) + done.count(name) * (wish is None or wish.storey is None)
            least, most = (max(0, n - seated) for n in (least, most))
        found.append(
            Ask(
                kind=name,
                least=0 if kind.settled else least,
                most=0 if kind.settled else most,
                grave=GRAVE if name == kind.hearth else 1,
                near=numbers(*kind.near),
                far=numbers(*kind.far),
                beside=tuple(numbers(*group) for group in _beside(name, kind, wish)),
                away=numbers(*wish.away) if wish else frozenset(),
                private=kind.private,
            )
        )
    return tuple(found)


def _beside(name: str, kind: Kind, wish: Wish | None) -> tuple[tuple[str, ...], ...]:
    """Groups of kinds, of each of which it must have one beside it: unasked, that whose flue it shares, and
    those that it belongs by."""
    if wish:
        return wish.neighbours
    flue = ((kind.hearth,),) if kind.hearth not in ("", name) else ()
    return (*flue, *((other,) for other in kind.by))


def _least(name: str, kind: Kind, wishes: Sequence[Wish]) -> int:
    """What a house needs of a kind nobody asked for; a client's own programme leaves only the hearth."""
    return kind.need if not wishes or name == kind.hearth else 0


def puzzle(
    floor: Sequence[Place],
    settled: Sequence[tuple[str, Rect]],
    tradition: Tradition,
    wishes: Sequence[Wish],
    level: int,
    draw: Draw,
    below: Sequence[Room] = (),
    walks: Sequence[Sequence[Rect]] = (),
) -> Puzzle:
    """The seating of one storey.

    settled: rooms that have their place already.  below: those under it; none at the lowest.  walks:
    upper walks, each the strips of its floor.  Who may sleep above is thought of below.
    """
    wanted = lines(tradition, wishes, level)
    names, wished = [name for name, _ in wanted], [wish for _, wish in wanted]
    kinds = [tradition.kind(name) for name in names]
    whim = [
        draw.below(WHIM, f"taste/{name}") + kind.weight + USUAL * bool(wishes and kind.need)
        for name, kind in zip(names, kinds, strict=True)
    ]
    surpassed = [
        max((r.area for k, r in settled if tradition.kind(k).under == name), default=0)
        for name in names
    ]
    tastes = [_Taste.of(*some) for some in zip(kinds, wished, whim, surpassed, strict=True)]
    sizes = [_size(place.rect) for place in floor]
    lies = [(p.court, p.lit, p.depth, p.work, p.wing) for p in floor]
    # Places are alike in one or the other: what is said of either is said once for all of these.
    of_size = {size: [taste.of_size(*size) for taste in tastes] for size in dict.fromkeys(sizes)}
    of_lie = {lie: [taste.of_lie(*lie) for taste in tastes] for lie in dict.fromkeys(lies)}
    at_table = {size: tuple(kind.spare(*size) for kind in kinds) for size in dict.fromkeys(sizes)}
    by_settled = [
        frozenset(n for n, p in enumerate(floor) if touch(p.rect, rect)) for _, rect in settled
    ]
    return Puzzle(
        atoms=reduce(or_, (place.atoms for place in floor), 0),
        places=tuple(place.atoms for place in floor),
        touching=_touching(floor),
        asks=asks(tradition, wanted, wishes, [kind for kind, _ in settled], below),
        fit=tuple(
            tuple(map(add, of_size[size], of_lie[lie]))
            for size, lie in zip(sizes, lies, strict=True)
        ),
        unfit=tuple(
            zip(
                *(
                    _unfit(floor, kind, wish, there=any(name == k for k, _ in settled))
                    for name, kind, wish in zip(names, kinds, wished, strict=True)
                ),
                strict=True,
            )
        ),
        settled=tuple(
            Settled(
                places,
                names.index(kind),
                frozenset(names.index(k) for k, r in settled if k in names and touch(r, rect)),
            )
            for (kind, rect), places in zip(settled, by_settled, strict=True)
            if kind in names
        ),
        **_ways(floor, settled, by_settled, walks, verandas=not below),
        table=tuple(map(at_table.__getitem__, sizes)),
        spare=sum(tradition.kind(r.kind).spare(*_size(r.rect)) for r in below)
        - ABOVE * (not below and draw.chance(3, 4, "sleepers above")),
    )


def _ways(
    floor: Sequence[Place],
    settled: Sequence[tuple[str, Rect]],
    by_settled: Sequence[frozenset[int]],
    walks: Sequence[Sequence[Rect]],
    *,
    verandas: bool,
) -> dict[str, Any]:
    """The places that have no way of their own, and those that each walk joins.  by_settled: those beside
    each settled room.

    Settled rooms lead to what is beside them, verandas to all that opens to a court, the open to what
    stands apart.
    """
    joined = [
        (
            frozenset(n for n, p in enumerate(floor) if opens_to(p.rect, walk)),
            any(opens_to(rect, walk) for _, rect in settled),
        )
        for walk in walks
    ]
    first = frozenset[int]().union(*by_settled, *(places for places, here in joined if here))
    return {
        "inner": frozenset(
            n
            for n, p in enumerate(floor)
            if n not in first and not (verandas and (p.court or p.apart))
        ),
        "walks": tuple(places for places, here in joined if not here),
    }


def opens_to(rect: Rect, strips: Sequence[Rect]) -> bool:
    """Whether a room has a side to some strips of floor, not just a corner at the end of one."""
    x0, y0, x1, y1 = rect
    return any(
        touch(rect, r)
        and max(min(x1, r.x1) - max(x0, r.x0), min(y1, r.y1) - max(y0, r.y0)) >= OPENS
        for r in strips
    )


def _touching(floor: Sequence[Place]) -> tuple[frozenset[int], ...]:
    """For each place the others that share a wall with it: just one wall line stands between."""
    found: list[set[int]] = [set() for _ in floor]
    starts: dict[tuple[int, int], list[int]] = {}
    for n, place in enumerate(floor):
        for axis in (0, 1):
            starts.setdefault((axis, place.rect[axis]), []).append(n)
    for i, place in enumerate(floor):
        for axis in (0, 1):
            low, high = place.rect[1 - axis], place.rect[3 - axis]
            for j in starts.get((axis, place.rect[axis + 2] + 1), ()):
                other = floor[j].rect
                if low < other[3 - axis] and other[1 - axis] < high:
                    found[i].add(j)
                    found[j].add(i)
    return tuple(map(frozenset, found))


class _Taste(NamedTuple):
    """What makes a place worth something for a kind.

    area: least, best and most cells.  depth, step: how far from the gate it likes to lie, and what each
    tenth of the way off that costs.  whim: the house's own taste.  surpassed: the floor of a settled room
    that should be smaller.
    """

    kind: Kind
    area: tuple[int, int, int]
    depth: int
    step: int
    whim: int
    surpassed: int

    @classmethod
    def of(cls, kind: Kind, wish: Wish | None, whim: int, surpassed: int) -> _Taste:
        least, best, most = kind.area
        if wish and wish.area:
            least, most = wish.area
            best = min(max(best, least), most)
        quiet = wish.quiet if wish else None
        depth, step = (kind.depth, 3) if quiet is None else (10 * quiet, 6)
        return cls(kind, (least, best, most), depth, step, whim, surpassed)

    def of_size(self, short: int, long: int) -> int:
        """What breadth and length are worth."""
        (least, best, most), area = self.area, short * long
        worth = self.whim - abs(area - best) * (1 if least <= area <= most else 2)
        worth -= 0 if least <= area <= most else 30
        worth -= 4 * (long - 3 * short) if long > 3 * short else 0
        worth -= EXCESS * (area - most + 12) if area > most else 0
        return worth - AMISS // 4 * (8 * (area < self.surpassed) + (area == self.surpassed))

    def of_lie(self, court: bool, lit: bool, depth: int, work: int, wing: str) -> int:
        """What it is worth where a place lies: see ``Place``."""
        kind = self.kind
        worth = (WORK if kind.work else -WORK) * work
        worth -= 0 if court or kind.floor == "flag" else 25
        # Rooms for work go by the service court, and no longer by how far the gate is.
        worth -= 0 if kind.work and work else self.step * abs(depth - self.depth)
        worth -= AMISS * (not lit and not kind.dark)
        return worth - ELSEWHERE * (bool(kind.wings) and wing not in kind.wings)


def _size(rect: Rect) -> tuple[int, int]:
    """Breadth and length."""
    x0, y0, x1, y1 = rect
    across, along = x1 - x0, y1 - y0
    return (across, along) if across < along else (along, across)


def _unfit(floor: Sequence[Place], kind: Kind, wish: Wish | None, *, there: bool) -> list[int]:
    """How many of the client's wishes a room of this kind would break in each place.

    there: whether one has its place already; of a kind that lies on the axis there is no other.
    """
    if kind.settled or wish is None:
        return [NEVER * (kind.settled or (kind.axial and there))] * len(floor)
    least, most = wish.area or (0, max((place.rect.area for place in floor), default=0))
    return [
        (not least <= place.rect.area <= most) + (wish.court not in (None, place.court))
        for place in floor
    ]


def touch(a: Rect, b: Rect) -> bool:
    """Whether just one wall line stands between two rooms."""
    ax0, ay0, ax1, ay1 = a
    bx0, by0, bx1, by1 = b
    across = max(ax0, bx0) - min(ax1, bx1)
    along = max(ay0, by0) - min(ay1, by1)
    return (across == 1 and along < 0) or (along == 1 and across < 0)
