"""Beams: the best few arrangements of every room, each room's grown by one fitting more, all at once.

Every arrangement of a room is tried with every stance of the fitting, and the best of all these go
on.  The rooms are answered together: to numpy a question costs more than the length of its answer.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from genhouse.stages.furnishing.choices import MARK, WORTH, Bare, Choices, Ints, Wish
from genhouse.stages.furnishing.columns import (
    FRONT,
    SOLID,
    SPOILT,
    USE,
    Columns,
    Numbers,
    Sets,
    packed,
)
from genhouse.stages.furnishing.floorplan import Floor
from genhouse.stages.furnishing.worth import CLEAR, Stood, spoilt, squares

LINE, ROOM = 17, 6
"""Bits of a key by which arrangements are ranked, below and above what is known about each: which
line it is and which of the rooms that are answered together."""
TOPS = (np.arange(1 << ROOM) << WORTH + MARK) + (1 << WORTH + MARK - 1)
ENDS = np.arange(1, 1 << ROOM) << WORTH + MARK + LINE
"""Of each room: the key of an arrangement worth nothing, less its line; the end of its keys."""


class Beam(NamedTuple):
    """Arrangements of the same fittings in a room, best first.

    sets [4, W, B]: taken cells, cells to be used from, cells wanted clear, squares spoilt.
    about [B]: worth of all that hangs on one fitting or two, with the squares of the bare room; in the
    bits below it a number that is equal where the same stands in the same places.
    picks [B, N]: the stance of each fitting.  best: worth of the first.
    placed: what stands in the room.  cut: whether any have been left behind.
    """

    sets: Sets
    about: Ints
    picks: Numbers
    best: int
    placed: tuple[Wish, ...] = ()
    cut: bool = False

    @property
    def first(self) -> list[int]:
        """The stances of the best one."""
        picks: list[int] = self.picks[0, : len(self.placed)].tolist()
        return picks

    @property
    def room(self) -> tuple[Stood, ...]:
        """The best one."""
        return tuple(
            Stood(w.name, w.fitting, w.columns.stances[n])
            for w, n in zip(self.placed, self.first, strict=True)
        )


class Ask(NamedTuple):
    """A fitting more for a room.  room: which of the floors.  width: how many go on.

    walk: whether one must be able to walk to all that is used in the best.
    """

    room: int
    beam: Beam
    wish: Wish
    width: int
    walk: bool = True


class Beams:
    """The floors of a house, and what was asked of them.  most: fittings that one can hold."""

    def __init__(self, floors: Sequence[Floor], most: int) -> None:
        self.floors = floors
        self.most = most
        self.bare = Bare(floors, most)
        self.words = self.bare.words
        self._pairs: dict[tuple[Columns, Columns], Numbers | None] = {}

    def standing(self, room: int, placed: Sequence[Wish], picks: Sequence[int]) -> Beam:
        """One arrangement."""
        floor = self.floors[room]
        taken = used = front = sums = 0
        for m, (wish, n) in enumerate(zip(placed, picks, strict=True)):
            stance = wish.columns.stances[n]
            taken |= stance.solid
            used |= stance.use
            front |= stance.front
            sums += int(self.bare.choices(room, wish).alone[n])
            for other, k in zip(placed[:m], picks[:m], strict=True):
                bond = self._bond(wish, other)
                if bond is not None:
                    sums += int(bond[k, n])
        whole = squares(floor.free, floor.stride)
        free = squares(floor.free & ~taken, floor.stride)
        sets = packed((taken, used, front, spoilt(taken, floor.stride) & whole), self.words, 4)
        all_picks = np.zeros((1, self.most), np.int16)
        all_picks[0, : len(picks)] = picks
        return Beam(
            sets=sets,
            about=np.array([sums + whole.bit_count() << MARK]),
            picks=all_picks,
            best=sums + free.bit_count() - CLEAR * (taken & front).bit_count(),
            placed=tuple(placed),
        )

    def hopeless(self, ask: Ask) -> bool:
        """Whether the wish is known to have no place even in the bare room."""
        choices = self.bare.known.get((ask.room, ask.wish.columns))
        return choices is not None and choices.first == choices.last

    def grown(self, asks: Sequence[Ask]) -> list[Beam | None]:
        """Each room's beam with its wish placed; None where that finds no place."""
        answers: dict[int, Beam | None] = {}
        part: list[int] = []
        length = 0
        self.bare.look((a.room, a.wish) for a in asks)
        chosen = [self.bare.choices(a.room, a.wish) for a in asks]
        for n, (ask, choices) in enumerate(zip(asks, chosen, strict=True)):
            size = (choices.last - choices.first) * len(ask.beam.picks)
            if part and (length + size > 1 << LINE or len(part) == len(ENDS)):
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
        bonds = self._bonds(asks, chosen, len(row))
        row, col = row.take(fit), col.take(fit)
        sets = held.take(row, 2)
        sets |= run.sets.take(col, 2)
        lost = _lost(sets)
        tops = TOPS[: len(asks)]
        before = tops.repeat(many) - np.concatenate([a.beam.about for a in asks])
        key = before.take(row) - run.about.take(col)
        key += lost
        if bonds is not None:
            key -= bonds.take(fit) << MARK
        # the best of each room, nothing twice
        key <<= LINE
        key |= np.arange(len(key))
        key.sort()
        alike = key >> LINE
        once = np.ones(len(key), bool)
        np.not_equal(alike[1:], alike[:-1], out=once[1:])
        key = key[once]
        ends = key.searchsorted(ENDS[: len(asks)]).tolist()
        starts = [0, *ends[:-1]]
        kept = [min(b - a, ask.width) for a, b, ask in zip(starts, ends, asks, strict=True)]
        key = np.concatenate([key[a : a + k] for a, k in zip(starts, kept, strict=True)])
        line = key & (1 << LINE) - 1
        row, col = row.take(line), col.take(line)
        sets = sets.take(line, 2)
        known = tops.repeat(kept) - (key >> LINE)
        about, worth = known + lost.take(line), (known >> MARK).tolist()
        picks = np.concatenate([a.beam.picks for a in asks]).take(row, 0)
        at = np.array([len(a.beam.placed) for a in asks]).repeat(kept)
        picks[np.arange(len(line)), at] = run.which.take(col)
        answers: dict[int, Beam | None] = {}
        end = 0
        for n, a, fits, k in zip(part, asks, map(int.__sub__, ends, starts), kept, strict=True):
            start, end = end, end + k
            if a.walk:
                start = self._walked(a, sets, picks, start, end)
            if start < end:
                answers[n] = Beam(
                    sets[:, :, start:end],
                    about[start:end],
                    picks[start:end],
                    worth[start],
                    (*a.beam.placed, a.wish),
                    a.beam.cut or fits > k,
                )
        return answers

    def _bonds(self, asks: Sequence[Ask], chosen: Sequence[Choices], lines: int) -> Ints | None:
        """What each stance is worth beside what stands in each arrangement, a line after another."""
        total: Ints | None = None
        end = 0
        for ask, choices in zip(asks, chosen, strict=True):
            start, end = end, end + len(ask.beam.picks) * (choices.last - choices.first)
            which = self.bare.run.which[choices.first : choices.last]
            for n, other in enumerate(ask.beam.placed):
                bond = self._bond(ask.wish, other)
                if bond is not None:
                    if total is None:
                        total = np.zeros(lines, np.int64)
                    total[start:end] += bond.take(ask.beam.picks[:, n], 0).take(which, 1).ravel()
        return total

    def _bond(self, wish: Wish, other: Wish) -> Numbers | None:
        """``Wish.bond``, worked out once."""
        pair = wish.columns, other.columns
        if pair not in self._pairs:
            self._pairs[pair] = wish.bond(other)
        return self._pairs[pair]

    def _walked(self, ask: Ask, sets: Sets, picks: Numbers, start: int, end: int) -> int:
        """The first arrangement in which one can walk to all that is used, or the end."""
        floor = self.floors[ask.room]
        wishes = (*ask.beam.placed, ask.wish)
        around = [k for k, wish in enumerate(wishes) if wish.fitting.around]
        for n in range(start, end):
            taken, used, *_ = sets[:, :, n].tolist()
            free = floor.free & ~joined(taken)
            if floor.connected(free, floor.keep | joined(used)) and all(
                floor.spread(wishes[k].columns.stances[picks[n, k]].solid) & free for k in around
            ):
                return n
        return end


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
