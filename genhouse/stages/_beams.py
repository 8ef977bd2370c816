"""Beams: the best few arrangements of every room, each room's grown by one fitting more, all at once.

Every arrangement of a room is tried with every stance of the fitting, and the best of all these go
on.  The rooms are answered together: to numpy a question costs more than the length of its answer.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from genhouse.stages._choices import Bare, Choices, Ints, Wish, count, some
from genhouse.stages._columns import FRONT, MEETS, SOLID, SPOILT, USE, Sets, packed
from genhouse.stages._floorplan import Floor
from genhouse.stages._worth import CLEAR, Stood, spoilt, squares

WORTH, MARK, LINE = 13, 20, 20
"""Bits of a key by which arrangements are ranked, below the room: worth, what it is, which line."""
LONGEST = 1 << LINE - 1
"""Arrangements that are ranked at once."""


class Beam(NamedTuple):
    """Arrangements of the same fittings in a room, best first.

    sets [B, 4, W]: taken cells, cells to be used from, cells wanted clear, squares spoilt.
    about [B, 2 + N]: worth of all that hangs on one fitting or two, with the squares of the bare room;
    a word that is equal where the same stands in the same places; then the stance of each fitting.
    worth [B].  placed: what stands in the room.  cut: whether any have been left behind.
    """

    sets: Sets
    about: Ints
    worth: Ints
    placed: tuple[Wish, ...] = ()
    cut: bool = False

    @property
    def best(self) -> int:
        return int(self.worth[0])

    @property
    def picks(self) -> list[int]:
        """The stances of the best one."""
        picks: list[int] = self.about[0, 2 : 2 + len(self.placed)].tolist()
        return picks

    @property
    def room(self) -> tuple[Stood, ...]:
        """The best one."""
        return tuple(
            Stood(w.name, w.fitting, w.columns.stances[n])
            for w, n in zip(self.placed, self.picks, strict=True)
        )


class Ask(NamedTuple):
    """A fitting more for a room.  room: which of the floors.  width: how many go on."""

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
            sums += int(self.bare.choices([(room, wish)])[0].alone[n])
            for other, k in zip(placed[:m], picks[:m], strict=True):
                bond = wish.bond(other)
                if bond is not None:
                    sums += int(bond[k, n])
        whole = squares(floor.free, floor.stride)
        free = squares(floor.free & ~taken, floor.stride)
        worth = sums + free.bit_count() - CLEAR * (taken & front).bit_count()
        about = np.zeros((1, 2 + self.most), np.int64)
        about[0, 0] = sums + whole.bit_count()
        about[0, 2 : 2 + len(picks)] = picks
        sets = packed((taken, used, front, spoilt(taken, floor.stride) & whole), self.words)
        return Beam(sets.reshape(1, 4, self.words), about, np.array([worth]), tuple(placed))

    def grown(self, asks: Sequence[Ask]) -> list[Beam | None]:
        """Each room's beam with its wish placed; None where that finds no place."""
        answers: dict[int, Beam | None] = {}
        part: list[int] = []
        length = 0
        chosen = self.bare.choices([(a.room, a.wish) for a in asks])
        for n, (ask, choices) in enumerate(zip(asks, chosen, strict=True)):
            size = len(choices.about) * len(ask.beam.worth)
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
        beams = [a.beam for a in asks]
        many = np.array([len(b.worth) for b in beams])
        counts = np.array([len(c.about) for c in chosen])
        of = np.arange(len(asks)).repeat(counts)
        # a line for every arrangement, row, with every stance, col
        times = counts.repeat(many)
        row = np.arange(len(times)).repeat(times)
        first = (counts.cumsum() - counts).repeat(many) - (times.cumsum() - times)
        col = np.arange(len(row)) + first.take(row)
        held = np.concatenate([b.sets for b in beams])
        sets = np.concatenate([c.sets for c in chosen])
        clash = held[:, SOLID].take(row, 0) & sets[:, MEETS].take(col, 0)
        clash |= held[:, USE].take(row, 0) & sets[:, SOLID].take(col, 0)
        fit = (~some(clash)).nonzero()[0]
        bonds = _bonds(asks, chosen, len(row))
        row, col = row.take(fit), col.take(fit)
        sets = sets[:, :MEETS].take(col, 0)
        sets |= held.take(row, 0)
        about = np.concatenate([b.about for b in beams])
        choices = np.concatenate([c.about for c in chosen])
        sums = about[:, 0].take(row) + choices[:, 0].take(col)
        marks = about[:, 1].take(row) + choices[:, 1].take(col)
        if bonds is not None:
            sums += bonds.take(fit)
        worth = sums - count(sets[:, SPOILT]) - CLEAR * count(sets[:, SOLID] & sets[:, FRONT])
        # the best of each room, nothing twice
        top = (of << WORTH) + (1 << WORTH - 1)
        key = top.take(col) - worth << MARK
        key += marks >> 20 & (1 << MARK) - 1
        key = (key << LINE) + np.arange(len(key))
        key.sort()
        alike = key >> LINE
        once = np.ones(len(key), bool)
        np.not_equal(alike[1:], alike[:-1], out=once[1:])
        line = key[once] & (1 << LINE) - 1
        found = np.bincount(of.take(col.take(line)), minlength=len(asks))
        place = np.arange(len(line)) - (found.cumsum() - found).repeat(found)
        widths = np.array([a.width for a in asks])
        line = line[place < widths.repeat(found)]
        col = col.take(line)
        sets, worth = sets.take(line, 0), worth.take(line)
        about = about.take(row.take(line), 0)
        about[:, 0], about[:, 1] = sums.take(line), marks.take(line)
        at = np.array([2 + len(b.placed) for b in beams]).take(of.take(col))
        about[np.arange(len(line)), at] = choices[:, 2].take(col)
        answers: dict[int, Beam | None] = {}
        end = 0
        for n, a, fits in zip(part, asks, found.tolist(), strict=True):
            start, end = end, end + min(fits, a.width)
            if a.walk:
                start = self._walked(a, sets, about, start, end)
            if start < end:
                answers[n] = Beam(
                    sets[start:end],
                    about[start:end],
                    worth[start:end],
                    (*a.beam.placed, a.wish),
                    a.beam.cut or fits > a.width,
                )
        return answers

    def _walked(self, ask: Ask, sets: Sets, about: Ints, start: int, end: int) -> int:
        """The first arrangement in which one can walk to all that is used, or the end."""
        floor = self.floors[ask.room]
        wishes = (*ask.beam.placed, ask.wish)
        around = [k for k, wish in enumerate(wishes) if wish.fitting.around]
        for n in range(start, end):
            taken, used = sets[n, :2, 0].tolist()
            for k in range(1, self.words):
                taken |= int(sets[n, SOLID, k]) << 64 * k
                used |= int(sets[n, USE, k]) << 64 * k
            free = floor.free & ~taken
            if floor.connected(free, floor.keep | used) and all(
                floor.spread(wishes[k].columns.stances[about[n, 2 + k]].solid) & free
                for k in around
            ):
                return n
        return end


def _bonds(asks: Sequence[Ask], chosen: Sequence[Choices], lines: int) -> Ints | None:
    """What each stance is worth beside what stands in each arrangement, a line after another."""
    total: Ints | None = None
    end = 0
    for ask, choices in zip(asks, chosen, strict=True):
        start, end = end, end + len(ask.beam.worth) * len(choices.about)
        for n, other in enumerate(ask.beam.placed):
            bond = ask.wish.bond(other)
            if bond is not None:
                if total is None:
                    total = np.zeros(lines, np.int64)
                rows = bond.take(ask.beam.about[:, 2 + n], 0).take(choices.about[:, 2], 1)
                total[start:end] += rows.ravel()
    return total
