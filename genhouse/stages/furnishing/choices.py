"""Choices: the stances that the bare rooms of a house allow, and what each is worth alone."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import accumulate, pairwise
from typing import NamedTuple

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from genhouse.core.numbers import numbers
from genhouse.stages.furnishing.columns import (
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
from genhouse.stages.furnishing.floorplan import LAYERS, Floor
from genhouse.stages.furnishing.worth import FACES, WALL, squares
from genhouse.traditions.tradition import Fitting

Ints = npt.NDArray[np.int64]


class Wish(Struct, frozen=True, gc=False, eq=False):
    """A fitting to place.  mix: tells apart arrangements of equal worth, 32 bits."""

    name: str
    fitting: Fitting
    columns: Columns
    mirror: bool
    mix: int

    @property
    def area(self) -> int:
        """What it covers of a floor, in hundredths of a cell."""
        return 100 * self.columns.feet

    def bond(self, other: Wish) -> Numbers | None:
        """What the other's stances and its own are worth together; None where nothing."""
        near = other.name in self.fitting.near or self.name in other.fitting.near
        like = other.name == self.name
        return beside(other.columns, self.columns, near, like) if near or like else None


class Choices(Struct, frozen=True, gc=False):
    """The stances of a fitting that a bare room allows: a run of all choices of the house.

    first, last: where the run starts and ends.
    """

    first: int
    last: int


class Run(NamedTuple):
    """Choices in a line.

    sets [4, W, C]: what a stance adds to the sets of an arrangement, kind by kind as in ``columns``.
    shut [2, W, C]: cells that no arrangement may have taken; cells from which none may be used.
    about [C]: worth, and in the bits below a word that tells it from all others of its room.
    which [C]: index among the stances of its fitting.
    """

    sets: Sets
    shut: Sets
    about: Ints
    which: Ints

    @staticmethod
    def empty(words: int) -> Run:
        return Run(
            sets=np.zeros((SPOILT + 1, words, 0), np.uint64),
            shut=np.zeros((2, words, 0), np.uint64),
            about=np.zeros(0, np.int64),
            which=np.zeros(0, np.int64),
        )

    def longer(self, more: Run) -> Run:
        return Run(
            sets=np.concatenate((self.sets, more.sets), 2),
            shut=np.concatenate((self.shut, more.shut), 2),
            about=np.concatenate((self.about, more.about)),
            which=np.concatenate((self.which, more.which)),
        )


MARK = 27
"""Bits below the worth of an arrangement, for the sum of words that put those of equal worth in order."""


def words_of(floors: Sequence[Floor]) -> int:
    """Words that a set of cells takes in the largest room."""
    return -(-max(f.stride * f.rect.depth for f in floors) // 64)


class Bare:
    """The rooms of a house before anything stands in them.

    most: fittings that one can hold.  words: of a set of cells.  run: all that was looked at.
    """

    def __init__(self, floors: Sequence[Floor], most: int) -> None:
        self.floors = floors
        self.words = words_of(floors)
        self.run = Run.empty(self.words)
        self._mark = (1 << MARK - most.bit_length()) - 1
        self._asked = [0] * len(floors)
        self.known: dict[tuple[int, Columns], Choices] = {}
        masks = zip(*(_masks(floor, self.words) for floor in floors), strict=True)
        self._bare = packed((bits for kind in masks for bits in kind), self.words, 4 + LAYERS)

    def choices(self, room: int, wish: Wish) -> Choices:
        """Where a wish may stand in a room; it has been looked at."""
        return self.known[room, wish.columns]

    def look(self, asks: Iterable[tuple[int, Wish]]) -> None:
        """See what the stances of wishes, each in its room, are worth; all at once."""
        known = self.known
        new = {(room, w.columns): w for room, w in asks if (room, w.columns) not in known}
        if new:
            rooms = [room for room, _ in new]
            known |= zip(new, self._look(rooms, list(new.values())), strict=True)

    def _look(self, rooms: Sequence[int], wishes: Sequence[Wish]) -> list[Choices]:
        columns = [wish.columns for wish in wishes]
        sizes = [len(its.stances) for its in columns]
        ends = list(accumulate(sizes))
        sets = np.concatenate([its.sets for its in columns], 2)
        of = np.arange(len(wishes)).repeat(sizes)
        heights = [3 + its.height for its in columns]
        shut = self._bare[heights, :, rooms].T.take(of, 1)
        hug, lit, whole, unused = self._bare[:4].take(np.array(rooms).take(of), 2)
        solid = sets[SOLID]
        able = ~some((solid & shut) | (sets[USE] & unused) | (sets[TALL] & lit))
        sets[SPOILT] &= whole
        wall = np.array([WALL * (wish.fitting.against != "centre") for wish in wishes])
        alone: Ints = np.concatenate([its.own for its in columns]).astype(np.int64)
        alone += wall.take(of) * count(solid & hug)
        for room, wish, size, end in zip(rooms, wishes, sizes, ends, strict=True):
            if wish.fitting.fire or wish.fitting.against == "flue" or wish.columns.view is not None:
                self._peculiar(room, wish, able[end - size : end], alone[end - size : end])
        index = able.nonzero()[0]
        which = index - (np.array(ends) - np.array(sizes)).take(of.take(index))
        told = which + self._told(rooms, wishes).take(of.take(index))
        marks = numbers(told.view(np.uint64), np.uint64(0)).view(np.int64) & self._mark
        sets = sets.take(index, 2)
        start = len(self.run.which)
        self.run = self.run.longer(
            Run(
                sets=sets[: SPOILT + 1],
                shut=sets[[MEETS, SOLID]],
                about=(alone.take(index) << MARK) + marks,
                which=which,
            )
        )
        found = [start, *(start + index.searchsorted(ends)).tolist()]
        return [Choices(first, last) for first, last in pairwise(found)]

    def _told(self, rooms: Sequence[int], wishes: Sequence[Wish]) -> Ints:
        """Words that tell wishes from all others of their rooms."""
        words = []
        for room, wish in zip(rooms, wishes, strict=True):
            self._asked[room] += 1
            words.append(self._asked[room] << 12 ^ wish.mix << 31)
        return np.array(words, np.int64)

    def _peculiar(self, room: int, wish: Wish, able: npt.NDArray[np.bool_], alone: Ints) -> None:
        """What few fittings ask for: to stand at the flue or beside it, to look at something."""
        fitting, columns, floor = wish.fitting, wish.columns, self.floors[room]
        if fitting.against == "flue":
            able[:] = True
        elif fitting.fire:
            able &= np.array([bool(s.solid & floor.flue) for s in columns.stances])
        if columns.view is not None:
            seen = floor.court if fitting.faces == "court" else floor.keep
            alone += FACES * some(columns.view & packed((seen,), self.words, 1)[0])


def _masks(floor: Floor, words: int) -> Iterator[int]:
    """Along shut walls, before windows, squares, not to be used from, not to be stood on by layers."""
    every = (1 << 64 * words) - 1
    yield floor.hug
    yield floor.lit
    yield squares(floor.free, floor.stride)
    yield every & ~floor.free
    for high in floor.high:
        yield every & ~(high & floor.free & ~floor.keep)


def count(sets: Sets) -> Ints:
    """How many cells each set holds: [W, number of sets] to [number of sets]."""
    counts = np.bitwise_count(sets)
    first: Ints = counts[0].astype(np.int64)
    for more in counts[1:]:
        first += more
    return first


def some(sets: Sets) -> npt.NDArray[np.bool_]:
    """Whether each set holds a cell."""
    found: npt.NDArray[np.bool_] = np.not_equal(sets[0], 0)
    for word in sets[1:]:
        found |= np.not_equal(word, 0)
    return found
