"""The search for a good seating: many starts, each bettered by single changes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from operator import add

from genhouse.core import effort
from genhouse.core.draw import Draw
from genhouse.stages.seats.debts import Debts
from genhouse.stages.seats.exact import exact, most
from genhouse.stages.seats.feasible import feasible
from genhouse.stages.seats.seating import (
    Puzzle,
    Seat,
    Seating,
    Verdict,
    Weights,
    judge,
    random_seating,
)

ROUNDS = 2
"""Starts at the least, by turns anew and from the best seating, shaken."""
EFFORT = 120
"""Starts times places, at the least: small puzzles get more."""
FEW = 40
"""Places of a floor so small that, where all starts leave a hard wish unmet, it is tried room by room."""
TRIALS = 4000
"""Rooms that are tried, at most."""
SHAKEN = 2
"""Rooms that are given another kind in each shake."""
LIKELY = 3
"""Kinds that are tried for a room that is new."""
SMALL = 2_000_000
"""Kinds to the power of atoms, at most, where the search goes on to the proof."""
STEPS = 3000
"""Rooms that are given a kind on the way to the proof, at most."""

Rooms = Sequence[tuple[int, int]]
"""Places, each with the kind of its room."""
_Share = tuple[int, int, int, int, int]
"""Two places, and how often what is one kind to itself, the two to each other, and the other to itself,
is counted in twice."""
_Way = tuple[int, int | None, tuple[_Share, ...]]
"""A neighbour, the place that both make, if there is one, and how they may share their floor."""
_Turn = tuple[tuple[int, ...], int, int]
"""The kind in each place, which change is next, and how many before it found nothing."""


def seat(puzzle: Puzzle, draw: Draw) -> tuple[Seating, Verdict]:
    """The best seating found, and its verdict: local search from many starts.

    On a small floor what the best comes to is proven first, if the steps suffice, and no more is sought
    than that; else what is found is bettered until it is proven the best, or the steps are used.

    Raises ValueError where no set of places covers every atom once.
    """
    weights = Weights(puzzle)
    table = _Table(puzzle, weights)
    best: Seating = ()
    verdict = Verdict(0, 0)
    seen: set[Seating] = set()
    limit: int | None = None
    small = len(puzzle.asks) ** puzzle.atoms.bit_count() <= SMALL
    if not puzzle.places:  # all of the floor has its use before any is sought
        return best, judge(puzzle, best)
    for n in range(max(ROUNDS, -(-EFFORT // len(puzzle.places)))):
        here = draw.at(n)
        start = _shaken(puzzle, best, here) if n % 2 else random_seating(puzzle, here)
        found = table.bettered(start)
        if found in seen:
            continue
        seen.add(found)
        judged = judge(puzzle, found)
        if not best or judged.beats(verdict):
            best, verdict = found, judged
        if small and not n:
            limit = most(puzzle, weights, best, STEPS)
        if limit == verdict.worth and not verdict.faults:
            return best, verdict
    if (
        verdict.faults
        and len(puzzle.places) <= FEW
        and (kept := feasible(puzzle, TRIALS)) is not None
    ):
        best = table.bettered(kept)
    if small:
        best = exact(puzzle, weights, best, STEPS)
    return best, judge(puzzle, best)


def _shaken(puzzle: Puzzle, seating: Seating, draw: Draw) -> Seating:
    """A seating with a few rooms of other kinds, for better or worse."""
    rooms = list(seating)
    for i in range(SHAKEN):
        n = draw.below(len(rooms), f"room {i}")
        rooms[n] = Seat(rooms[n].place, draw.below(len(puzzle.asks), f"kind {i}"))
    return tuple(rooms)


class _Table:
    """Rooms as they are tried.  owner: the kind of the room in each place, -1 where there is none.

    What a change is worth is told without making it: what a room of each kind would bring in a place is
    kept until a room beside it changes.  alone: what rooms cost that lack a neighbour they must have,
    or a way that leads through no private room; a change can win that back at the most beside its worth.
    ends: where each turn of a search has led to.
    """

    def __init__(self, puzzle: Puzzle, weights: Weights) -> None:
        self.puzzle = puzzle
        self.debts = Debts(puzzle)
        self.kinds = range(len(puzzle.asks))
        self.pair, self.fit = weights.pair, weights.fit
        self.off, self.around = weights.off, weights.around
        self.where = {bits: p for p, bits in enumerate(puzzle.places)}
        self.cuts: dict[int, tuple[tuple[int, int], ...]] = {}
        self.ways: dict[int, tuple[_Way, ...]] = {}
        self.ends: dict[_Turn, Seating] = {}

    def bettered(self, seating: Seating) -> Seating:
        """The seating after every better single change, until there is none."""
        self._lay(seating)
        ways = (self._kinds, self._swaps, self._recuts)
        passed: list[_Turn] = []
        idle = turn = 0
        while idle < len(ways) and (here := (tuple(self.owner), turn, idle)) not in self.ends:
            passed.append(here)
            idle = 0 if ways[turn]() else idle + 1
            turn = (turn + 1) % len(ways)
        end = self._seating() if idle == len(ways) else self.ends[here]
        self.ends.update(dict.fromkeys(passed, end))
        effort.add(self.tried // 2)
        return end

    def _lay(self, seating: Seating) -> None:
        self.tried, self.owner = 0, [-1] * len(self.puzzle.places)
        self.counts = [0] * len(self.puzzle.asks)
        self.known: list[list[int] | None] = [None] * len(self.owner)
        self.steps = [off[0] - off[1] for off in self.off]
        self.back = [0] * len(self.steps)
        self.held, self.spare = self.debts.after(0, self.puzzle.spare, (), seating)
        self._move((), seating)
        self.alone = -self.debts.owed(self.held, self.spare) - self.debts.lonely(self.owner)

    def _move(self, old: Rooms, new: Rooms) -> None:
        """Rooms taken away and others set.  steps, back: what one more, or less, of each kind changes in
        faults."""
        for p, n in old:
            self.owner[p] = -1
            self.counts[n] -= 1
        for p, n in new:
            self.owner[p] = n
            self.counts[n] += 1
        for _, n in (*old, *new):
            off, count = self.off[n], self.counts[n]
            self.steps[n] = off[count] - off[count + 1]
            self.back[n] = off[count - 1] - off[count]

    def _change(self, worth: int, old: Sequence[int], new: Rooms) -> bool:
        """Set rooms in place of others where the whole is better for it.

        worth: what that brings, but for what rooms owe.
        """
        self.tried += 1
        owner, debts = self.owner, self.debts
        before = [(p, owner[p]) for p in old]
        held, spare = debts.after(self.held, self.spare, before, new)
        alone = -debts.owed(held, spare)
        if worth + alone <= self.alone:
            return False
        self._move(before, new)
        alone -= debts.lonely(owner)
        if worth + alone <= self.alone:
            self._move(new, before)
            return False
        self.alone, self.held, self.spare = alone, held, spare
        for p, _ in (*before, *new):
            for n in self.around[p]:
                self.known[n] = None
        return True

    def _seating(self) -> Seating:
        return tuple(Seat(p, self.owner[p]) for p in self._rooms())

    def _rooms(self) -> list[int]:
        return [p for p, n in enumerate(self.owner) if n >= 0]

    def _gains(self, place: int) -> list[int]:
        """What a room of each kind would bring here, beside the rooms that are there."""
        gains = self.known[place]
        if gains is None:
            gains, owner, pair = self.fit[place], self.owner, self.pair
            for n in self.around[place]:
                if owner[n] >= 0:
                    gains = list(map(add, gains, pair[owner[n]]))
            self.known[place] = gains
        return gains

    def _likely(self, place: int) -> list[int]:
        """The kinds that would bring most in a place, numbers wanted counted in."""
        gains = list(map(add, self._gains(place), self.steps))
        return sorted(self.kinds, key=gains.__getitem__, reverse=True)[:LIKELY]

    def _kinds(self) -> bool:
        """Another kind for one room."""
        better = False
        owner, steps, back = self.owner, self.steps, self.back
        for p in self._rooms():
            gains, here = self._gains(p), owner[p]
            lost = gains[here] + back[here]
            if max(map(add, gains, steps)) - lost <= self.alone:
                continue
            for n, gain in enumerate(gains):
                worth = gain + steps[n] - lost
                if worth > self.alone and n != here and self._change(worth, (p,), ((p, n),)):
                    better, here = True, n
                    lost = gain + back[n]
        return better

    def _swaps(self) -> bool:
        """Two rooms change kinds."""
        better = False
        rooms, owner, pair = self._rooms(), self.owner, self.pair
        gains = {p: self._gains(p) for p in rooms}
        for i, a in enumerate(rooms):
            touching = self.puzzle.touching[a]
            for b in rooms[i + 1 :]:
                x, y = owner[a], owner[b]
                if x == y:
                    continue
                worth = gains[a][y] - gains[a][x] + gains[b][x] - gains[b][y]
                if b in touching:
                    worth += 2 * pair[x][y] - pair[x][x] - pair[y][y]
                if worth > self.alone and self._change(worth, (a, b), ((a, y), (b, x))):
                    better, gains = True, {p: self._gains(p) for p in rooms}
        return better

    def _recuts(self) -> bool:
        """Two neighbours become one or share their floor anew, or one becomes two."""
        better, owner = False, self.owner
        for a in self._rooms():
            for b, whole, shares in self._ways(a):
                if owner[a] >= 0 and owner[b] >= 0:
                    joined = whole is not None and self._first((a, b), self._joined(a, b, whole))
                    better |= joined or self._first((a, b), self._shared(a, b, shares))
            if owner[a] >= 0:
                better |= self._first((a,), self._split(a))
        return better

    def _ways(self, a: int) -> tuple[_Way, ...]:
        """How the floor of a room and of each neighbour past it may become other rooms."""
        ways = self.ways.get(a)
        if ways is None:
            places = self.puzzle.places
            some = [
                (b, self.where.get(places[a] | places[b]), tuple(self._shares(a, b)))
                for b in self.around[a]
                if a < b
            ]
            ways = self.ways[a] = tuple(w for w in some if w[1] is not None or w[2])
        return ways

    def _first(self, old: Sequence[int], changes: Iterator[tuple[int, Rooms]]) -> bool:
        """The first better change of these rooms.  changes: what each is worth, and the new rooms."""
        return any(worth > self.alone and self._change(worth, old, new) for worth, new in changes)

    def _joined(self, a: int, b: int, whole: int) -> Iterator[tuple[int, Rooms]]:
        """Two neighbours as one room of a likely kind, if any kind is worth it."""
        off, counts, steps = self.off, self.counts.copy(), self.steps.copy()
        lost = self._together(a, b)
        for n in (self.owner[a], self.owner[b]):
            counts[n] -= 1
            steps[n] = off[n][counts[n]] - off[n][counts[n] + 1]
            lost += steps[n]
        brings = list(map(add, self._gains(whole), steps))
        if max(brings) - lost > self.alone:
            for n in self._likely(whole):
                yield brings[n] - lost, ((whole, n),)

    def _shared(self, a: int, b: int, shares: Sequence[_Share]) -> Iterator[tuple[int, Rooms]]:
        """Two neighbours that keep their kinds on the same floor, cut elsewhere."""
        if not shares:
            return
        x, y = self.owner[a], self.owner[b]
        lost, pair = self._together(a, b), self.pair
        xx, xy, yy = pair[x][x], pair[x][y], pair[y][y]
        for p, q, alike, unlike, other in shares:
            # What they would have owed to the two rooms that make way for them.
            owed = alike * xx + unlike * xy + other * yy
            yield self._gains(p)[x] + self._gains(q)[y] - lost - owed, ((p, x), (q, y))

    def _shares(self, a: int, b: int) -> Iterator[_Share]:
        touching = self.puzzle.touching
        for p, q in self._halves(self.puzzle.places[a] | self.puzzle.places[b]):
            if (p, q) != (a, b):
                near, far = touching[p], touching[q]
                yield p, q, a in near, (b in near) + (a in far) - (q in near), b in far

    def _split(self, a: int) -> Iterator[tuple[int, Rooms]]:
        """A room cut in two: its own kind, and a likely one, if any kind is worth it."""
        x = self.owner[a]
        pair, steps = self.pair[x], self.steps
        for p, q in self._halves(self.puzzle.places[a]):
            here = self._gains(p)[x] - self._gains(a)[x]
            brings: Iterable[int] = map(add, self._gains(q), steps)
            if q in self.puzzle.touching[p]:
                brings = map(add, brings, pair)
            brings = list(brings)
            if here + max(brings) > self.alone:
                for n in self._likely(q):
                    yield here + brings[n], ((p, x), (q, n))

    def _together(self, a: int, b: int) -> int:
        """What two neighbours bring."""
        x, y = self.owner[a], self.owner[b]
        return self._gains(a)[x] + self._gains(b)[y] - self.pair[x][y]

    def _halves(self, both: int) -> tuple[tuple[int, int], ...]:
        """Each way to cut a set of atoms into two places, in both orders."""
        if both not in self.cuts:
            rest = ~both
            inside = [bits for bits in self.where if not bits & rest]
            self.cuts[both] = tuple(
                (self.where[bits], self.where[both ^ bits])
                for bits in inside
                if both ^ bits in self.where
            )
        return self.cuts[both]
