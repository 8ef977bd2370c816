"""Choices: the stances that the bare rooms of a house allow, and what each is worth alone."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import accumulate
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from genhouse.stages._columns import (
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
from genhouse.stages._worth import FACES, WALL, WINDOW, squares
from genhouse.traditions.loader import Fitting

Ints = npt.NDArray[np.int64]


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


class Choices(NamedTuple):
    """The stances of a fitting that a bare room allows.

    sets [C, 5, W].  about [C, 3]: worth, a word that tells it from all others, index among all stances.
    alone [S]: worth of all stances.
    """

    sets: Sets
    about: Ints
    alone: Ints


class Bare:
    """The rooms of a house before anything stands in them.  words: of a set of cells."""

    def __init__(self, floors: Sequence[Floor]) -> None:
        self.floors = floors
        self.words = -(-max(f.stride * f.rect.depth for f in floors) // 64)
        self._asked = [0] * len(floors)
        self._known: dict[tuple[int, Columns], Choices] = {}
        masks = packed((bits for floor in floors for bits in self._masks(floor)), self.words)
        self._bare = masks.reshape(len(floors), -1, self.words)

    def choices(self, asks: Sequence[tuple[int, Wish]]) -> list[Choices]:
        """Where each wish may stand in its room.  asks: rooms, each with a wish."""
        new = [ask for ask in asks if (ask[0], ask[1].columns) not in self._known]
        if new:
            self._look(new)
        return [self._known[room, wish.columns] for room, wish in asks]

    def _look(self, asks: Sequence[tuple[int, Wish]]) -> None:
        """What the stances of each wish are worth in the bare room, all at once."""
        rooms, wishes = [room for room, _ in asks], [wish for _, wish in asks]
        fittings = [wish.fitting for wish in wishes]
        sizes = [len(wish.columns.stances) for wish in wishes]
        sets = np.concatenate([wish.columns.sets for wish in wishes])
        of = np.arange(len(asks)).repeat(sizes)
        bare = self._bare.take(rooms, 0)
        shut = bare[np.arange(len(asks)), [3 + f.height for f in fittings]].take(of, 0)
        hug, lit, whole, unused = (bare[:, k].take(of, 0) for k in range(4))
        solid = sets[:, SOLID]
        able = ~some((solid & shut) | (sets[:, USE] & unused))
        sets[:, SPOILT] &= whole
        wall = np.array([WALL * (f.against != "centre") for f in fittings])
        own = [wish.columns.own for wish in wishes]
        alone: Ints = np.concatenate(own).astype(np.int64)
        np.add(alone, wall.take(of) * count(solid & hug), out=alone)
        np.subtract(alone, WINDOW * count(sets[:, TALL] & lit), out=alone)
        ends = list(accumulate(sizes))
        for (room, wish), size, end in zip(asks, sizes, ends, strict=True):
            if wish.fitting.fire or wish.fitting.against == "flue" or wish.columns.view is not None:
                self._peculiar(room, wish, able[end - size : end], alone[end - size : end])
        words = np.array([self._word(room, wish) for room, wish in asks])
        index = able.nonzero()[0]
        where = np.arange(len(of)) - (np.array(ends) - sizes).take(of)
        marks = _mixed(where + words.take(of))
        about = np.stack((alone, marks, where), 1, dtype=np.int64).take(index, 0)
        sets = sets[:, : MEETS + 1].take(index, 0)
        first = 0
        counts = np.bincount(of.take(index), minlength=len(asks)).tolist()
        for (room, wish), size, end, found in zip(asks, sizes, ends, counts, strict=True):
            last = first + found
            self._known[room, wish.columns] = Choices(
                sets[first:last], about[first:last], alone[end - size : end]
            )
            first = last

    def _word(self, room: int, wish: Wish) -> int:
        """A word that tells this wish from all others of the room."""
        self._asked[room] += 1
        return self._asked[room] << 12 ^ wish.mix << 31

    def _peculiar(self, room: int, wish: Wish, able: npt.NDArray[np.bool_], alone: Ints) -> None:
        """What few fittings ask for: to stand at the flue or beside it, to look at something."""
        fitting, columns, floor = wish.fitting, wish.columns, self.floors[room]
        if fitting.against == "flue":
            able[:] = True
        elif fitting.fire:
            near = floor.spread(floor.flue)
            able &= np.array([bool(s.solid & near) for s in columns.stances])
        if columns.view is not None:
            seen = floor.court if fitting.faces == "court" else floor.keep
            alone += FACES * some(columns.view & packed((seen,), self.words))

    def _masks(self, floor: Floor) -> Iterator[int]:
        """Along shut walls, before windows, squares, not to be used from, not to be stood on by layers."""
        every = (1 << 64 * self.words) - 1
        yield floor.hug
        yield floor.lit
        yield squares(floor.free, floor.stride)
        yield every & ~floor.free
        for high in floor.high:
            yield every & ~(high & floor.free & ~floor.keep)


def count(sets: Sets) -> Ints:
    """How many cells each set holds: [number of sets, W] to [number of sets]."""
    counts = np.bitwise_count(sets)
    return (counts[:, 0] if counts.shape[1] == 1 else counts.sum(1)).astype(np.int64)


def some(sets: Sets) -> npt.NDArray[np.bool_]:
    """Whether each set holds a cell."""
    found: npt.NDArray[np.bool_] = np.not_equal(sets[:, 0], 0)
    for n in range(1, sets.shape[1]):
        found |= np.not_equal(sets[:, n], 0)
    return found


def _mixed(words: Ints) -> Ints:
    """64-bit words, each bit of which hangs on all of theirs: the end of SplitMix64 (Steele, Lea
    and Flood, OOPSLA 2014)."""
    z = words.astype(np.uint64) + np.uint64(0x9E3779B97F4A7C15)
    z = (z ^ z >> np.uint64(30)) * np.uint64(0xBF58476D1CE4E5B9)
    z = (z ^ z >> np.uint64(27)) * np.uint64(0x94D049BB133111EB)
    return (z ^ z >> np.uint64(31)).view(np.int64)
