"""A table of seats: rooms as they are tried, and every single change that makes the whole better."""

from __future__ import annotations

from collections.abc import Sequence
from operator import add

from genhouse.core.draw import Draw
from genhouse.stages._puzzle import LIKING, Ask, Puzzle, Seat, Seating

SHAKEN = 2
"""Rooms that are given another kind in each shake."""
LIKELY = 3
"""Kinds that are tried for a room that is new."""
FAULT = 10_000
"""What a hard wish unmet costs on the way: more than any score can bring."""


class Table:
    """Rooms as they are tried: each change costs only what it touches."""

    def __init__(self, puzzle: Puzzle) -> None:
        self.puzzle = puzzle
        asks = puzzle.asks
        self.kinds = range(len(asks))
        self.pair = [[_pair(a, i, b, j) for j, b in enumerate(asks)] for i, a in enumerate(asks)]
        self.beside = [[*row, 0] for row in self.pair]  # and 0 at -1, where no room is
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
        self.alone = self.lonely()
        self.value += self.alone

    def seating(self) -> Seating:
        return tuple(Seat(p, n) for p, n in enumerate(self.owner) if n >= 0)

    def put(self, place: int, ask: int) -> int:
        """Set a room; returns what it adds."""
        pair, owner, counts, off = self.beside[ask], self.owner, self.counts, self.off[ask]
        before = counts[ask]
        counts[ask] = before + 1
        gain = self.fit[place][ask] + off[before] - off[before + 1]
        for n in self.around[place]:
            gain += pair[owner[n]]
        owner[place] = ask
        return gain

    def take(self, place: int) -> int:
        """Remove a room; returns what it takes away (negative what it gave)."""
        owner = self.owner
        ask, owner[place] = owner[place], -1
        pair, off = self.beside[ask], self.off[ask]
        after = self.counts[ask] = self.counts[ask] - 1
        loss = self.fit[place][ask] + off[after] - off[after + 1]
        for n in self.around[place]:
            loss += pair[owner[n]]
        return -loss

    def lonely(self) -> int:
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
        if change > 0:
            alone = self.lonely() if self.needy else 0
            if change + alone > 0:
                self.value += change + alone
                self.alone = alone
                return True
        for p, n in new:
            self.owner[p] = -1
            self.counts[n] -= 1
        for p, n in before:
            self.owner[p] = n
            self.counts[n] += 1
        return False

    def improve(self) -> None:
        """Take every better single change until there is none."""
        while any([self._kinds(), self._swaps(), self._recuts()]):
            pass

    def _rooms(self) -> list[int]:
        return [p for p, n in enumerate(self.owner) if n >= 0]

    def gains(self, place: int) -> list[int]:
        """What a room of each kind would bring here, beside the rooms that are there."""
        gains, owner, pair = self.fit[place], self.owner, self.pair
        for n in self.around[place]:
            if owner[n] >= 0:
                gains = list(map(add, gains, pair[owner[n]]))
        return gains

    def _kinds(self) -> bool:
        """Another kind for one room."""
        better = False
        for p in self._rooms():
            gains, here = self.gains(p), self.owner[p]
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
        gains = {p: self.gains(p) for p in rooms}
        better = False
        for i, a in enumerate(rooms):
            for b in rooms[i + 1 :]:
                x, y = self.owner[a], self.owner[b]
                change = gains[a][y] - gains[a][x] + gains[b][x] - gains[b][y]
                if b in self.puzzle.touching[a]:
                    change += 2 * self.pair[x][y] - self.pair[x][x] - self.pair[y][y]
                if (change > 0 or self.alone) and x != y and self.attempt((a, b), ((a, y), (b, x))):
                    better = True
                    gains = {p: self.gains(p) for p in rooms}
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
        gains = self.gains(place)
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
