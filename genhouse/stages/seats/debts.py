"""What rooms owe that lack a way through no private room, a place at table, or a neighbour they must have.

All of it is told of sets of places as whole numbers, a bit a place; ``seating.judge`` says the same.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from genhouse.stages.seats.seating import FAULT, SEAT, STRUNG, Puzzle


class Debts:
    """held: as bits, the places of rooms, and past them those of private ones, which tell what is strung.

    shift: by how much the bit of a room of each kind lies past that of its place.
    """

    def __init__(self, puzzle: Puzzle) -> None:
        self.puzzle = puzzle
        size = len(puzzle.places)
        self.shift = [size * ask.private for ask in puzzle.asks]
        self.table = puzzle.table or ((0,) * len(puzzle.asks),) * size
        self._size = size
        self._full = (1 << size) - 1
        self._inner = bits_of(puzzle.inner)
        self._strings = bool(puzzle.inner) and any(ask.private for ask in puzzle.asks)
        self._walks = [bits_of(walk) for walk in puzzle.walks]
        self._touching = {p: bits_of(puzzle.touching[p]) for p in puzzle.inner}
        self._strung: dict[int, int] = {}
        self._needy = [n for n, ask in enumerate(puzzle.asks) if ask.beside]
        self._around = [tuple(sorted(t)) for t in puzzle.touching] if self._needy else []

    def of(self, rooms: Sequence[tuple[int, int]]) -> int:
        """All that some rooms owe.  rooms: places, each with its kind."""
        owner = [-1] * self._size
        for p, n in rooms:
            owner[p] = n
        return self.owed(*self.after(0, self.puzzle.spare, (), rooms)) + self.lonely(owner)

    def after(
        self,
        held: int,
        spare: int,
        old: Sequence[tuple[int, int]],
        new: Sequence[tuple[int, int]],
    ) -> tuple[int, int]:
        """What is held and spare, once rooms are taken away and others set."""
        shift, table = self.shift, self.table
        for p, n in old:
            held ^= 1 << p + shift[n]
            spare -= table[p][n]
        for p, n in new:
            held ^= 1 << p + shift[n]
            spare += table[p][n]
        return held, spare

    def owed(self, held: int, spare: int) -> int:
        """What rooms cost that lack a way through no private one, and those without a place at table."""
        owed = SEAT * -spare if spare < 0 else 0
        if self._strings:
            strung = self._strung.get(held)
            if strung is None:
                strung = self._strung[held] = self.strung(held)
            owed += STRUNG * strung
        return owed

    def strung(self, held: int) -> int:
        """How many rooms one comes to only through private ones: ``seating.strung``."""
        public = held & self._full
        left = (public | held >> self._size) & self._inner
        through, walked = public & ~self._inner, 0
        while left:
            for walk in self._walks:
                if walk & through:
                    walked |= walk
            found = left & walked
            for p, beside in self._touching.items():
                if left >> p & 1 and beside & through:
                    found |= 1 << p
            if not found:
                break
            through |= found & public
            left &= ~found
        return left.bit_count()

    def lonely(self, owner: Sequence[int]) -> int:
        """What rooms cost that lack a neighbour they must have.  owner: the kind in each place, or -1."""
        if not self._needy:
            return 0
        faults = 0
        asks, settled = self.puzzle.asks, self.puzzle.settled
        for place, n in enumerate(owner):
            if n >= 0 and asks[n].beside:
                there = {owner[q] for q in self._around[place]}
                there |= {room.ask for room in settled if place in room.places}
                faults += asks[n].lacks(there)
        for room in settled:
            if asks[room.ask].beside:
                faults += asks[room.ask].lacks({owner[q] for q in room.places} | room.around)
        return FAULT * faults


def bits_of(numbers: Iterable[int]) -> int:
    """A set of small numbers.

    >>> bin(bits_of({0, 3}))
    '0b1001'
    """
    return sum(1 << n for n in {*numbers})
