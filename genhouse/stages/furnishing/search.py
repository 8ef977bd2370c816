"""The search: what a room holds is chosen by area, and set piece by piece, all rooms side by side.

As long as a beam of arrangements leaves none behind, the best of them is the best there is.
"""

from __future__ import annotations

from collections.abc import Callable, Generator, Iterator, Sequence
from functools import partial
from itertools import chain, islice
from typing import NamedTuple, TypeVar

from msgspec import Struct

from genhouse.stages.furnishing.beams import Ask, Beam, Beams
from genhouse.stages.furnishing.choices import Wish
from genhouse.stages.furnishing.floorplan import Floor
from genhouse.stages.furnishing.worth import Stood

FULLEST = 60
"""Part of a room's floor, in hundredths, that fittings cover at most (the first may cover more)."""
TOLD = 75
"""The same, while what tells what the room is for is set: a small room holds little else."""
ENOUGH = (36, 50)
"""Part that is chosen to be covered: each room draws its own.  Not all that is chosen finds a place."""
MANY = 1 << 16
"""More than the ranks there are."""
AT_ONCE = 4
"""Others that are asked for together, where what was chosen found no place."""

T = TypeVar("T")
Asking = Generator[Sequence[Ask], Sequence[Beam | None], T]
"""A room being furnished: asks, and is told the arrangements that come of each, None where none do."""


class Furnished(Struct, frozen=True, kw_only=True):
    """A room's fittings in their stances.  wishes: what each is.

    fixed: how many of them, from the first, nobody may move.  score: the room's worth.
    """

    floor: Floor
    room: tuple[Stood, ...]
    wishes: tuple[Wish, ...]
    fixed: int
    score: int


class Area(Struct, frozen=True, gc=False):
    """Of a room's floor, in hundredths of a cell: all of it, what may be covered, what is enough.

    told: what may be covered by what tells what the room is for.
    bare: what is too little, so that others are asked for.
    """

    whole: int
    told: int
    most: int
    enough: int
    bare: int

    @staticmethod
    def of(floor: Floor, word: int) -> Area:
        cells = floor.free.bit_count()
        enough = cells * (ENOUGH[0] + word % (ENOUGH[1] - ENOUGH[0]))
        return Area(100 * cells, TOLD * cells, FULLEST * cells, enough, enough * 2 // 3)

    def left(self, covered: int, *, tells: bool = False) -> int:
        """What may still be covered; the first fitting may take any part."""
        return (self.told if tells else self.most) - covered if covered else self.whole


class Either(NamedTuple):
    """A fitting or one of the smaller ones that may stand for it.

    tells: whether it tells what the room is for.  rank: how much so, the lower the more.
    tags: what it is for.
    likely: the one for which there is most probably room.  wishes: all of them, the largest first.
    """

    tells: bool
    rank: int
    tags: tuple[str, ...]
    likely: Wish
    wishes: Iterator[Wish]


def chosen_of(
    wanted: Iterator[Iterator[Wish]], telling: int, area: Area, covered: int
) -> list[Either]:
    """Fittings that are likely to cover enough of the floor: first those that tell what the room is
    for, as they are told, then the others, those with the fewest places first."""
    found: list[tuple[int, int, Either]] = []
    for m, either in enumerate(wanted):
        first: list[Wish] = []
        tells = m < telling
        left = area.left(covered, tells=tells)
        for wish in either:
            first.append(wish)
            if wish.area <= left:
                covered += wish.area
                break
        if first and (tells or first[-1].area <= left):
            likely = first[-1]
            order = min(m, telling), len(likely.columns.stances)
            found.append(
                (*order, Either(tells, m, first[0].fitting.tags, likely, chain(first, either)))
            )
        if covered >= area.enough and m >= telling - 1:
            break
    return [either for *_, either in sorted(found, key=lambda one: one[:2])]


def furnished(
    beams: Beams,
    n: int,
    stove: Sequence[Wish],
    chosen: Sequence[Either],
    left: Iterator[Iterator[Wish]],
    area: Area,
) -> Asking[Furnished]:
    """Set what was chosen, each where it has a place or else a smaller one; others for those without."""
    beam = beams.empty(n)
    for wish in stove:
        (found,) = yield [Ask(n, beam, wish)]
        beam = beams.walkable(n, found) or beam
    fixed = len(beam.placed)
    bare, (beam, stood, missed) = beam, (yield from _set(beams, n, beam, chosen, area))
    for again in _anew(stood, missed):
        other, held, _ = yield from _set(beams, n, bare, again, area)
        if _told(held) < _told(stood):
            beam, stood = other, held
        if len(_told(stood)) > sum(either.tells for either in chosen):
            break
    covered = sum(wish.area for wish in beam.placed)
    others: Iterator[Wish] = (wish for either in left for wish in islice(either, 1))
    while covered < area.bare and (some := list(islice(others, AT_ONCE))):
        some = [wish for wish in some if wish.area <= area.left(covered)]
        answers = yield [Ask(n, beam, wish) for wish in some]
        for k, (wish, answer) in enumerate(zip(some, answers, strict=True), 1):
            found = beams.walkable(n, answer)
            if found is not None:
                beam = found
                covered += wish.area
                others = chain(some[k:], others)
                break
    return Furnished(
        floor=beams.floors[n],
        room=beam.room,
        wishes=beam.placed,
        fixed=fixed,
        score=beam.worths[0],
    )


def _set(
    beams: Beams, n: int, beam: Beam, chosen: Sequence[Either], area: Area
) -> Asking[tuple[Beam, list[Either], list[Either]]]:
    """Each of those chosen where it has a place, or else a smaller one.

    Also those that stand, as they do or smaller yet, and those that do not, as the smallest there is, and
    as the smallest that is for the same.
    """
    stood: list[Either] = []
    missed: list[Either] = []
    covered = sum(wish.area for wish in beam.placed)
    for either in chosen:
        tried: list[Wish] = []
        for wish in either.wishes:
            tried.append(wish)
            if wish.area > area.left(covered, tells=either.tells):
                continue
            (found,) = yield [Ask(n, beam, wish)]
            found = beams.walkable(n, found)
            if found is not None:
                beam = found
                covered += wish.area
                stood.append(either._replace(likely=wish, wishes=chain((wish,), either.wishes)))
                break
        else:
            small = iter(_least(either, tried))
            missed.append(either._replace(likely=[either.likely, *tried][-1], wishes=small))
    return beam, stood, missed


def _anew(stood: Sequence[Either], missed: Sequence[Either]) -> Iterator[list[Either]]:
    """Other orders to set them in, where what tells what the room is for lacks: that first, as small as
    it was tried; then all that tells as small as still tells it, and the rest."""
    if not any(either.tells for either in missed):
        return
    known = [(either, tuple(either.wishes) or (either.likely,)) for either in (*stood, *missed)]
    lacks = [e._replace(wishes=iter([e.likely])) for e in missed if e.tells]
    yield [*lacks, *(e._replace(wishes=iter(wishes)) for e, wishes in known[: len(stood)])]
    known.sort(key=lambda one: (not one[0].tells, one[0].rank))
    yield [e._replace(wishes=iter(_least(e, w) if e.tells else w)) for e, w in known]


def _least(either: Either, wishes: Sequence[Wish]) -> Sequence[Wish]:
    """The smallest of some that is for what the fitting itself is for."""
    return [w for w in wishes if {*w.fitting.tags} & {*either.tags}][-1:]


def _told(stood: Sequence[Either]) -> list[int]:
    """What tells what the room is for and stands, by rank: the sooner one lacks, the higher.

    A smaller piece that is for something else does not tell it.
    """
    told = (e.rank for e in stood if e.tells and {*e.tags} & {*e.likely.fitting.tags})
    return [*sorted(told), MANY]


def side_by_side(beams: Beams, rooms: Sequence[Asking[T]]) -> list[T]:
    """What comes of rooms that are furnished together."""
    done: dict[int, T] = {}
    asked: dict[int, Sequence[Ask]] = {}

    def go_on(n: int, step: Callable[[], Sequence[Ask]]) -> None:
        try:
            asked[n] = step()
        except StopIteration as stop:
            done[n] = stop.value

    for n, room in enumerate(rooms):
        go_on(n, partial(next, room))
    while asked:
        asks, asked = asked, {}
        answers = iter(beams.grown([ask for some in asks.values() for ask in some]))
        for n, some in asks.items():
            go_on(n, partial(rooms[n].send, list(islice(answers, len(some)))))
    return [done[n] for n in range(len(rooms))]
