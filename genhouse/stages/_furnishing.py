"""The search: every room asks for its fittings one by one, and all rooms are answered side by side.

As long as a beam of arrangements leaves none behind, the best of them is the best there is.  Where it
does leave some behind, the same fittings are set again in a wider beam, those first that have the
fewest places; then a few are taken up and set down anew.
"""

from __future__ import annotations

from collections.abc import Generator, Sequence
from typing import TypeVar

from genhouse.core.draw import WORD
from genhouse.stages._beams import Ask, Beam, Beams

FIRST, AGAIN = 16, 64
"""Arrangements that go on while fittings are chosen, and when they are set again."""
ROUNDS, UP = 1, 5
"""How often a few are taken up, and how many at most."""

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
                asks[n] = rooms[n].send(answer)
            except StopIteration as stop:
                done[n] = stop.value
        answers = dict(zip(asks, beams.grown(list(asks.values())), strict=True)) if asks else {}
    return [done[n] for n in range(len(rooms))]


def improved(beams: Beams, room: int, beam: Beam, fixed: int, word: int) -> Asking[Beam]:
    """The arrangements of a room, better where any have been left behind.

    fixed: how many fittings, from the first, nobody may move.  word: a drawn one.
    """
    if not beam.cut:
        return beam
    free = range(fixed, len(beam.placed))
    turns = [sorted(free, key=lambda k: len(beam.placed[k].columns.stances))]
    for n in range(ROUNDS):
        drawn = sorted(free, key=lambda k: mixed(word, 1000 * (n + 1) + k))
        turns.append(drawn[:UP])
    for up in turns:
        picks = beam.first
        rest = [k for k in range(len(beam.placed)) if k not in up]
        trial: Beam | None = beams.standing(
            room, [beam.placed[k] for k in rest], [picks[k] for k in rest]
        )
        for k in up:
            if trial is not None:
                trial = yield Ask(room, trial, beam.placed[k], AGAIN, walk=k == up[-1])
        if trial is not None and trial.best > beam.best:
            beam = trial
    return beam


def mixed(word: int, n: int) -> int:
    """The n-th number of a drawn word: SplitMix64 (Steele, Lea and Flood, OOPSLA 2014)."""
    z = word + (n + 1) * 0x9E3779B97F4A7C15 & WORD
    z = (z ^ z >> 30) * 0xBF58476D1CE4E5B9 & WORD
    z = (z ^ z >> 27) * 0x94D049BB133111EB & WORD
    return z ^ z >> 31
