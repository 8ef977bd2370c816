"""Seating: a puzzle of rooms solved by local search, and on a small floor by proof."""

from __future__ import annotations

from genhouse.core.draw import Draw
from genhouse.stages._proof import proven
from genhouse.stages._puzzle import Puzzle, Seating, Verdict, judge, random_seating
from genhouse.stages._table import Table

ROUNDS = 3
"""Starts at the least, by turns anew and from the best seating, shaken."""
EFFORT = 120
"""Starts times places: small puzzles get more."""


def seat(puzzle: Puzzle, draw: Draw) -> tuple[Seating, Verdict]:
    """The best seating found, and its verdict: local search from many starts.

    Raises ValueError where no set of places covers every atom once.
    """
    table = Table(puzzle)
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
    best = proven(table, best, value)
    return best, judge(puzzle, best)
