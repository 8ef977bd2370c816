"""Beams: the best few arrangements of every room, each room's grown by one fitting more, all at once.

Every arrangement of a room is tried with every stance of the fitting, and the best of all these go
on.  The rooms are answered together: to numpy a question costs more than the length of its answer.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
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
from genhouse.stages._worth import CLEAR, FACES, WALL, WINDOW, Stood, squares
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

    sets [4, W, B]: taken cells, cells to be used from, cells wanted clear, free squares.
    sums [B]: worth of all that hangs on one fitting or two.  worth [B].
    marks [B]: equal where the same stands in the same places.
    picks [B, N]: the stance of each.  placed: what stands in the room, by the columns of picks.
    cut: whether any have been left behind.
    """

    sets: Sets
    sums: Ints
    worth: Ints
    marks: Sets
    picks: Index
    placed: tuple[Wish, ...] = ()
    cut: bool = False

    @property
    def best(self) -> int:
        return int(self.worth[0])

    def stances(self, row: int = 0) -> list[Stance]:
        picks = self.picks[row].tolist()
        return [w.columns.stances[n] for w, n in zip(self.placed, picks, strict=False)]

    @property
    def room(self) -> tuple[Stood, ...]:
        """The best of them."""
        return tuple(
            Stood(w.name, w.fitting, s) for w, s in zip(self.placed, self.stances(), strict=True)
        )


class Ask(NamedTuple):
    """A fitting more for a room.  room: which of the floors.  width: how many go on."""

    room: int
    beam: Beam
    wish: Wish
    width: int


class Choices(NamedTuple):
    """The stances of a fitting that a bare room allows.

    index [C]: among all.  sets [6, W, C].  alone [C]: their worth; alone_of: of all stances.
    """

    index: Index
    sets: Sets
    alone: Ints
    alone_of: Ints


class Beams:
    """The floors of a house, and what was asked of them.  most: fittings that one can hold."""

    def __init__(self, floors: Sequence[Floor], most: int) -> None:
        self.floors = floors
        self.most = most
        self.words = -(-max(f.stride * f.rect.depth for f in floors) // 64)
        self._known: dict[tuple[int, Columns], Choices] = {}
        masks = packed((bits for floor in floors for bits in self._masks(floor)), self.words)
        self._bare = masks.reshape(self.words, len(floors), -1).transpose(2, 0, 1).copy()

    def _masks(self, floor: Floor) -> Iterator[int]:
        """Along shut walls, before windows, not to be used from, not to be stood on by layers."""
        every = (1 << 64 * self.words) - 1
        yield floor.hug
        yield floor.lit
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
            sums += int(self._known[room, wish.columns].alone_of[n])
            for other, k in zip(placed[:m], picks[:m], strict=True):
                bond = wish.bond(other)
                if bond is not None:
                    sums += int(bond[k, n])
        free = squares(floor.free & ~taken, floor.stride)
        worth = sums + free.bit_count() - CLEAR * (taken & front).bit_count()
        row = np.zeros((1, self.most), np.intp)
        row[0, : len(picks)] = picks
        return Beam(
            sets=packed((taken, used, front, free), self.words).T.reshape(4, self.words, 1),
            sums=np.array([sums]),
            worth=np.array([worth]),
            marks=np.zeros(1, np.uint64),
            picks=row,
            placed=tuple(placed),
        )

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
            size = len(choices.index) * len(ask.beam.worth)
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
        shut = np.stack([bare[2 + a.wish.fitting.height, :, n] for n, a in enumerate(asks)], 1)
        walls = bare[0] * np.array([a.wish.fitting.against != "centre" for a in asks])
        solid = sets[SOLID]
        able = ~((solid & shut.take(of, 1)) | (sets[USE] & bare[2].take(of, 1))).any(0)
        alone = np.concatenate([a.wish.columns.own for a in asks])
        alone = alone + WALL * _count(solid & walls.take(of, 1))
        alone -= WINDOW * _count(sets[TALL] & bare[1].take(of, 1))
        end = 0
        for ask, size in zip(asks, sizes, strict=True):
            start, end = end, end + size
            fits, value = able[start:end], alone[start:end]
            self._peculiar(ask, fits, value)
            index = fits.nonzero()[0]
            self._known[ask.room, ask.wish.columns] = Choices(
                index, ask.wish.columns.sets.take(index, 2), value.take(index), value
            )

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
        counts = np.array([len(c.index) for c in chosen])
        of = np.arange(len(asks)).repeat(counts)
        # a line for every arrangement, row, with every stance, col
        times = counts.repeat(many)
        row = np.arange(len(times)).repeat(times)
        first = (counts.cumsum() - counts).repeat(many) - (times.cumsum() - times)
        col = np.arange(len(row)) + first.take(row)
        held = np.concatenate([b.sets for b in beams], 2)
        sets = np.concatenate([c.sets for c in chosen], 2)
        clash = held[0].take(row, 1) & sets[MEETS].take(col, 1)
        clash |= held[1].take(row, 1) & sets[SOLID].take(col, 1)
        fit = (~clash.any(0)).nonzero()[0]
        row, col = row.take(fit), col.take(fit)
        sums = np.concatenate([b.sums for b in beams]).take(row)
        sums += np.concatenate([c.alone for c in chosen]).take(col)
        bonds = _bonds(asks, chosen)
        if bonds is not None:
            sums += bonds.take(fit)
        taken = held[0].take(row, 1) | sets[SOLID].take(col, 1)
        front = held[2].take(row, 1) | sets[FRONT].take(col, 1)
        free = held[3].take(row, 1) & ~sets[SPOILT].take(col, 1)
        worth = sums + _count(free) - CLEAR * _count(taken & front)
        index = np.concatenate([c.index for c in chosen])
        marks = np.concatenate([b.marks for b in beams]).take(row)
        marks += _mixed(index + np.array([_kin(a) << 12 for a in asks]).take(of)).take(col)
        # the best of each room, nothing twice
        room = of.take(col)
        mixes = np.array([a.wish.mix for a in asks], np.uint64)
        key = (room << WORTH) + (1 << WORTH - 1) - worth << MARK
        key += (_mixed(marks ^ mixes.take(room)) >> np.uint64(64 - MARK)).astype(np.int64)
        key = (key << LINE) + np.arange(len(key))
        key.sort()
        once = np.ones(len(key), bool)
        once[1:] = np.diff(key >> LINE) != 0
        line = key[once] & (1 << LINE) - 1
        found = np.bincount(room.take(line), minlength=len(asks))
        place = np.arange(len(line)) - (found.cumsum() - found).repeat(found)
        widths = np.array([a.width for a in asks])
        line = line[place < widths.repeat(found)]
        row, col = row.take(line), col.take(line)
        used = held[1].take(row, 1) | sets[USE].take(col, 1)
        new = np.stack((taken.take(line, 1), used, front.take(line, 1), free.take(line, 1)))
        picks = np.concatenate([b.picks for b in beams]).take(row, 0)
        at = np.array([len(b.placed) for b in beams]).take(of.take(col))
        picks[np.arange(len(line)), at] = index.take(col)
        sums, worth, marks = sums.take(line), worth.take(line), marks.take(line)
        answers: dict[int, Beam | None] = {}
        end = 0
        for n, a, count in zip(part, asks, found.tolist(), strict=True):
            start, end = end, end + min(count, a.width)
            go = slice(self._walked(a, new, picks, start, end), end)
            if go.start < end:
                answers[n] = Beam(
                    new[:, :, go], sums[go], worth[go], marks[go], picks[go],
                    (*a.beam.placed, a.wish), a.beam.cut or count > a.width,
                )  # fmt: skip
        return answers

    def _walked(self, ask: Ask, sets: Sets, picks: Index, start: int, end: int) -> int:
        """The first arrangement in which one can walk to all that is used, or the end."""
        floor = self.floors[ask.room]
        around = [
            (k, wish.columns.stances)
            for k, wish in enumerate((*ask.beam.placed, ask.wish))
            if wish.fitting.around
        ]
        for n in range(start, end):
            taken, used = (
                sum(word << 64 * k for k, word in enumerate(words))
                for words in sets[:2, :, n].tolist()
            )
            free = floor.free & ~taken
            islands = [stances[picks[n, k]].solid for k, stances in around]
            if floor.connected(free, floor.keep | used) and all(
                floor.spread(solid) & free for solid in islands
            ):
                return n
        return end


def _kin(ask: Ask) -> int:
    """A number that fittings share whose stances are the same."""
    for n, wish in enumerate(ask.beam.placed):
        if wish.columns is ask.wish.columns:
            return n
    return len(ask.beam.placed)


def _bonds(asks: Sequence[Ask], chosen: Sequence[Choices]) -> Ints | None:
    """What each stance is worth beside what stands in each arrangement, a line after another."""
    parts, some = [], False
    for ask, choices in zip(asks, chosen, strict=True):
        found = None
        for n, other in enumerate(ask.beam.placed):
            bond = ask.wish.bond(other)
            if bond is not None:
                rows = bond.take(ask.beam.picks[:, n], 0)
                found = rows if found is None else found + rows
        if found is None:
            parts.append(np.zeros(len(ask.beam.worth) * len(choices.index), np.int16))
        else:
            some = True
            parts.append(found.take(choices.index, 1).ravel())
    return np.concatenate(parts).astype(np.int64) if some else None


def _count(sets: Sets) -> Ints:
    """How many cells each set holds."""
    counts = np.bitwise_count(sets)
    return (counts[0] if len(counts) == 1 else counts.sum(0)).astype(np.int64)


def _mixed(words: npt.NDArray[np.generic]) -> Sets:
    """64-bit words, each bit of which hangs on all of theirs: the end of SplitMix64 (Steele, Lea
    and Flood, OOPSLA 2014)."""
    z = words.astype(np.uint64) + np.uint64(0x9E3779B97F4A7C15)
    z = (z ^ z >> np.uint64(30)) * np.uint64(0xBF58476D1CE4E5B9)
    z = (z ^ z >> np.uint64(27)) * np.uint64(0x94D049BB133111EB)
    return z ^ z >> np.uint64(31)
