"""Seating: an exact cover of floor by rooms, each of a kind, found by beam search and repair.

The floor is cut into atoms (bays, or the halves of deep bays).  A *place* is a set of atoms that can
be one room; an *ask* is a kind of room, with how many are wanted and what it likes.  A *seating*
covers every atom just once.  Hard wishes are counted as faults, apart from the score; fewer faults
always win.  The search knows no rooms and no house, only whole numbers.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

BEAM = 10
"""Partial seatings kept at each step."""
STARTS = 3
"""Complete seatings that are repaired."""
LIKING = 15
"""What a liked neighbour is worth, and a disliked one costs."""
NEED = 60
"""What each room that must be there is worth, on the way to a full seating."""


class Seat(NamedTuple):
    place: int
    ask: int


Seating = tuple[Seat, ...]
"""Sorted by place."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ask:
    """least, most: rooms of this kind.  near, far: asks it likes or dislikes beside it.

    beside: asks of which it must have one for a neighbour.  away: those it must not have.
    """

    kind: str
    least: int
    most: int
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
    for ask, count in zip(puzzle.asks, counts, strict=True):
        faults += max(0, ask.least - count) + max(0, count - ask.most)
    return Verdict(faults, worth)


def _neighbours(puzzle: Puzzle, seating: Sequence[Seat], place: int) -> Iterator[int]:
    """The asks of the rooms beside a place."""
    around = puzzle.touching[place]
    yield from (s.ask for s in seating if s.place in around)
    yield from (ask for places, ask in puzzle.settled if place in places)


def seat(puzzle: Puzzle) -> tuple[Seating, Verdict]:
    """The best seating found, and its verdict.  Raises ValueError where nothing covers the atoms."""
    best: tuple[Seating, Verdict] | None = None
    for start in _beam(puzzle):
        seating = _repaired(puzzle, start)
        verdict = judge(puzzle, seating)
        if best is None or verdict.beats(best[1]):
            best = (seating, verdict)
    if best is None:
        raise ValueError("no set of places covers every atom once")
    return best


class _Partial(NamedTuple):
    """A seating on the way: what it covers, its rooms, its counts by ask, its score so far."""

    covered: int
    seating: Seating
    counts: tuple[int, ...]
    worth: int


def _beam(puzzle: Puzzle) -> list[Seating]:
    """Cover the lowest free atom first, keeping the best partial seatings of each coverage."""
    states = [_Partial(0, (), (0,) * len(puzzle.asks), 0)]
    done: list[_Partial] = []
    by_atom = {1 << i: tuple(puzzle.starting(1 << i)) for i in range(puzzle.atoms.bit_length())}
    while states:
        grown: dict[int, list[_Partial]] = {}
        for state in states:
            free = puzzle.atoms & ~state.covered
            for place in by_atom[free & -free]:
                if puzzle.places[place] & ~free == 0:
                    for more in _grown(puzzle, state, place):
                        grown.setdefault(more.covered.bit_count(), []).append(more)
        states = []
        pool = [more for some in grown.values() for more in some]
        pool.sort(key=lambda s: (-s.worth * 64 // max(1, s.covered.bit_count()), s.seating))
        for more in pool:
            if more.covered == puzzle.atoms:
                done.append(more)
            elif len(states) < BEAM:
                states.append(more)
    done.sort(key=lambda s: (-s.worth, s.seating))
    return [tuple(sorted(state.seating)) for state in done[:STARTS]]


def _grown(puzzle: Puzzle, state: _Partial, place: int) -> Iterator[_Partial]:
    fit, unfit = puzzle.fit[place], puzzle.unfit[place]
    beside = list(_neighbours(puzzle, state.seating, place))
    covered = state.covered | puzzle.places[place]
    for n, ask in enumerate(puzzle.asks):
        count = state.counts[n]
        if count >= ask.most:
            continue
        worth = state.worth + fit[n] - NEED * unfit[n] + (NEED if count < ask.least else 0)
        for other in beside:
            likes = puzzle.asks[other]
            worth += LIKING * ((other in ask.near) + (n in likes.near) - (other in ask.far) - (n in likes.far))
            worth -= NEED * ((other in ask.away) + (n in likes.away))
        counts = (*state.counts[:n], count + 1, *state.counts[n + 1 :])
        yield _Partial(covered, (*state.seating, Seat(place, n)), counts, worth)


def _repaired(puzzle: Puzzle, seating: Seating) -> Seating:
    """Take the best of all single changes until none is better."""
    verdict = judge(puzzle, seating)
    while True:
        best = None
        for other in _changes(puzzle, seating):
            found = judge(puzzle, other)
            if found.beats(verdict):
                best, verdict = other, found
        if best is None:
            return seating
        seating = tuple(sorted(best))


def _changes(puzzle: Puzzle, seating: Seating) -> Iterator[Seating]:
    """Two rooms change kinds, one takes another kind, or two neighbours are cut anew."""
    for i, a in enumerate(seating):
        rest = seating[:i] + seating[i + 1 :]
        yield from ((*rest, Seat(a.place, n)) for n in range(len(puzzle.asks)) if n != a.ask)
        for j in range(i + 1, len(seating)):
            b = seating[j]
            others = rest[: j - 1] + rest[j:]
            if a.ask != b.ask:
                yield (*others, Seat(a.place, b.ask), Seat(b.place, a.ask))
            if b.place in puzzle.touching[a.place]:
                yield from ((*others, *cut) for cut in _cuts(puzzle, a, b))
        yield from ((*rest, *cut) for cut in _splits(puzzle, a))


def _cuts(puzzle: Puzzle, a: Seat, b: Seat) -> Iterator[Seating]:
    """Other ways to share the atoms of two rooms between them, or to throw them together."""
    both = puzzle.places[a.place] | puzzle.places[b.place]
    inside = {bits: p for p, bits in enumerate(puzzle.places) if bits & ~both == 0}
    if both in inside:
        yield (Seat(inside[both], a.ask),)
        yield (Seat(inside[both], b.ask),)
    for bits, place in inside.items():
        if bits != puzzle.places[a.place] and both & ~bits in inside:
            yield (Seat(place, a.ask), Seat(inside[both & ~bits], b.ask))


def _splits(puzzle: Puzzle, a: Seat) -> Iterator[Seating]:
    """A room cut in two, the new one of any kind."""
    whole = puzzle.places[a.place]
    inside = {bits: p for p, bits in enumerate(puzzle.places) if bits & ~whole == 0}
    for bits, place in inside.items():
        if whole & ~bits in inside:
            other = inside[whole & ~bits]
            yield from ((Seat(place, a.ask), Seat(other, n)) for n in range(len(puzzle.asks)))


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
