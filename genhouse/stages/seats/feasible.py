"""A seating of a small floor that leaves no hard wish unmet, by trying.

What is asked for is seated first, the kind with the fewest places before the others; then the floor that
is left.  Kinds that nobody asks for and that mean the same to every wish are tried once for all of them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from genhouse.stages.seats.seating import Puzzle, Seat, Seating, judge


def feasible(puzzle: Puzzle, steps: int) -> Seating | None:
    """The first that is found within so many steps; None where there is none, or they are used."""
    return _Tried(puzzle, steps).seated(puzzle.atoms, ())


class _Tried:
    """counts: rooms of each kind so far.  classes: of kinds that are alike to every wish."""

    def __init__(self, puzzle: Puzzle, steps: int) -> None:
        self.puzzle = puzzle
        self.steps = steps
        self.counts = [0] * len(puzzle.asks)
        self.fits = [
            [n for n, unfit in enumerate(row) if not unfit and puzzle.asks[n].most]
            for row in puzzle.unfit
        ]
        self.homes = [
            [p for p, fits in enumerate(self.fits) if n in fits] for n in range(len(puzzle.asks))
        ]
        spoken = [group for ask in puzzle.asks for group in (*ask.beside, ask.away) if group]
        self.alike = [
            n
            if ask.least or ask.beside or ask.away
            else (*(n in group for group in spoken), *(row[n] > 0 for row in puzzle.unfit))
            for n, ask in enumerate(puzzle.asks)
        ]
        self.known = [
            {room.ask for room in puzzle.settled if p in room.places}
            for p in range(len(puzzle.places))
        ]

    def seated(self, free: int, seats: Seating) -> Seating | None:
        """The seats with the free atoms covered too."""
        if not free:
            whole = tuple(sorted(seats))
            return None if judge(self.puzzle, whole).faults else whole
        if not self._hopeful(free, seats):
            return None
        for place, kinds in self._branches(free, seats):
            tried = set()
            for n in kinds:
                alike, full = self.alike[n], self.counts[n] >= self.puzzle.asks[n].most
                if full or alike in tried or self._clashes(place, n, seats):
                    continue
                tried.add(alike)
                if not self.steps:
                    return None
                self.steps -= 1
                self.counts[n] += 1
                found = self.seated(free & ~self.puzzle.places[place], (*seats, Seat(place, n)))
                self.counts[n] -= 1
                if found is not None:
                    return found
        return None

    def _branches(self, free: int, seats: Seating) -> Iterator[tuple[int, Sequence[int]]]:
        """Places to try next, with their kinds: those of the kind still wanted that has the fewest,
        from the last of its rooms on; where none is wanted, those of the lowest free atom."""
        places = self.puzzle.places
        wanted = [n for n, ask in enumerate(self.puzzle.asks) if self.counts[n] < ask.least]
        if wanted:
            homes = {n: [p for p in self.homes[n] if not places[p] & ~free] for n in wanted}
            n = min(wanted, key=lambda n: len(homes[n]))
            last = max((p for p, m in seats if m == n), default=-1)
            return ((p, (n,)) for p in homes[n] if p > last)
        fitting = (p for p in self.puzzle.starting(free & -free) if not places[p] & ~free)
        return ((p, self.fits[p]) for p in sorted(fitting, key=lambda p: -places[p].bit_count()))

    def _hopeful(self, free: int, seats: Seating) -> bool:
        """Whether what is still wanted may find places, and each room the neighbours it must have."""
        asks, places = self.puzzle.asks, self.puzzle.places
        wanted = [max(0, a.least - count) for a, count in zip(asks, self.counts, strict=True)]
        if sum(wanted) > free.bit_count():
            return False
        for n, count in enumerate(wanted):
            if count and sum(not places[p] & ~free for p in self.homes[n]) < count:
                return False
        return not any(
            asks[n].beside
            and not self._open(place, free)
            and asks[n].lacks(self._near(place, seats))
            for place, n in seats
        )

    def _open(self, place: int, free: int) -> bool:
        """Whether a room may still come beside a place."""
        return any(not self.puzzle.places[q] & ~free for q in self.puzzle.touching[place])

    def _near(self, place: int, seats: Seating) -> set[int]:
        around = self.puzzle.touching[place]
        return self.known[place] | {s.ask for s in seats if s.place in around}

    def _clashes(self, place: int, n: int, seats: Seating) -> bool:
        """Whether a room would lie beside one that it, or that wants it, away."""
        near = self._near(place, seats)
        asks = self.puzzle.asks
        return not near.isdisjoint(asks[n].away) or any(n in asks[m].away for m in near)
