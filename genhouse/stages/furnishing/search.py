"""The search: every room asks for its fittings one by one, and all rooms are answered side by side.

As long as a beam of arrangements leaves none behind, the best of them is the best there is.  Where it
does leave some behind, and there are several fittings, they are set again in a wider beam, those
first that have the fewest places.
"""

from __future__ import annotations

from collections.abc import Generator, Sequence
from typing import TypeVar

from genhouse.core.draw import WORD
from genhouse.stages.furnishing.beams import Ask, Beam, Beams

FIRST, AGAIN = 16, 64
"""Arrangements that go on while fittings are chosen, and when they are set again."""
TRIALS = 1024
"""Ways in which these and the next fitting are tried, where that leaves as many as ``FIRST`` to go on."""
SEVERAL = 5
"""Fittings from which on it pays to set them again: of rooms with fewer, one in twenty is the better."""

T = TypeVar("T")
Asking = Generator[Ask, Beam | None, T]
"""A room being furnished: asks, and is told the arrangements that come of it, None where none do."""


def side_by_side(beams: Beams, rooms: Sequence[Asking[T]]) -> list[T]:
    """What comes of rooms that are furnished together."""
    done: dict[int, T] = {}
    answers: dict[int, Beam | None] = dict.fromkeys(range(len(rooms)))
    while answers:
        asks: dict[int, Ask] = {}
        for n, answer in answers.items():
            try:
                ask = rooms[n].send(answer)
                while beams.hopeless(ask):
                    ask = rooms[n].send(None)
                asks[n] = ask
            except StopIteration as stop:
                done[n] = stop.value
        answers = dict(zip(asks, beams.grown(list(asks.values())), strict=True)) if asks else {}
    return [done[n] for n in range(len(rooms))]


def improved(beams: Beams, room: int, beam: Beam, fixed: int) -> Asking[Beam]:
    """The arrangements of a room, better where any have been left behind.

    fixed: how many fittings, from the first, nobody may move.
    """
    free = range(fixed, len(beam.placed))
    if not beam.cut or len(free) < SEVERAL:
        return beam
    up = sorted(free, key=lambda k: len(beam.placed[k].columns.stances))
    again: Beam | None = beams.standing(room, beam.placed[:fixed], beam.first[:fixed])
    for k, after in zip(up, (*up[1:], None), strict=True):
        if again is not None:
            places = len(beam.placed[after].columns.stances) if after is not None else 1
            width = min(AGAIN, max(FIRST, TRIALS // places))
            again = yield Ask(room, again, beam.placed[k], width, walk=after is None)
    return again if again is not None and again.best > beam.best else beam


def mixed(word: int, n: int) -> int:
    """The n-th number of a drawn word: SplitMix64 (Steele, Lea and Flood, OOPSLA 2014)."""
    z = word + (n + 1) * 0x9E3779B97F4A7C15 & WORD
    z = (z ^ z >> 30) * 0xBF58476D1CE4E5B9 & WORD
    z = (z ^ z >> 27) * 0x94D049BB133111EB & WORD
    return z ^ z >> 31
