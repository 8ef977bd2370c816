"""Seating: an exact cover of floor by rooms, each of a kind.

The floor is cut into atoms (bays, or the halves of deep bays).  A *place* is a set of atoms that can
be one room; an *ask* is a kind of room, with how many are wanted and what it likes.  A *seating*
covers every atom just once.  Hard wishes are counted as faults, apart from the score; fewer faults
always win.  Nothing here knows rooms or a house, only whole numbers.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

from genhouse.core.draw import Draw

LIKING = 15
"""What a liked neighbour is worth, and a disliked one costs."""
AGAIN = 25
"""What one more room costs of a kind that the floor has already, where none is asked for."""
STRUNG = 1000
"""What a room costs to which one comes only through a private one: more than any likes, no hard wish."""
SEAT = 200
"""What it costs that one more sleeps in a house than can sit at its tables."""
FAULT = 10_000
"""What a hard wish unmet costs on the way: more than any score can bring."""


class Seat(NamedTuple):
    place: int
    ask: int


Seating = tuple[Seat, ...]
"""Sorted by place."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ask:
    """least, most: rooms of this kind.  grave: faults that each missing one counts for.
    near, far: asks it likes or dislikes beside it.

    beside: groups of asks; of each it must have one for a neighbour.  away: those it must not have.
    private: nobody is to walk through it to another room.
    """

    kind: str
    least: int
    most: int
    grave: int = 1
    near: frozenset[int] = frozenset()
    far: frozenset[int] = frozenset()
    beside: tuple[frozenset[int], ...] = ()
    away: frozenset[int] = frozenset()
    private: bool = False

    def lacks(self, around: Collection[int]) -> int:
        """How many of the neighbours it must have are missing.  around: the asks beside it."""
        return sum(group.isdisjoint(around) for group in self.beside)


class Settled(NamedTuple):
    """A room outside the atoms.  places: those that it touches.  around: asks of its like beside it."""

    places: frozenset[int]
    ask: int
    around: frozenset[int] = frozenset()


@dataclass(frozen=True, slots=True, kw_only=True)
class Puzzle:
    """atoms: bits that must be covered.  places: the bits of each.  touching: neighbours of each place.

    fit: score of a place (row) for an ask (column).  unfit: hard wishes that such a room breaks.
    settled: rooms that have their place already.  inner: places to which one comes only through a
    room beside them, or over one of the walks: each joins the places that open to it.
    table: what a place adds for an ask to the places at table, less those who sleep there.  spare: how
    many places there are already, more than sleepers.
    """

    atoms: int
    places: tuple[int, ...]
    touching: tuple[frozenset[int], ...]
    asks: tuple[Ask, ...]
    fit: tuple[tuple[int, ...], ...]
    unfit: tuple[tuple[int, ...], ...]
    settled: tuple[Settled, ...] = ()
    inner: frozenset[int] = frozenset()
    walks: tuple[frozenset[int], ...] = ()
    table: tuple[tuple[int, ...], ...] = ()
    spare: int = 0

    def starting(self, atom: int) -> Iterator[int]:
        """Places whose lowest atom is this one."""
        return (p for p, bits in enumerate(self.places) if bits & -bits == atom)


class Verdict(NamedTuple):
    """faults: hard wishes not met.  worth: the score; comparing verdicts compares seatings."""

    faults: int
    worth: int

    def beats(self, other: Verdict) -> bool:
        return (-self.faults, self.worth) > (-other.faults, other.worth)


def judge(puzzle: Puzzle, seating: Sequence[Seat]) -> Verdict:
    """Faults and score of a seating, whole or partial: the definition that the search maximises."""
    worth = sum(puzzle.fit[place][ask] for place, ask in seating)
    for ask, beside in _neighbours(puzzle, seating):
        wanted = puzzle.asks[ask]
        worth += LIKING * sum((n in wanted.near) - (n in wanted.far) for n in beside)
    for wanted, count in _counted(puzzle, seating):
        worth -= AGAIN * max(0, count - max(1, wanted.least))
    worth -= STRUNG * strung(puzzle, seating)
    if puzzle.table:
        left = puzzle.spare + sum(puzzle.table[place][ask] for place, ask in seating)
        worth -= SEAT * max(0, -left)
    return Verdict(faults(puzzle, seating), worth)


def faults(puzzle: Puzzle, seating: Sequence[Seat]) -> int:
    """Hard wishes that a seating leaves unmet."""
    found = sum(puzzle.unfit[place][ask] for place, ask in seating)
    for wanted, count in _counted(puzzle, seating):
        found += wanted.grave * max(0, wanted.least - count) + max(0, count - wanted.most)
    for ask, beside in _neighbours(puzzle, seating):
        wanted = puzzle.asks[ask]
        found += sum(n in wanted.away for n in beside) + wanted.lacks(beside)
    return found


def _counted(puzzle: Puzzle, seating: Sequence[Seat]) -> Iterator[tuple[Ask, int]]:
    """Each ask with the number of its rooms."""
    asked = [seat.ask for seat in seating]
    return ((ask, asked.count(n)) for n, ask in enumerate(puzzle.asks))


def strung(puzzle: Puzzle, rooms: Sequence[tuple[int, int]]) -> int:
    """How many rooms one comes to only through private ones.  rooms: places, each with its ask."""
    left = [room for room in rooms if room[0] in puzzle.inner]
    if not left:
        return 0
    private = [ask.private for ask in puzzle.asks]
    through = {p for p, n in rooms if p not in puzzle.inner and not private[n]}
    walked: set[int] = set()
    while left:
        for walk in puzzle.walks:
            if not through.isdisjoint(walk):
                walked |= walk
        found = [
            (p, n) for p, n in left if p in walked or not through.isdisjoint(puzzle.touching[p])
        ]
        if not found:
            break
        through |= {p for p, n in found if not private[n]}
        left = [room for room in left if room not in found]
    return len(left)


def _neighbours(puzzle: Puzzle, seating: Sequence[Seat]) -> Iterator[tuple[int, list[int]]]:
    """Every room's ask, with the asks of the rooms beside it."""
    for place, ask in seating:
        around = puzzle.touching[place]
        beside = [n for p, n in seating if p in around]
        yield ask, beside + [n for places, n, _ in puzzle.settled if place in places]
    for places, ask, around in puzzle.settled:
        yield ask, [n for p, n in seating if p in places] + sorted(around)


def hopeless(puzzle: Puzzle) -> bool:
    """Whether it can be seen without a search that some hard wish must go unmet."""
    if sum(ask.least for ask in puzzle.asks) > puzzle.atoms.bit_count():
        return True
    there = [ask for ask in puzzle.asks if ask.least]
    there += [puzzle.asks[room.ask] for room in puzzle.settled]
    if not all(group for ask in there for group in ask.beside):
        return True
    fitting = [sum(unfit[n] == 0 for unfit in puzzle.unfit) for n in range(len(puzzle.asks))]
    return any(ask.least > n for ask, n in zip(puzzle.asks, fitting, strict=True))


class Weights:
    """A puzzle's likes and hard wishes as numbers to add; neighbours outside the atoms counted in.

    fit: what a place (row) is worth for a kind.  pair: what two neighbours are to each other.
    off: what a number of rooms of a kind (row) costs.  around: the neighbours of each place.
    apart: what rooms outside the atoms are to each other.
    """

    def __init__(self, puzzle: Puzzle) -> None:
        asks = puzzle.asks
        self.pair = _pairs(asks)
        self.fit = [
            [f - FAULT * u for f, u in zip(fit, unfit, strict=True)] if any(unfit) else list(fit)
            for fit, unfit in zip(puzzle.fit, puzzle.unfit, strict=True)
        ]
        for places, ask, _ in puzzle.settled:
            for place in places:
                for n in range(len(asks)):
                    self.fit[place][n] += self.pair[n][ask]
        self.around = [tuple(sorted(t)) for t in puzzle.touching]
        self.off = [_off(ask.grave, ask.least, ask.most, len(puzzle.places) + 2) for ask in asks]
        liked = [(asks[room.ask], n) for room in puzzle.settled for n in room.around]
        self.apart = sum(
            LIKING * ((n in ask.near) - (n in ask.far)) - FAULT * (n in ask.away)
            for ask, n in liked
        )

    @staticmethod
    def value(verdict: Verdict) -> int:
        """A verdict as one number."""
        return verdict.worth - FAULT * verdict.faults


@lru_cache(maxsize=256)
def _off(grave: int, least: int, most: int, counts: int) -> tuple[int, ...]:
    """What each number of rooms costs of a kind of which so many are wanted."""
    return tuple(
        FAULT * (grave * max(0, least - n) + max(0, n - most)) + AGAIN * max(0, n - max(1, least))
        for n in range(counts)
    )


def _pairs(asks: Sequence[Ask]) -> list[list[int]]:
    """What two neighbours are worth to each other."""
    worth = [[0] * len(asks) for _ in asks]
    for i, ask in enumerate(asks):
        for some, each in ((ask.near, LIKING), (ask.far, -LIKING), (ask.away, -FAULT)):
            for j in some:
                worth[i][j] += each
                worth[j][i] += each
    return worth


def random_seating(puzzle: Puzzle, draw: Draw) -> Seating:
    """Every atom covered by places and kinds as they come, hard wishes or not."""
    order = draw.shuffled(range(len(puzzle.places)), "places")

    def cover(free: int) -> tuple[int, ...] | None:
        if not free:
            return ()
        for p in order:
            bits = puzzle.places[p]
            if bits & free & -free and not bits & ~free:
                rest = cover(free & ~bits)
                if rest is not None:
                    return (p, *rest)
        return None

    places = cover(puzzle.atoms)
    if places is None:
        raise ValueError("no set of places covers every atom once")
    kinds = [n for n, ask in enumerate(puzzle.asks) for _ in range(ask.least)]
    more = places[: max(0, len(places) - len(kinds))]
    kinds += [draw.below(len(puzzle.asks), f"kind {p}") for p in more]
    return tuple(Seat(p, n) for p, n in zip(sorted(places), kinds, strict=False))
