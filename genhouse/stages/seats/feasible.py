"""A seating of a small floor that leaves no hard wish unmet, by trying.

What is asked for is seated first, the kind with the fewest places before the others; then the floor that
is left.  Kinds that nobody asks for and that mean the same to every wish are tried once for all of them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from genhouse.core import effort
from genhouse.stages.seats.seating import Puzzle, Seat, Seating, faults


def feasible(puzzle: Puzzle, steps: int) -> Seating | None:
    """The first that is found within so many steps; None where there is none, or they are used."""
    tried = _Tried(puzzle, steps)
    found = tried.seated(puzzle.atoms, (1 << len(puzzle.places)) - 1, ())
    effort.add(steps - tried.steps)
    return found


class _Tried:
    """Sets of places and of kinds are whole numbers, a bit each.

    counts: rooms of each kind so far.  fits: kinds that a place may be.  homes: places that a kind may
    have.  rivals: places that share floor with one.  beside: those that touch it.  known: kinds that
    touch it from outside the floor.  shunned: kinds that may not lie by a kind, or it by them.
    alike: classes of kinds that are alike to every wish.
    """

    def __init__(self, puzzle: Puzzle, steps: int) -> None:
        self.puzzle = puzzle
        self.steps = steps
        asks, places = puzzle.asks, puzzle.places
        self.counts = [0] * len(asks)
        self.fits = [
            [n for n, unfit in enumerate(row) if not unfit and asks[n].most] for row in puzzle.unfit
        ]
        self.homes = [
            _bits(p for p, fits in enumerate(self.fits) if n in fits) for n in range(len(asks))
        ]
        self.rivals = [
            _bits(q for q, other in enumerate(places) if other & bits) for bits in places
        ]
        self.beside = [_bits(touching) for touching in puzzle.touching]
        self.known = [
            _bits(room.ask for room in puzzle.settled if p in room.places)
            for p in range(len(places))
        ]
        self.shunned = [
            _bits(ask.away) | _bits(m for m, other in enumerate(asks) if n in other.away)
            for n, ask in enumerate(asks)
        ]
        spoken = [group for ask in asks for group in (*ask.beside, ask.away) if group]
        self.alike = [
            n
            if ask.least or ask.beside or ask.away
            else (*(n in group for group in spoken), *(row[n] > 0 for row in puzzle.unfit))
            for n, ask in enumerate(asks)
        ]

    def seated(self, free: int, still: int, seats: Seating) -> Seating | None:
        """The seats with the free atoms covered too.  still: the places that lie in these."""
        if not free:
            whole = tuple(sorted(seats))
            return None if faults(self.puzzle, whole) else whole
        if not self._hopeful(free, still, seats):
            return None
        for place, kinds in self._branches(free, still, seats):
            near, tried = self._near(place, seats), set()
            for n in kinds:
                alike, full = self.alike[n], self.counts[n] >= self.puzzle.asks[n].most
                if full or alike in tried or near & self.shunned[n]:
                    continue
                tried.add(alike)
                if not self.steps:
                    return None
                self.steps -= 1
                self.counts[n] += 1
                left, others = free & ~self.puzzle.places[place], still & ~self.rivals[place]
                found = self.seated(left, others, (*seats, Seat(place, n)))
                self.counts[n] -= 1
                if found is not None:
                    return found
        return None

    def _branches(
        self, free: int, still: int, seats: Seating
    ) -> Iterator[tuple[int, Sequence[int]]]:
        """Places to try next, with their kinds: those of the kind still wanted that has the fewest,
        from the last of its rooms on; where none is wanted, those of the lowest free atom."""
        wanted = [n for n, ask in enumerate(self.puzzle.asks) if self.counts[n] < ask.least]
        if wanted:
            n = min(wanted, key=lambda n: (self.homes[n] & still).bit_count())
            last = max((p for p, m in seats if m == n), default=-1)
            return ((p, (n,)) for p in _numbers(self.homes[n] & still) if p > last)
        places = self.puzzle.places
        fitting = [p for p in self.puzzle.starting(free & -free) if still >> p & 1]
        return ((p, self.fits[p]) for p in sorted(fitting, key=lambda p: -places[p].bit_count()))

    def _hopeful(self, free: int, still: int, seats: Seating) -> bool:
        """Whether what is still wanted may find places, and each room the neighbours it must have."""
        asks, wanted = self.puzzle.asks, 0
        for n, count in enumerate(self.counts):
            if (more := asks[n].least - count) > 0:
                wanted += more
                if (self.homes[n] & still).bit_count() < more:
                    return False
        return wanted <= free.bit_count() and not any(
            asks[n].beside
            and not self.beside[place] & still
            and asks[n].lacks({*_numbers(self._near(place, seats))})
            for place, n in seats
        )

    def _near(self, place: int, seats: Seating) -> int:
        """The kinds that lie beside a place."""
        around, near = self.beside[place], self.known[place]
        for p, n in seats:
            if around >> p & 1:
                near |= 1 << n
        return near


def _bits(numbers: Iterable[int]) -> int:
    """A set of small numbers."""
    return sum(1 << n for n in {*numbers})


def _numbers(bits: int) -> Iterator[int]:
    """The numbers of a set, the least first."""
    while bits:
        low = bits & -bits
        yield low.bit_length() - 1
        bits ^= low
