"""The best seating of a small floor: branch and bound over its covers and the kinds of their rooms.

The bound takes each room still open by itself: the best kind for it beside the rooms that have
theirs, and the most that each open neighbour could add.  It never says less than can be reached, so
that nothing better is cut off.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise, starmap
from operator import add, sub

from genhouse.core import effort
from genhouse.stages.seats.debts import Debts
from genhouse.stages.seats.seating import Puzzle, Seat, Seating, Weights, judge

Row = Sequence[int]
"""A number for each kind."""


def exact(puzzle: Puzzle, weights: Weights, seating: Seating, steps: int) -> Seating:
    """The best seating there is, where it is proven within so many steps; else the best that is known.

    seating: a good one to begin with.
    """
    return _sought(puzzle, weights, seating, steps).best


def most(puzzle: Puzzle, weights: Weights, seating: Seating, steps: int) -> int | None:
    """What the best seating there is comes to, where that is proven within so many steps."""
    found = _sought(puzzle, weights, seating, steps)
    return found.value if found.steps else None


def _sought(puzzle: Puzzle, weights: Weights, seating: Seating, steps: int) -> _Bounded:
    found = _Bounded(puzzle, weights, seating, steps)
    starting: dict[int, list[tuple[int, int]]] = {}
    for p, bits in enumerate(puzzle.places):
        starting.setdefault(bits & -bits, []).append((p, bits))
    for places in _covers(puzzle.atoms, starting):
        found.cover(places)
        if not found.steps:
            break
    effort.add(2 * (steps - found.steps))
    return found


def _covers(
    atoms: int, starting: Mapping[int, Sequence[tuple[int, int]]]
) -> Iterator[tuple[int, ...]]:
    """Every choice of places that covers each atom once.  starting: places and bits, by the lowest."""
    if not atoms:
        yield ()
        return
    for p, bits in starting.get(atoms & -atoms, ()):
        if not bits & ~atoms:
            for rest in _covers(atoms & ~bits, starting):
                yield (p, *rest)


class _Bounded:
    """Kinds tried for the rooms of one cover after another.

    steps_of: what one room more of a kind changes in faults of number, by how many there are.
    outlooks: see ``_outlook``, by how many rooms are open and, in digits to a base, how many there are
    of each kind; units: the place value of each kind.
    """

    def __init__(self, puzzle: Puzzle, weights: Weights, seating: Seating, steps: int) -> None:
        self.weights = weights
        self.debts = Debts(puzzle)
        self.best = seating
        self.value = weights.value(judge(puzzle, seating))
        self.steps = steps
        self.kinds = range(len(puzzle.asks))
        self.least = [ask.least for ask in puzzle.asks]
        self.steps_of = [[a - b for a, b in pairwise(off)] for off in weights.off]
        self.hope = [max(0, *row) for row in weights.pair]
        self.known = [list(map(sub, row, self.hope)) for row in weights.pair]
        self.base = puzzle.atoms.bit_count() + 1
        self.units = [self.base ** (n + 1) for n in self.kinds]
        self.outlooks: dict[int, tuple[int, Row, Row]] = {}

    def cover(self, places: tuple[int, ...]) -> None:
        """Try the kinds for the rooms of one cover."""
        around = self.weights.around
        self.places = places
        self.after = [
            [m for m, q in enumerate(places) if m > n and q in around[p]]
            for n, p in enumerate(places)
        ]
        rows: list[Row] = [self.weights.fit[p] for p in places]
        for after in self.after:
            for m in after:
                rows[m] = list(map(add, rows[m], self.hope))
        none = -sum(off[0] for off in self.weights.off)
        if none + self._rest(rows, 0) > self.value:
            self._seat(rows, (), none, 0)

    def _seat(self, rows: list[Row], chosen: tuple[int, ...], value: int, counts: int) -> None:
        """Give the next room each kind that may still lead to something better.

        rows: for each open room, what each kind would bring beside the rooms that are there, and what
        it may hope for from each open room before it.  counts: of each kind so far, as ``outlooks`` has
        them.
        """
        if not rows:
            self._finish(chosen, value)
            return
        here, left = len(chosen), rows[1:]
        gains = list(map(add, rows[0], self._outlook(len(rows), counts)[2]))
        beside = [(m - here - 1, left[m - here - 1]) for m in self.after[here]]
        for n in sorted(self.kinds, key=gains.__getitem__, reverse=True):
            if not self.steps:
                return
            self.steps -= 1
            ahead, known, now = left.copy(), self.known[n], counts + self.units[n]
            for m, row in beside:
                ahead[m] = list(map(add, row, known))
            if value + gains[n] + self._rest(ahead, now) > self.value:
                self._seat(ahead, (*chosen, n), value + gains[n], now)

    def _finish(self, chosen: tuple[int, ...], most: int) -> None:
        """most: what it comes to, but for what its rooms owe."""
        rooms = list(zip(self.places, chosen, strict=True))
        value = most + self.weights.apart
        if value > self.value and (value := value - self.debts.of(rooms)) > self.value:
            self.best, self.value = tuple(sorted(starmap(Seat, rooms))), value

    def _rest(self, rows: Sequence[Row], counts: int) -> int:
        """No less than the open rooms can bring."""
        wanted, extra, _ = self._outlook(len(rows), counts)
        for row in rows:
            wanted += max(map(add, row, extra))
        return wanted

    def _outlook(self, rooms: int, counts: int) -> tuple[int, Row, Row]:
        """What so many open rooms bring by being wanted, what else one of each kind changes, and what one
        more changes in faults of number."""
        known = self.outlooks.get(counts + rooms)
        if known is not None:
            return known
        so_far = [counts // unit % self.base for unit in self.units]
        steps = [row[count] for row, count in zip(self.steps_of, so_far, strict=True)]
        wanted = [
            step
            for least, count, step in zip(self.least, so_far, steps, strict=True)
            if least > count
            for _ in range(least - count)
        ]
        wanted.sort(reverse=True)
        # Where every open room has to be of a kind still wanted, another leaves a wanted one out.
        left_out = wanted[rooms - 1] if 0 < rooms <= len(wanted) else 0
        found = sum(wanted[:rooms]), [0 if s > 0 else s - left_out for s in steps], steps
        self.outlooks[counts + rooms] = found
        return found
