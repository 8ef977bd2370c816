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
from genhouse.stages._floorplan import LAYERS, Floor
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

    sets [5, W, C].  about [2, C]: worth, and a word that tells it from all others.
    which [C]: index among all stances.  alone [S]: worth of all stances.
    """

    sets: Sets
    about: Ints
    which: Ints
    alone: Ints


Asked = tuple[int, Columns]
"""A room, and the stances asked about."""


def words_of(floors: Sequence[Floor]) -> int:
    """Words that a set of cells takes in the largest room."""
    return -(-max(f.stride * f.rect.depth for f in floors) // 64)


def looked_at(floors: Sequence[Floor], wishes: Sequence[Sequence[Wish]]) -> dict[Asked, Choices]:
    """Where the wishes of each room may stand in it bare, and what they are worth: all at once."""
    asked: dict[Asked, Wish] = {}
    marks: list[int] = []
    for room, its in enumerate(wishes):
        before = len(asked)
        for wish in its:
            if wish.columns.stances and (room, wish.columns) not in asked:
                asked[room, wish.columns] = wish
                marks.append(len(asked) - before << 12 ^ wish.mix << 31)
    found = _looked(floors, list(asked), list(asked.values()), np.array(marks)) if asked else []
    return dict(zip(asked, found, strict=True))


def _looked(
    floors: Sequence[Floor], asked: Sequence[Asked], wishes: Sequence[Wish], marks: Ints
) -> list[Choices]:
    """marks: a word that tells each wish from all others of its room."""
    rooms, words = np.array([room for room, _ in asked]), words_of(floors)
    sizes = [len(columns.stances) for _, columns in asked]
    sets = np.concatenate([columns.sets for _, columns in asked], 2)
    of = np.arange(len(asked)).repeat(sizes)
    room = rooms.take(of)
    masks = zip(*(_masks(floor, words) for floor in floors), strict=True)
    bare = packed((bits for kind in masks for bits in kind), words, 4 + LAYERS)
    heights = np.array([3 + wish.fitting.height for wish in wishes])
    shut = bare[heights, :, rooms].T.take(of, 1)
    hug, lit, whole, unused = bare[:4].take(room, 2)
    solid = sets[SOLID]
    able = ~some((solid & shut) | (sets[USE] & unused))
    sets[SPOILT] &= whole
    wall = np.array([WALL * (wish.fitting.against != "centre") for wish in wishes])
    alone: Ints = np.concatenate([columns.own for _, columns in asked]).astype(np.int64)
    alone += wall.take(of) * count(solid & hug) - WINDOW * count(sets[TALL] & lit)
    ends = list(accumulate(sizes))
    for n, (wish, size, end) in enumerate(zip(wishes, sizes, ends, strict=True)):
        if wish.fitting.fire or wish.fitting.against == "flue" or wish.columns.view is not None:
            part = slice(end - size, end)
            _peculiar(floors[asked[n][0]], wish, able[part], alone[part], words)
    which = np.arange(len(of)) - (np.array(ends) - sizes).take(of)
    index = able.nonzero()[0]
    about = np.stack((alone, _mixed(which + marks.take(of)))).take(index, 1)
    sets, which = sets[: MEETS + 1].take(index, 2), which.take(index)
    lasts = np.searchsorted(index, ends).tolist()
    return [
        Choices(sets[:, :, a:b], about[:, a:b], which[a:b], alone[end - size : end])
        for a, b, size, end in zip([0, *lasts[:-1]], lasts, sizes, ends, strict=True)
    ]


def _peculiar(
    floor: Floor, wish: Wish, able: npt.NDArray[np.bool_], alone: Ints, words: int
) -> None:
    """What few fittings ask for: to stand at the flue or beside it, to look at something."""
    fitting, columns = wish.fitting, wish.columns
    if fitting.against == "flue":
        able[:] = True
    elif fitting.fire:
        near = floor.spread(floor.flue)
        able &= np.array([bool(s.solid & near) for s in columns.stances], bool)
    if columns.view is not None:
        seen = floor.court if fitting.faces == "court" else floor.keep
        alone += FACES * some(columns.view & packed((seen,), words, 1)[0])


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
    return (counts[0] if len(counts) == 1 else counts.sum(0)).astype(np.int64)


def some(sets: Sets) -> npt.NDArray[np.bool_]:
    """Whether each set holds a cell."""
    found: npt.NDArray[np.bool_] = np.not_equal(sets[0], 0)
    for word in sets[1:]:
        found |= np.not_equal(word, 0)
    return found


def _mixed(words: Ints) -> Ints:
    """64-bit words, each bit of which hangs on all of theirs: the end of SplitMix64 (Steele, Lea
    and Flood, OOPSLA 2014)."""
    z = words.astype(np.uint64) + np.uint64(0x9E3779B97F4A7C15)
    z = (z ^ z >> np.uint64(30)) * np.uint64(0xBF58476D1CE4E5B9)
    z = (z ^ z >> np.uint64(27)) * np.uint64(0x94D049BB133111EB)
    return (z ^ z >> np.uint64(31)).view(np.int64)
