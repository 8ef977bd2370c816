"""Beams: the best few arrangements of every room, each room's grown by one fitting more, all at once.

Every arrangement of a room is tried with every stance of the fitting, and the best of all these go
on.  The rooms are answered together: to numpy a question costs more than the length of its answer.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from genhouse.stages.furnishing.choices import Bare, Choices, Ints, Wish, count, some
from genhouse.stages.furnishing.columns import (
    FRONT,
    MEETS,
    SOLID,
    SPOILT,
    USE,
    Numbers,
    Sets,
    packed,
)
from genhouse.stages.furnishing.floorplan import Floor
from genhouse.stages.furnishing.worth import CLEAR, Stood, spoilt, squares

WORTH, MARK, LINE = 13, 20, 20
"""Bits of a key by which arrangements are ranked, below the room: worth, what it is, which line."""
LONGEST = 1 << LINE - 1
"""Arrangements that are ranked at once."""


class Beam(NamedTuple):
    """Arrangements of the same fittings in a room, best first.

    sets [4, W, B]: taken cells, cells to be used from, cells wanted clear, squares spoilt.
    about [3, B]: worth of all that hangs on one fitting or two, with the squares of the bare room;
    a word that is equal where the same stands in the same places; worth.
    picks [B, N]: the stance of each fitting.
    placed: what stands in the room.  cut: whether any have been left behind.
    """

    sets: Sets
    about: Ints
    picks: Numbers
    placed: tuple[Wish, ...] = ()
    cut: bool = False

    @property
    def best(self) -> int:
        return int(self.about[2, 0])

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
        self.bare = Bare(floors)
        self.words = self.bare.words

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
                bond = wish.bond(other)
                if bond is not None:
                    sums += int(bond[k, n])
        whole = squares(floor.free, floor.stride)
        free = squares(floor.free & ~taken, floor.stride)
        worth = sums + free.bit_count() - CLEAR * (taken & front).bit_count()
        about = np.array([[sums + whole.bit_count()], [0], [worth]])
        all_picks = np.zeros((1, self.most), np.int16)
        all_picks[0, : len(picks)] = picks
        sets = packed((taken, used, front, spoilt(taken, floor.stride) & whole), self.words, 4)
        return Beam(sets, about, all_picks, tuple(placed))

    def grown(self, asks: Sequence[Ask]) -> list[Beam | None]:
        """Each room's beam with its wish placed; None where that finds no place."""
        answers: dict[int, Beam | None] = {}
        part: list[int] = []
        length = 0
        self.bare.look((a.room, a.wish) for a in asks)
        chosen = [self.bare.choices(a.room, a.wish) for a in asks]
        for n, (ask, choices) in enumerate(zip(asks, chosen, strict=True)):
            size = len(choices.which) * len(ask.beam.picks)
            if part and length + size > LONGEST:
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
        asks, chosen = [all_asks[n] for n in part], [all_choices[n] for n in part]
        many = np.array([len(a.beam.picks) for a in asks])
        counts = np.array([len(c.which) for c in chosen])
        # a line for every arrangement, row, with every stance, col
        times = counts.repeat(many)
        row = np.arange(len(times)).repeat(times)
        first = (counts.cumsum() - counts).repeat(many) - (times.cumsum() - times)
        col = np.arange(len(row)) + first.repeat(times)
        held = np.concatenate([a.beam.sets for a in asks], 2)
        sets = np.concatenate([c.sets for c in chosen], 2)
        clash = held[SOLID].take(row, 1) & sets[MEETS].take(col, 1)
        clash |= held[USE].take(row, 1) & sets[SOLID].take(col, 1)
        fit = (~some(clash)).nonzero()[0]
        row, col = row.take(fit), col.take(fit)
        sets = sets[:MEETS].take(col, 2)
        sets |= held.take(row, 2)
        sums, marks = np.concatenate([c.about for c in chosen], 1).take(col, 1)
        about = np.concatenate([a.beam.about for a in asks], 1)
        sums += about[0].take(row)
        marks += about[1].take(row)
        bonds = _bonds(asks, chosen, len(clash[0]))
        if bonds is not None:
            sums += bonds.take(fit)
        worth = sums - count(sets[SPOILT]) - CLEAR * count(sets[SOLID] & sets[FRONT])
        # the best of each room, nothing twice
        rooms = np.arange(len(asks))
        top = (rooms << WORTH) + (1 << WORTH - 1)
        key = top.repeat(counts).take(col) - worth << MARK
        key += marks >> 20 & (1 << MARK) - 1
        key <<= LINE
        key += np.arange(len(key))
        key.sort()
        alike = key >> LINE
        once = np.ones(len(key), bool)
        np.not_equal(alike[1:], alike[:-1], out=once[1:])
        key = key[once]
        ends = key.searchsorted((rooms + 1) << WORTH + MARK + LINE).tolist()
        starts = [0, *ends[:-1]]
        kept = [min(b - a, ask.width) for a, b, ask in zip(starts, ends, asks, strict=True)]
        line = np.concatenate([key[a : a + k] for a, k in zip(starts, kept, strict=True)])
        line &= (1 << LINE) - 1
        row, col = row.take(line), col.take(line)
        sets, about = sets.take(line, 2), np.stack((sums, marks, worth)).take(line, 1)
        picks = np.concatenate([a.beam.picks for a in asks]).take(row, 0)
        at = np.array([len(a.beam.placed) for a in asks]).repeat(kept)
        picks[np.arange(len(line)), at] = np.concatenate([c.which for c in chosen]).take(col)
        answers: dict[int, Beam | None] = {}
        end = 0
        for n, a, fits, k in zip(part, asks, map(int.__sub__, ends, starts), kept, strict=True):
            start, end = end, end + k
            if a.walk:
                start = self._walked(a, sets, picks, start, end)
            if start < end:
                answers[n] = Beam(
                    sets[:, :, start:end],
                    about[:, start:end],
                    picks[start:end],
                    (*a.beam.placed, a.wish),
                    a.beam.cut or fits > k,
                )
        return answers

    def _walked(self, ask: Ask, sets: Sets, picks: Numbers, start: int, end: int) -> int:
        """The first arrangement in which one can walk to all that is used, or the end."""
        floor = self.floors[ask.room]
        wishes = (*ask.beam.placed, ask.wish)
        around = [k for k, wish in enumerate(wishes) if wish.fitting.around]
        for n in range(start, end):
            taken, used = sets[:2, 0, n].tolist()
            for k in range(1, self.words):
                taken |= int(sets[SOLID, k, n]) << 64 * k
                used |= int(sets[USE, k, n]) << 64 * k
            free = floor.free & ~taken
            if floor.connected(free, floor.keep | used) and all(
                floor.spread(wishes[k].columns.stances[picks[n, k]].solid) & free for k in around
            ):
                return n
        return end


def _bonds(asks: Sequence[Ask], chosen: Sequence[Choices], lines: int) -> Ints | None:
    """What each stance is worth beside what stands in each arrangement, a line after another."""
    total: Ints | None = None
    end = 0
    for ask, choices in zip(asks, chosen, strict=True):
        start, end = end, end + len(ask.beam.picks) * len(choices.which)
        for n, other in enumerate(ask.beam.placed):
            bond = ask.wish.bond(other)
            if bond is not None:
                if total is None:
                    total = np.zeros(lines, np.int64)
                rows = bond.take(ask.beam.picks[:, n], 0).take(choices.which, 1)
                total[start:end] += rows.ravel()
    return total
