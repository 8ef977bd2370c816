"""Seating: an exact cover of floor by rooms, each of a kind, found by local search.

The floor is cut into atoms (bays, or the halves of deep bays).  A *place* is a set of atoms that can
be one room; an *ask* is a kind of room, with how many are wanted and what it likes.  A *seating*
covers every atom just once.  Hard wishes are counted as faults, apart from the score; fewer faults
always win.  The search knows no rooms and no house, only whole numbers.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from genhouse.core.draw import Draw

ROUNDS = 3
"""Starts at the least, by turns anew and from the best seating, shaken."""
EFFORT = 120
"""Starts times places: small puzzles get more."""
SHAKEN = 2
"""Rooms that are given another kind in each shake."""
LIKING = 15
"""What a liked neighbour is worth, and a disliked one costs."""
LIKELY = 3
"""Kinds that are tried for a room that is new."""
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

    beside: asks of which it must have one for a neighbour.  away: those it must not have.
    """

    kind: str
    least: int
    most: int
    grave: int = 1
    near: frozenset[int] = frozenset()
    far: frozenset[int] = frozenset()
    beside: frozenset[int] = frozenset()
    away: frozenset[int] = frozenset()


@dataclass(frozen=True, slots=True, kw_only=True)
class Puzzle:
    """atoms: bits that must be covered.  places: the bits of each.  touching: neighbours of each place.

    fit: score of a place (row) for an ask (column).  unfit: hard wishes that such a room breaks.
    settled: rooms outside the atoms, as neighbours only: (places they touch, ask).
    """

    atoms: int
    places: tuple[int, ...]
    touching: tuple[frozenset[int], ...]
    asks: tuple[Ask, ...]
    fit: tuple[tuple[int, ...], ...]
    unfit: tuple[tuple[int, ...], ...]
    settled: tuple[tuple[frozenset[int], int], ...] = ()

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
    faults = worth = 0
    counts = [0] * len(puzzle.asks)
    for place, ask in seating:
        counts[ask] += 1
        worth += puzzle.fit[place][ask]
        faults += puzzle.unfit[place][ask]
        wanted = puzzle.asks[ask]
        beside = list(_neighbours(puzzle, seating, place))
        worth += LIKING * sum((n in wanted.near) - (n in wanted.far) for n in beside)
        faults += sum(n in wanted.away for n in beside)
        faults += bool(wanted.beside) and not any(n in wanted.beside for n in beside)
    for wanted, count in zip(puzzle.asks, counts, strict=True):
        faults += wanted.grave * max(0, wanted.least - count) + max(0, count - wanted.most)
    return Verdict(faults, worth)


def _neighbours(puzzle: Puzzle, seating: Sequence[Seat], place: int) -> Iterator[int]:
    """The asks of the rooms beside a place."""
    around = puzzle.touching[place]
    yield from (s.ask for s in seating if s.place in around)
    yield from (ask for places, ask in puzzle.settled if place in places)


def hopeless(puzzle: Puzzle) -> bool:
    """Whether it can be seen without a search that some hard wish must go unmet."""
    if sum(ask.least for ask in puzzle.asks) > puzzle.atoms.bit_count():
        return True
    fitting = [sum(unfit[n] == 0 for unfit in puzzle.unfit) for n in range(len(puzzle.asks))]
    return any(ask.least > n for ask, n in zip(puzzle.asks, fitting, strict=True))


def seat(puzzle: Puzzle, draw: Draw) -> tuple[Seating, Verdict]:
    """The best seating found, and its verdict: local search from many starts.

    Raises ValueError where no set of places covers every atom once.
    """
    table = _Table(puzzle)
    best: Seating = ()
    value = 0
    for n in range(max(ROUNDS, EFFORT // len(puzzle.places))):
        here = draw.at(n)
        if n % 2:
            table.lay(best)
            table.shake(here)
        else:
            table.lay(random_seating(puzzle, here))
        table.improve()
        if not best or table.value > value:
            best, value = table.seating(), table.value
    return best, judge(puzzle, best)


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
    kinds += [draw.below(len(puzzle.asks), f"kind {p}") for p in places]
    return tuple(Seat(p, n) for p, n in zip(sorted(places), kinds, strict=False))


class _Table:
    """Rooms as they are tried: each change costs only what it touches."""

    def __init__(self, puzzle: Puzzle) -> None:
        self.puzzle = puzzle
        asks = puzzle.asks
        self.kinds = range(len(asks))
        self.pair = [[_pair(a, i, b, j) for j, b in enumerate(asks)] for i, a in enumerate(asks)]
        self.fit = [
            [f - FAULT * u for f, u in zip(fit, unfit, strict=True)]
            for fit, unfit in zip(puzzle.fit, puzzle.unfit, strict=True)
        ]
        for places, ask in puzzle.settled:
            for place in places:
                for n in self.kinds:
                    self.fit[place][n] += self.pair[n][ask]
        self.around = [tuple(sorted(t)) for t in puzzle.touching]
        self.where = {bits: p for p, bits in enumerate(puzzle.places)}
        self.needy = [n for n, ask in enumerate(asks) if ask.beside]
        most = range(len(puzzle.places) + 2)
        self.off = [
            [FAULT * (ask.grave * max(0, ask.least - n) + max(0, n - ask.most)) for n in most]
            for ask in asks
        ]
        self.cuts: dict[int, tuple[tuple[int, int], ...]] = {}
        self.owner: list[int] = []
        self.counts: list[int] = []
        self.alone = 0
        self.value = 0

    def lay(self, seating: Seating) -> None:
        self.owner = [-1] * len(self.puzzle.places)
        self.counts = [0] * len(self.puzzle.asks)
        self.value = -FAULT * sum(ask.grave * ask.least for ask in self.puzzle.asks)
        self.value += sum(self.put(place, ask) for place, ask in seating)
        self.alone = self._lonely()
        self.value += self.alone

    def seating(self) -> Seating:
        return tuple(Seat(p, n) for p, n in enumerate(self.owner) if n >= 0)

    def put(self, place: int, ask: int) -> int:
        """Set a room; returns what it adds."""
        gain = self.fit[place][ask] + self._count(ask, 1)
        pair, owner = self.pair[ask], self.owner
        for n in self.around[place]:
            if owner[n] >= 0:
                gain += pair[owner[n]]
        owner[place] = ask
        return gain

    def take(self, place: int) -> int:
        """Remove a room; returns what it takes away (negative what it gave)."""
        owner = self.owner
        ask, owner[place] = owner[place], -1
        pair = self.pair[ask]
        loss = self.fit[place][ask] - self._count(ask, -1)
        for n in self.around[place]:
            if owner[n] >= 0:
                loss += pair[owner[n]]
        return -loss

    def _count(self, ask: int, step: int) -> int:
        """What one room more or less of a kind changes in faults of number, times FAULT."""
        before = self.counts[ask]
        self.counts[ask] = before + step
        return self.off[ask][before] - self.off[ask][before + step]

    def _lonely(self) -> int:
        """What rooms cost that lack a neighbour they must have."""
        faults = 0
        for n in self.needy:
            place = -1
            for _ in range(self.counts[n]):
                place = self.owner.index(n, place + 1)
                there = {self.owner[q] for q in self.around[place]}
                there |= {ask for places, ask in self.puzzle.settled if place in places}
                faults += not self.puzzle.asks[n].beside & there
        return -FAULT * faults

    def attempt(self, old: Sequence[int], new: Sequence[tuple[int, int]]) -> bool:
        """Try rooms in place of others; keep them where the whole is better."""
        before = [(p, self.owner[p]) for p in old]
        change = -self.alone
        for p in old:
            change += self.take(p)
        for p, n in new:
            change += self.put(p, n)
        alone = self._lonely() if self.needy else 0
        if change + alone > 0:
            self.value += change + alone
            self.alone = alone
            return True
        for p, _ in new:
            self.take(p)
        for p, n in before:
            self.put(p, n)
        return False

    def improve(self) -> None:
        """Take every better single change until there is none."""
        while any([self._kinds(), self._swaps(), self._recuts()]):
            pass

    def _rooms(self) -> list[int]:
        return [p for p, n in enumerate(self.owner) if n >= 0]

    def _gains(self, place: int) -> list[int]:
        """What a room of each kind would bring here, beside the rooms that are there."""
        beside = [self.owner[n] for n in self.around[place] if self.owner[n] >= 0]
        return [
            fit + sum([pair[n] for n in beside])
            for fit, pair in zip(self.fit[place], self.pair, strict=True)
        ]

    def _kinds(self) -> bool:
        """Another kind for one room."""
        better = False
        for p in self._rooms():
            gains, here = self._gains(p), self.owner[p]
            floor = (
                gains[here]
                + self.off[here][self.counts[here] - 1]
                - self.off[here][self.counts[here]]
            )
            for n in self.kinds:
                counted = self.off[n][self.counts[n]] - self.off[n][self.counts[n] + 1]
                if n != self.owner[p] and (self.alone or gains[n] + counted > floor):
                    better |= self.attempt((p,), ((p, n),))
        return better

    def _swaps(self) -> bool:
        """Two rooms change kinds."""
        rooms = self._rooms()
        gains = {p: self._gains(p) for p in rooms}
        better = False
        for i, a in enumerate(rooms):
            for b in rooms[i + 1 :]:
                x, y = self.owner[a], self.owner[b]
                change = gains[a][y] - gains[a][x] + gains[b][x] - gains[b][y]
                if b in self.puzzle.touching[a]:
                    change += 2 * self.pair[x][y] - self.pair[x][x] - self.pair[y][y]
                if (change > 0 or self.alone) and x != y and self.attempt((a, b), ((a, y), (b, x))):
                    better = True
                    gains = {p: self._gains(p) for p in rooms}
        return better

    def _recuts(self) -> bool:
        """Two neighbours share their floor anew, become one, or one becomes two."""
        better = False
        places = self.puzzle.places
        for a in self._rooms():
            if self.owner[a] < 0:
                continue
            for b in self.around[a]:
                if a < b and self.owner[a] >= 0 and self.owner[b] >= 0:
                    better |= self._recut(a, b, places[a] | places[b])
            if self.owner[a] >= 0:
                x = self.owner[a]
                better |= any(
                    self.attempt((a,), ((p, x), (q, n)))
                    for p, q in self._halves(places[a])
                    for n in self._likely(q)
                )
        return better

    def _recut(self, a: int, b: int, both: int) -> bool:
        x, y = self.owner[a], self.owner[b]
        whole = self.where.get(both)
        if whole is not None and any(
            self.attempt((a, b), ((whole, n),)) for n in self._likely(whole)
        ):
            return True
        return any(
            self.attempt((a, b), ((p, x), (q, y)))
            for p, q in self._halves(both)
            if (p, q) != (a, b)
        )

    def _likely(self, place: int) -> list[int]:
        """The kinds that would bring most in a place, numbers wanted counted in."""
        gains = self._gains(place)
        gains = [
            g + self.off[n][self.counts[n]] - self.off[n][self.counts[n] + 1]
            for n, g in enumerate(gains)
        ]
        return sorted(self.kinds, key=lambda n: (-gains[n], n))[:LIKELY]

    def _halves(self, both: int) -> tuple[tuple[int, int], ...]:
        """Each way to cut a set of atoms into two places, in both orders."""
        if both not in self.cuts:
            self.cuts[both] = tuple(
                (p, self.where[both & ~bits])
                for bits, p in self.where.items()
                if not bits & ~both and bits != both and both & ~bits in self.where
            )
        return self.cuts[both]

    def shake(self, draw: Draw) -> None:
        """Give a few rooms other kinds, for better or worse."""
        rooms = self._rooms()
        for i in range(SHAKEN):
            place = rooms[draw.below(len(rooms), f"room {i}")]
            self.value += self.take(place)
            self.value += self.put(place, draw.below(len(self.kinds), f"kind {i}"))
        self.lay(self.seating())


def _pair(a: Ask, i: int, b: Ask, j: int) -> int:
    """What two neighbours are worth to each other."""
    likes = (j in a.near) + (i in b.near) - (j in a.far) - (i in b.far)
    return LIKING * likes - FAULT * ((j in a.away) + (i in b.away))


def every_seating(puzzle: Puzzle) -> Iterator[Seating]:
    """Each full seating there is: for small puzzles, and for tests."""

    def cover(covered: int, seats: tuple[Seat, ...]) -> Iterator[Seating]:
        free = puzzle.atoms & ~covered
        if not free:
            yield tuple(sorted(seats))
            return
        for place in puzzle.starting(free & -free):
            if puzzle.places[place] & ~free == 0:
                for n in range(len(puzzle.asks)):
                    yield from cover(covered | puzzle.places[place], (*seats, Seat(place, n)))

    return cover(0, ())
