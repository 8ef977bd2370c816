"""Beams: the best few arrangements of every room, each room's grown by one fitting more, all at once.

Every arrangement of a room is tried with every stance of the fitting, and the best of all these go
on.  The rooms are answered together: to numpy a question costs more than the length of its answer.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import accumulate
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from genhouse.stages._columns import (
    FRONT,
    MEETS,
    SOLID,
    SPOILT,
    TALL,
    USE,
    Columns,
    Numbers,
    Sets,
    beside,
    packed,
)
from genhouse.stages._floorplan import Floor
from genhouse.stages._stances import Stance
from genhouse.stages._worth import CLEAR, FACES, WALL, WINDOW, Stood, spoilt, squares
from genhouse.traditions.loader import Fitting

Index = npt.NDArray[np.intp]
Ints = npt.NDArray[np.int64]

WORTH, MARK, LINE = 13, 20, 20
"""Bits of a key by which arrangements are ranked, below the room: worth, what it is, which line."""
LONGEST = 1 << LINE - 1
"""Arrangements that are ranked at once."""


class Wish(NamedTuple):
    """A fitting to place.  mix: tells apart arrangements of equal worth, 32 bits."""

    name: str
    fitting: Fitting
    columns: Columns
    mirror: bool
    mix: int

    def bond(self, other: Wish) -> Numbers | None:
        """What the other's stances and its own are worth together; None where nothing."""
        near = other.name in self.fitting.near or self.name in other.fitting.near
        like = other.name == self.name
        return beside(other.columns, self.columns, near, like) if near or like else None


class Beam(NamedTuple):
    """Arrangements of the same fittings in a room, best first.

    sets [4, W, B]: taken cells, cells to be used from, cells wanted clear, squares spoilt.
    about [2 + N, B]: worth of all that hangs on one fitting or two, with the squares of the bare room;
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
        picks: list[int] = self.about[2 : 2 + len(self.placed), 0].tolist()
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


class Choices(NamedTuple):
    """The stances of a fitting that a bare room allows.

    sets [5, W, C].  about [3, C]: worth, a word that tells it from all others, index among all stances.
    alone [S]: worth of all stances.
    """

    sets: Sets
    about: Ints
    alone: Ints


class Beams:
    """The floors of a house, and what was asked of them.  most: fittings that one can hold."""

    def __init__(self, floors: Sequence[Floor], most: int) -> None:
        self.floors = floors
        self.most = most
        self.words = -(-max(f.stride * f.rect.depth for f in floors) // 64)
        self._asked = [0] * len(floors)
        self._known: dict[tuple[int, Columns], Choices] = {}
        masks = packed((bits for floor in floors for bits in self._masks(floor)), self.words)
        self._bare = masks.reshape(self.words, len(floors), -1).transpose(2, 0, 1).copy()

    def _masks(self, floor: Floor) -> Iterator[int]:
        """Along shut walls, before windows, squares, not to be used from, not to be stood on by layers."""
        every = (1 << 64 * self.words) - 1
        yield floor.hug
        yield floor.lit
        yield squares(floor.free, floor.stride)
        yield every & ~floor.free
        for high in floor.high:
            yield every & ~(high & floor.free & ~floor.keep)

    def standing(self, room: int, placed: Sequence[Wish], picks: Sequence[int]) -> Beam:
        """One arrangement of fittings that have been asked for."""
        floor = self.floors[room]
        taken = used = front = sums = 0
        for m, (wish, n) in enumerate(zip(placed, picks, strict=True)):
            stance = wish.columns.stances[n]
            taken |= stance.solid
            used |= stance.use
            front |= stance.front
            sums += int(self._known[room, wish.columns].alone[n])
            for other, k in zip(placed[:m], picks[:m], strict=True):
                bond = wish.bond(other)
                if bond is not None:
                    sums += int(bond[k, n])
        whole = squares(floor.free, floor.stride)
        free = squares(floor.free & ~taken, floor.stride)
        worth = sums + free.bit_count() - CLEAR * (taken & front).bit_count()
        about = np.zeros((2 + self.most, 1), np.int64)
        about[0] = sums + whole.bit_count()
        about[2 : 2 + len(picks), 0] = picks
        sets = packed((taken, used, front, spoilt(taken, floor.stride) & whole), self.words)
        return Beam(sets.T.reshape(4, self.words, 1), about, np.array([worth]), tuple(placed))

    def grown(self, asks: Sequence[Ask]) -> list[Beam | None]:
        """Each room's beam with its wish placed; None where that finds no place."""
        new = [a for a in asks if (a.room, a.wish.columns) not in self._known]
        if new:
            self._look(new)
        answers: dict[int, Beam | None] = {}
        part: list[int] = []
        length = 0
        chosen = [self._known[a.room, a.wish.columns] for a in asks]
        for n, (ask, choices) in enumerate(zip(asks, chosen, strict=True)):
            size = choices.about.shape[1] * len(ask.beam.worth)
            if part and length + size > LONGEST:
                answers |= self._grown(asks, chosen, part)
                part, length = [], 0
            if size:
                part.append(n)
                length += size
        if part:
            answers |= self._grown(asks, chosen, part)
        return [answers.get(n) for n in range(len(asks))]

    def _look(self, asks: Sequence[Ask]) -> None:
        """What the stances of each wish are worth in the bare room."""
        sizes = [len(a.wish.columns.stances) for a in asks]
        sets = np.concatenate([a.wish.columns.sets for a in asks], 2)
        of = np.arange(len(asks)).repeat(sizes)
        bare = self._bare.take([a.room for a in asks], 2)
        shut = np.stack([bare[3 + a.wish.fitting.height, :, n] for n, a in enumerate(asks)], 1)
        walls = bare[0] * np.array([a.wish.fitting.against != "centre" for a in asks])
        solid = sets[SOLID]
        able = ~((solid & shut.take(of, 1)) | (sets[USE] & bare[3].take(of, 1))).any(0)
        sets[SPOILT] &= bare[2].take(of, 1)
        alone = np.concatenate([a.wish.columns.own for a in asks])
        alone = alone + WALL * _count(solid & walls.take(of, 1))
        alone -= WINDOW * _count(sets[TALL] & bare[1].take(of, 1))
        ends = list(accumulate(sizes))
        for ask, size, end in zip(asks, sizes, ends, strict=True):
            if ask.wish.fitting.fire or ask.wish.columns.view is not None:
                self._peculiar(ask, able[end - size : end], alone[end - size : end])
        words = [self._word(ask) for ask in asks]
        index = able.nonzero()[0]
        where = np.arange(len(of)) - (np.array(ends) - sizes).take(of)
        marks = _mixed(where + np.array(words).take(of))
        about = np.stack((alone, marks, where)).take(index, 1)
        sets = sets[: MEETS + 1].take(index, 2)
        counts = np.bincount(of.take(index), minlength=len(asks)).tolist()
        for ask, size, end, count, last in zip(
            asks, sizes, ends, counts, accumulate(counts), strict=True
        ):
            first = last - count
            self._known[ask.room, ask.wish.columns] = Choices(
                sets[:, :, first:last], about[:, first:last], alone[end - size : end]
            )

    def _word(self, ask: Ask) -> int:
        """A word that tells this wish from all others of the room."""
        self._asked[ask.room] += 1
        return self._asked[ask.room] << 12 ^ ask.wish.mix << 31

    def _peculiar(self, ask: Ask, fits: npt.NDArray[np.bool_], value: Ints) -> None:
        """What few fittings ask for: to stand at the flue or beside it, to look at something."""
        fitting, columns, floor = ask.wish.fitting, ask.wish.columns, self.floors[ask.room]
        if fitting.against == "flue":
            fits[:] = True
        elif fitting.fire:
            near = floor.spread(floor.flue)
            fits &= np.array([bool(s.solid & near) for s in columns.stances])
        if columns.view is not None:
            seen = floor.court if fitting.faces == "court" else floor.keep
            value += FACES * (columns.view & packed((seen,), self.words)).any(0)

    def _grown(
        self, all_asks: Sequence[Ask], all_choices: Sequence[Choices], part: Sequence[int]
    ) -> dict[int, Beam | None]:
        """``grown`` for some of the rooms, none without a choice."""
        asks, chosen = [all_asks[n] for n in part], [all_choices[n] for n in part]
        beams = [a.beam for a in asks]
        many = np.array([len(b.worth) for b in beams])
        counts = np.array([c.about.shape[1] for c in chosen])
        of = np.arange(len(asks)).repeat(counts)
        # a line for every arrangement, row, with every stance, col
        times = counts.repeat(many)
        row = np.arange(len(times)).repeat(times)
        first = (counts.cumsum() - counts).repeat(many) - (times.cumsum() - times)
        col = np.arange(len(row)) + first.take(row)
        held = np.concatenate([b.sets for b in beams], 2).take(row, 2)
        sets = np.concatenate([c.sets for c in chosen], 2).take(col, 2)
        clash = held[SOLID] & sets[MEETS] | held[USE] & sets[SOLID]
        fit = (clash == 0).all(0).nonzero()[0]
        sets = (held | sets[:MEETS]).take(fit, 2)
        row, col = row.take(fit), col.take(fit)
        about = np.concatenate([b.about for b in beams], 1)
        chosen_about = np.concatenate([c.about for c in chosen], 1)
        sums = about[:2].take(row, 1) + chosen_about[:2].take(col, 1)
        bonds = _bonds(asks, chosen, clash.shape[1])
        if bonds is not None:
            sums[0] += bonds.take(fit)
        worth = sums[0] - _count(sets[SPOILT]) - CLEAR * _count(sets[SOLID] & sets[FRONT])
        # the best of each room, nothing twice
        top = (of << WORTH) + (1 << WORTH - 1)
        key = top.take(col) - worth << MARK
        key += sums[1] >> 20 & (1 << MARK) - 1
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
        sets, worth = sets.take(line, 2), worth.take(line)
        about = about.take(row.take(line), 1)
        about[:2] = sums.take(line, 1)
        at = np.array([2 + len(b.placed) for b in beams]).take(of.take(col))
        about[at, np.arange(len(line))] = chosen_about[2].take(col)
        answers: dict[int, Beam | None] = {}
        end = 0
        for n, a, count in zip(part, asks, found.tolist(), strict=True):
            start, end = end, end + min(count, a.width)
            if a.walk:
                start = self._walked(a, sets, about, start, end)
            if start < end:
                answers[n] = Beam(
                    sets[:, :, start:end],
                    about[:, start:end],
                    worth[start:end],
                    (*a.beam.placed, a.wish),
                    a.beam.cut or count > a.width,
                )
        return answers

    def _walked(self, ask: Ask, sets: Sets, about: Ints, start: int, end: int) -> int:
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
                floor.spread(wishes[k].columns.stances[about[2 + k, n]].solid) & free
                for k in around
            ):
                return n
        return end


def _bonds(asks: Sequence[Ask], chosen: Sequence[Choices], lines: int) -> Ints | None:
    """What each stance is worth beside what stands in each arrangement, a line after another."""
    total: Ints | None = None
    end = 0
    for ask, choices in zip(asks, chosen, strict=True):
        start, end = end, end + len(ask.beam.worth) * choices.about.shape[1]
        for n, other in enumerate(ask.beam.placed):
            bond = ask.wish.bond(other)
            if bond is not None:
                if total is None:
                    total = np.zeros(lines, np.int64)
                rows = bond.take(ask.beam.about[2 + n], 0).take(choices.about[2], 1)
                total[start:end] += rows.ravel()
    return total


def _count(sets: Sets) -> Ints:
    """How many cells each set holds."""
    counts = np.bitwise_count(sets)
    return (counts[0] if len(counts) == 1 else counts.sum(0)).astype(np.int64)


def _mixed(words: Index) -> Ints:
    """64-bit words, each bit of which hangs on all of theirs: the end of SplitMix64 (Steele, Lea
    and Flood, OOPSLA 2014)."""
    z = words.astype(np.uint64) + np.uint64(0x9E3779B97F4A7C15)
    z = (z ^ z >> np.uint64(30)) * np.uint64(0xBF58476D1CE4E5B9)
    z = (z ^ z >> np.uint64(27)) * np.uint64(0x94D049BB133111EB)
    return (z ^ z >> np.uint64(31)).view(np.int64)
