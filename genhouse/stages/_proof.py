"""Proof: the best seating of all, where the floor can be cut into places in few ways."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import islice

from genhouse.stages._puzzle import Puzzle, Seating
from genhouse.stages._table import FAULT, Table

CUTS = 40
"""Ways to cut a floor into places up to which the best seating of all is looked for."""
NODES = 8_000
"""Rooms that are tried in that, at most: it ends there with the best it has."""


def proven(table: Table, best: Seating, value: int) -> Seating:
    """The best seating there is, where the floor can be cut in few ways; else the one that was found.

    Branch and bound: places are filled in turn, and no more than ``NODES`` rooms are tried.
    """
    cuts = list(islice(_covers(table.puzzle), CUTS + 1))
    left = NODES if len(cuts) <= CUTS else 0
    for cut in cuts:
        if left:
            bounds = _bounds(table, cut)
            table.lay(())
            best, value, left = _filled(table, cut, bounds, 0, best, value, left)
    return best


def _covers(puzzle: Puzzle) -> Iterator[tuple[int, ...]]:
    """Each set of places that covers every atom once."""

    def cover(free: int, places: tuple[int, ...]) -> Iterator[tuple[int, ...]]:
        if not free:
            yield places
            return
        for p in puzzle.starting(free & -free):
            if not puzzle.places[p] & ~free:
                yield from cover(free & ~puzzle.places[p], (*places, p))

    return cover(puzzle.atoms, ())


def _bounds(table: Table, cut: tuple[int, ...]) -> list[int]:
    """For each number of places filled, what the others can bring at most, wishes of number aside:
    each the kind that would gain most, with the best of neighbours in the places before it."""
    most = [max(0, max(row)) for row in table.pair]
    brings = []
    for i, p in enumerate(cut):
        beside = sum(q in table.puzzle.touching[p] for q in cut[:i])
        brings.append(max(f + beside * m for f, m in zip(table.fit[p], most, strict=True)))
    return [sum(brings[i:]) for i in range(len(cut) + 1)]


def _filled(
    table: Table,
    cut: tuple[int, ...],
    bounds: Sequence[int],
    at: int,
    best: Seating,
    value: int,
    left: int,
) -> tuple[Seating, int, int]:
    """Every way to fill a cut from one place on that can still be better.  left: rooms still to try."""
    if at == len(cut):
        whole = table.value + table.lonely()
        return (table.seating(), whole, left) if whole > value else (best, value, left)
    missing = [
        FAULT * ask.grave
        for ask, count in zip(table.puzzle.asks, table.counts, strict=True)
        for _ in range(ask.least - count)
    ]
    place, rest = cut[at], len(cut) - at - 1
    gains = table.gains(place)
    for n in sorted(table.kinds, key=lambda n: (-gains[n], n)):
        if not left:
            break
        left -= 1
        before = table.value
        table.value += table.put(place, n)
        hope = sum(sorted(missing)[-rest:]) if rest else 0
        if table.value + bounds[at + 1] + hope > value:
            best, value, left = _filled(table, cut, bounds, at + 1, best, value, left)
        table.take(place)
        table.value = before
    return best, value, left
