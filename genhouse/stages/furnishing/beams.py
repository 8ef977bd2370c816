"""Beams: the best few arrangements of every room, each room's grown by one fitting more, all at once.

Every arrangement of a room is tried with every stance of the fitting, and the best of all these go
on.  The rooms are answered together: to numpy a question costs more than the length of its answer.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

import numpy as np
from msgspec import Struct

from genhouse.stages.furnishing.choices import MARK, Bare, Choices, Ints, Wish
from genhouse.stages.furnishing.columns import (
    FRONT,
    SOLID,
    SPOILT,
    USE,
    Numbers,
    Sets,
)
from genhouse.stages.furnishing.floorplan import Floor
from genhouse.stages.furnishing.ranks import LINES, ROOMS, best
from genhouse.stages.furnishing.worth import CLEAR, Stood, squares

WIDTH = 40
"""Arrangements that go on, where there are more."""
NOTHING = -1
"""Instead of a choice, where nothing stands yet."""


class Beam(Struct, frozen=True, gc=False, eq=False):
    """Arrangements of the same fittings in a room, best first.

    sets [4, W, B]: taken cells, cells to be used from, cells wanted clear, squares spoilt.
    about [B]: worth of all that hangs on one fitting or two, with the squares of the bare room; in the
    bits below it a number that is equal where the same stands in the same places.
    picks [B, N]: the stance of each fitting.  stands [B, N]: which of all choices of the house that is.
    worths [B]: what each is worth.
    placed: what stands in the room.
    """

    sets: Sets
    about: Ints
    picks: Numbers
    stands: Ints
    worths: list[int]
    placed: tuple[Wish, ...] = ()

    def behind(self, n: int) -> Beam:
        """All from the n-th on."""
        return Beam(
            self.sets[:, :, n:],
            self.about[n:],
            self.picks[n:],
            self.stands[n:],
            self.worths[n:],
            self.placed,
        )

    @property
    def room(self) -> tuple[Stood, ...]:
        """The best one."""
        picks = self.picks[0, : len(self.placed)].tolist()
        return tuple(
            Stood(w.name, w.fitting, w.columns.stances[n])
            for w, n in zip(self.placed, picks, strict=True)
        )


class Ask(Struct, frozen=True, gc=False, eq=False):
    """A fitting more for a room.  room: which of the floors."""

    room: int
    beam: Beam
    wish: Wish


class Beams:
    """The floors of a house, and what was asked of them.  most: fittings that one can hold."""

    def __init__(self, floors: Sequence[Floor], most: int) -> None:
        self.floors = floors
        self.most = most
        self.bare = Bare(floors, most)
        self.words = self.bare.words

    def empty(self, room: int) -> Beam:
        """The bare room."""
        floor = self.floors[room]
        free = squares(floor.free, floor.stride).bit_count()
        return Beam(
            sets=np.zeros((SPOILT + 1, self.words, 1), np.uint64),
            about=np.array([free << MARK]),
            picks=np.zeros((1, self.most), np.int16),
            stands=np.full((1, self.most), NOTHING),
            worths=[free],
        )

    def grown(self, asks: Sequence[Ask]) -> list[Beam | None]:
        """Each room's beam with its wish placed; None where that finds no place."""
        answers: dict[int, Beam | None] = {}
        part: list[int] = []
        length = 0
        self.bare.look((a.room, a.wish) for a in asks)
        chosen = [self.bare.choices(a.room, a.wish) for a in asks]
        for n, (ask, choices) in enumerate(zip(asks, chosen, strict=True)):
            size = (choices.last - choices.first) * len(ask.beam.picks)
            if part and (length + size > LINES or len(part) == ROOMS):
                answers |= self._grown(asks, chosen, part)
                part, length = [], 0
            if size:
                part.append(n)
                length += size
        if part:
            answers |= self._grown(asks, chosen, part)
        return [answers.get(n) for n in range(len(asks))]

    def _grown(
        self, all_asks: Sequence[Ask], all_choices: Sequence[Choices], part: Sequence[int]
    ) -> dict[int, Beam | None]:
        """``grown`` for some of the rooms, none without a choice."""
        asks, chosen, run = (
            [all_asks[n] for n in part],
            [all_choices[n] for n in part],
            self.bare.run,
        )
        sizes = [(len(a.beam.picks), c.first, c.last) for a, c in zip(asks, chosen, strict=True)]
        many, firsts, lasts = np.array(sizes).T
        counts = lasts - firsts
        # a line for every arrangement, row, with every stance, col
        times = counts.repeat(many)
        row = np.arange(len(times)).repeat(times)
        first = firsts.repeat(many) - (times.cumsum() - times)
        col = first.repeat(times) + np.arange(len(row))
        held = np.concatenate([a.beam.sets for a in asks], 2)
        clash = held[: USE + 1].take(row, 2)
        clash &= run.shut.take(col, 2)
        fit = np.equal(_united(clash), 0).nonzero()[0]
        if not len(fit):
            return {}
        lines = (many * counts).cumsum().tolist()
        found = [0, *fit.searchsorted(lines).tolist()]
        bonds = self._bonds(asks, chosen, lines, found)
        row, col = row.take(fit), col.take(fit)
        sets = held.take(row, 2)
        sets |= run.sets.take(col, 2)
        lost = _lost(sets)
        about = np.concatenate([a.beam.about for a in asks]).take(row)
        about += run.about.take(col)
        if bonds is not None:
            about += bonds.take(fit) << MARK
        stands = np.concatenate([a.beam.stands for a in asks])
        line, kept = best(about - lost, found[1:], WIDTH, partial(_told, stands, row, col))
        row, col = row.take(line), col.take(line)
        sets, about = sets.take(line, 2), about.take(line)
        worths = (about - lost.take(line) >> MARK).tolist()
        picks = np.concatenate([a.beam.picks for a in asks]).take(row, 0)
        at = np.array([len(a.beam.placed) for a in asks]).repeat(kept)
        picks[np.arange(len(line)), at] = run.which.take(col)
        stands = stands.take(row, 0)
        stands[np.arange(len(line)), at] = col
        answers: dict[int, Beam | None] = {}
        end = 0
        for n, ask, k in zip(part, asks, kept, strict=True):
            start, end = end, end + k
            if k:
                answers[n] = Beam(
                    sets[:, :, start:end],
                    about[start:end],
                    picks[start:end],
                    stands[start:end],
                    worths[start:end],
                    (*ask.beam.placed, ask.wish),
                )
        return answers

    def _bonds(
        self,
        asks: Sequence[Ask],
        chosen: Sequence[Choices],
        ends: Sequence[int],
        found: Sequence[int],
    ) -> Ints | None:
        """What each stance is worth beside what stands in each arrangement, a line after another.

        ends: of the lines of each ask.  found: how many lines are of any use, before each ask and after.
        """
        total: Ints | None = None
        which = self.bare.run.which
        for n, ask in enumerate(asks):
            if found[n] == found[n + 1]:
                continue
            for m, other in enumerate(ask.beam.placed):
                bond = ask.wish.bond(other)
                if bond is None:
                    continue
                if total is None:
                    total = np.zeros(ends[-1], np.int64)
                cols = which[chosen[n].first : chosen[n].last]
                lines = bond.take(ask.beam.picks[:, m], 0).take(cols, 1).ravel()
                total[ends[n] - len(lines) : ends[n]] += lines
        return total

    def walkable(self, room: int, beam: Beam | None) -> Beam | None:
        """The arrangements from the first on in which one can walk to all that is used: to one side of
        what is used from all round, and to every seat at it."""
        if beam is None:
            return None
        floor = self.floors[room]
        around = [k for k, wish in enumerate(beam.placed) if wish.fitting.around]
        for n in range(len(beam.worths)):
            taken, used = beam.sets[: USE + 1, :, n].tolist()
            free = floor.free & ~joined(taken)
            stances = [beam.placed[k].columns.stances[beam.picks[n, k]] for k in around]
            if floor.connected(free, floor.keep | joined(used)) and all(
                floor.spread(s.solid) & free and not s.seats & ~floor.spread(free) for s in stances
            ):
                return beam.behind(n) if n else beam
        return None


def _told(stands: Ints, row: Ints, col: Ints, lines: Ints) -> Ints:
    """What stands where on some lines, in whatever order it was placed."""
    before, new = stands.take(row.take(lines), 0), col.take(lines)
    return np.sort(np.column_stack((before, new)), axis=1)


def joined(words: Sequence[int]) -> int:
    """A set of cells as one number.  words: lowest first."""
    bits = 0
    for word in reversed(words):
        bits = bits << 64 | word
    return bits


def _united(sets: Sets) -> Sets:
    """All words of all kinds together: [kinds, W, n] to [n]."""
    first, second, *others = sets.reshape(-1, sets.shape[2])
    found: Sets = first | second
    for more in others:
        found |= more
    return found


def _lost(sets: Sets) -> Ints:
    """What each arrangement has lost of its worth: squares spoilt, cells taken before others."""
    lost = np.bitwise_count(sets[SPOILT])
    crossed = np.bitwise_count(sets[SOLID] & sets[FRONT])
    for _ in range(CLEAR):
        lost += crossed
    first, *others = lost
    total: Ints = first.astype(np.int64)
    for more in others:
        total += more
    total <<= MARK
    return total
