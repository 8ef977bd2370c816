"""The search for a good seating: many starts, each bettered by single changes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from operator import add

from genhouse.core import effort
from genhouse.core.draw import Draw
from genhouse.stages.seats.exact import exact, most
from genhouse.stages.seats.feasible import feasible
from genhouse.stages.seats.seating import (
    FAULT,
    SEAT,
    STRUNG,
    Puzzle,
    Seat,
    Seating,
    Verdict,
    Weights,
    judge,
    random_seating,
    strung,
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
    held: as bits, the places of the other rooms, and past them those of private ones, which tell what is
    strung.  ends: where each turn of a search has led to.
    """

    def __init__(self, puzzle: Puzzle, weights: Weights) -> None:
        self.puzzle = puzzle
        self.kinds = range(len(puzzle.asks))
        self.pair, self.fit = weights.pair, weights.fit
        self.off, self.around = weights.off, weights.around
        self.where = {bits: p for p, bits in enumerate(puzzle.places)}
        self.strings = bool(puzzle.inner) and any(ask.private for ask in puzzle.asks)
        self.needy = [n for n, ask in enumerate(puzzle.asks) if ask.beside]
        self.table = puzzle.table or ((0,) * len(puzzle.asks),) * len(puzzle.places)
        self.bits = [len(puzzle.places) * ask.private for ask in puzzle.asks]
        self.cuts: dict[int, tuple[tuple[int, int], ...]] = {}
        self.ends: dict[_Turn, Seating] = {}
        self.strung: dict[int, int] = {}
        self.beside = [
            {room.ask for room in puzzle.settled if p in room.places}
            for p in range(len(puzzle.places))
        ]

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
        self.known: dict[int, list[int]] = {}
        self.held, self.spare = 0, self.puzzle.spare
        self.steps = [off[0] - off[1] for off in self.off]
        self.held, self.spare = self._after((), seating)
        self._move((), seating)
        self.alone = -self._owed(self.held, self.spare) - self._lonely()

    def _move(self, old: Rooms, new: Rooms) -> None:
        """Rooms taken away and others set.  steps: what one more of each kind changes in faults."""
        for p, n in old:
            self.owner[p] = -1
            self.counts[n] -= 1
        for p, n in new:
            self.owner[p] = n
            self.counts[n] += 1
        for _, n in (*old, *new):
            off, count = self.off[n], self.counts[n]
            self.steps[n] = off[count] - off[count + 1]

    def _lonely(self) -> int:
        """What rooms cost that lack a neighbour they must have."""
        faults = 0
        for n in self.needy:
            place = -1
            for _ in range(self.counts[n]):
                place = self.owner.index(n, place + 1)
                there = {self.owner[q] for q in self.around[place]} | self.beside[place]
                faults += self.puzzle.asks[n].lacks(there)
        for room in self.puzzle.settled:
            if room.ask in self.needy:
                there = {self.owner[q] for q in room.places} | room.around
                faults += self.puzzle.asks[room.ask].lacks(there)
        return FAULT * faults

    def _after(self, old: Rooms, new: Rooms) -> tuple[int, int]:
        """Held and spare places, once rooms are taken away and others set."""
        held, spare, bits, table = self.held, self.spare, self.bits, self.table
        for p, n in old:
            held ^= 1 << p + bits[n]
            spare -= table[p][n]
        for p, n in new:
            held ^= 1 << p + bits[n]
            spare += table[p][n]
        return held, spare

    def _owed(self, held: int, spare: int) -> int:
        """What rooms cost that lack a way through no private one, and those without a place at table."""
        if self.strings and held not in self.strung:
            size, private = len(self.owner), [ask.private for ask in self.puzzle.asks]
            bits = [bit for bit in range(2 * size) if held >> bit & 1]
            rooms = [(bit % size, private.index(bit >= size)) for bit in bits]
            self.strung[held] = strung(self.puzzle, rooms)
        return SEAT * max(0, -spare) + STRUNG * self.strung.get(held, 0)

    def _change(self, worth: int, old: Sequence[int], new: Rooms) -> bool:
        """Set rooms in place of others where the whole is better for it.

        worth: what that brings, but for rooms that lack a neighbour they must have, or a way.
        """
        self.tried += 1
        before = [(p, self.owner[p]) for p in old]
        held, spare = self._after(before, new)
        alone = -self._owed(held, spare)
        if worth + alone <= self.alone:
            return False
        self._move(before, new)
        alone -= self._lonely()
        if worth + alone <= self.alone:
            self._move(new, before)
            return False
        self.alone, self.held, self.spare = alone, held, spare
        for p, _ in (*before, *new):
            for n in self.around[p]:
                self.known.pop(n, None)
        return True

    def _seating(self) -> Seating:
        return tuple(Seat(p, self.owner[p]) for p in self._rooms())

    def _rooms(self) -> list[int]:
        return [p for p, n in enumerate(self.owner) if n >= 0]

    def _gains(self, place: int) -> list[int]:
        """What a room of each kind would bring here, beside the rooms that are there."""
        gains = self.known.get(place)
        if gains is None:
            gains = self.fit[place]
            for n in self.around[place]:
                if self.owner[n] >= 0:
                    gains = list(map(add, gains, self.pair[self.owner[n]]))
            self.known[place] = gains
        return gains

    def _likely(self, place: int) -> list[int]:
        """The kinds that would bring most in a place, numbers wanted counted in."""
        gains = list(map(add, self._gains(place), self.steps))
        return sorted(self.kinds, key=gains.__getitem__, reverse=True)[:LIKELY]

    def _kinds(self) -> bool:
        """Another kind for one room."""
        better = False
        for p in self._rooms():
            gains, steps = self._gains(p), self.steps
            lost = self._given(p)
            for n, gain in enumerate(gains):
                worth = gain + steps[n] - lost
                if (
                    worth > self.alone
                    and n != self.owner[p]
                    and self._change(worth, (p,), ((p, n),))
                ):
                    better, lost = True, self._given(p)
        return better

    def _given(self, place: int) -> int:
        """What would be lost with a room, numbers wanted counted in."""
        here = self.owner[place]
        off, count = self.off[here], self.counts[here]
        return self._gains(place)[here] + off[count - 1] - off[count]

    def _swaps(self) -> bool:
        """Two rooms change kinds."""
        better = False
        rooms, owner, pair = self._rooms(), self.owner, self.pair
        gains = {p: self._gains(p) for p in rooms}
        for i, a in enumerate(rooms):
            touching = self.puzzle.touching[a]
            for b in rooms[i + 1 :]:
                x, y = owner[a], owner[b]
                worth = gains[a][y] - gains[a][x] + gains[b][x] - gains[b][y]
                if b in touching:
                    worth += 2 * pair[x][y] - pair[x][x] - pair[y][y]
                if worth > self.alone and x != y and self._change(worth, (a, b), ((a, y), (b, x))):
                    better, gains = True, {p: self._gains(p) for p in rooms}
        return better

    def _recuts(self) -> bool:
        """Two neighbours become one or share their floor anew, or one becomes two."""
        better = False
        for a in self._rooms():
            for b in self.around[a]:
                if a < b and self.owner[a] >= 0 and self.owner[b] >= 0:
                    better |= self._first((a, b), self._joined(a, b)) or self._first(
                        (a, b), self._shared(a, b)
                    )
            if self.owner[a] >= 0:
                better |= self._first((a,), self._split(a))
        return better

    def _first(self, old: Sequence[int], changes: Iterator[tuple[int, Rooms]]) -> bool:
        """The first better change of these rooms.  changes: what each is worth, and the new rooms."""
        return any(worth > self.alone and self._change(worth, old, new) for worth, new in changes)

    def _joined(self, a: int, b: int) -> Iterator[tuple[int, Rooms]]:
        """Two neighbours as one room of a likely kind."""
        whole = self.where.get(self.puzzle.places[a] | self.puzzle.places[b])
        if whole is None:
            return
        off, counts, fewer = self.off, self.counts, self.counts.copy()
        kinds = (self.owner[a], self.owner[b])
        for n in kinds:
            fewer[n] -= 1
        less = sum(off[n][counts[n]] - off[n][fewer[n]] for n in dict.fromkeys(kinds))
        gains, lost = self._gains(whole), self._together(a, b) - less
        for n in self._likely(whole):
            yield gains[n] + off[n][fewer[n]] - off[n][fewer[n] + 1] - lost, ((whole, n),)

    def _shared(self, a: int, b: int) -> Iterator[tuple[int, Rooms]]:
        """Two neighbours that keep their kinds on the same floor, cut elsewhere."""
        x, y = self.owner[a], self.owner[b]
        lost, pair = self._together(a, b), self.pair
        for p, q in self._halves(self.puzzle.places[a] | self.puzzle.places[b]):
            if (p, q) != (a, b):
                worth = self._gains(p)[x] + self._gains(q)[y] - lost
                near, far = self.puzzle.touching[p], self.puzzle.touching[q]
                # What they would have owed to the two rooms that make way for them.
                worth -= (a in near) * pair[x][x] + (b in near) * pair[x][y]
                worth -= (a in far) * pair[y][x] + (b in far) * pair[y][y]
                yield worth + (q in near) * pair[x][y], ((p, x), (q, y))

    def _split(self, a: int) -> Iterator[tuple[int, Rooms]]:
        """A room cut in two: its own kind, and a likely one."""
        x = self.owner[a]
        lost, pair = self._gains(a)[x], self.pair[x]
        for p, q in self._halves(self.puzzle.places[a]):
            here, gains = self._gains(p)[x] - lost, self._gains(q)
            touching = q in self.puzzle.touching[p]
            for n in self._likely(q):
                yield here + gains[n] + self.steps[n] + touching * pair[n], ((p, x), (q, n))

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
