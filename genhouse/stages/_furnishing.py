"""The search: all rooms of a house side by side, in each the best few arrangements at once.

A room asks for one fitting more; each of its arrangements is tried with every stance of that, and the
best of all these go on.  What a small room can hold is thus looked at whole.  The rooms' questions are
answered together, since there is far more to asking numpy a question than to a longer answer.
"""

from __future__ import annotations

from collections.abc import Generator, Iterator, Sequence
from typing import NamedTuple, TypeVar

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
    Sets,
    beside,
    packed,
)
from genhouse.stages._floorplan import Floor
from genhouse.stages._stances import Stance
from genhouse.stages._worth import CLEAR, FACES, WALL, WINDOW, Stood, squares
from genhouse.traditions.loader import Fitting

Index = npt.NDArray[np.intp]
Ints = npt.NDArray[np.int32]

WIDTH = 64
"""Arrangements of a room that go on after each fitting."""
T = TypeVar("T")


class Wish(NamedTuple):
    """A fitting to place.  mix: tells apart arrangements of equal worth."""

    name: str
    fitting: Fitting
    columns: Columns
    mirror: bool
    mix: int


class Beam(NamedTuple):
    """The best arrangements of the same fittings, best first.

    sets [4, W, B]: taken cells, cells to be used from, cells wanted clear, free squares.
    sums [B]: worth of all that hangs on one fitting or two.  worth [B].
    picks [B, N]: the stance of each.  placed: what stands in the room, by the columns of picks.
    cut: whether any has been left behind.
    """

    sets: Sets
    sums: Ints
    worth: Ints
    picks: Index
    placed: tuple[Wish, ...] = ()
    cut: bool = False

    def stances(self, row: int = 0) -> list[Stance]:
        picks = self.picks[row].tolist()
        return [w.columns.stances[n] for w, n in zip(self.placed, picks, strict=False)]

    @property
    def room(self) -> tuple[Stood, ...]:
        """The best of them."""
        return tuple(
            Stood(w.name, w.fitting, s)
            for w, s in zip(self.placed, self.stances(), strict=True)
        )


class Ask(NamedTuple):
    """A fitting more for a room.  room: which of the floors."""

    room: int
    beam: Beam
    wish: Wish


Asking = Generator[Ask, Beam | None, T]
"""A room being furnished: asks, and is told the arrangements that come of it, None where none do."""


class Taken(NamedTuple):
    """What fittings take of a floor.  solid: their cells.  keep: cells to walk on.

    islands: the cells of each fitting that is used from all round.
    """

    solid: int
    keep: int
    islands: tuple[int, ...]


def taken_by(floor: Floor, room: Sequence[Stance]) -> Taken:
    """What fittings in these stances take."""
    solid, keep = 0, floor.keep
    for stance in room:
        solid |= stance.solid
        keep |= stance.use
    return Taken(solid, keep, tuple(s.solid for s in room if not s.use))


def reached(floor: Floor, taken: Taken) -> bool:
    """Whether one can walk to all that is kept, and beside each island."""
    free = floor.free & ~taken.solid
    return floor.connected(free, taken.keep) and all(
        floor.spread(solid) & free for solid in taken.islands
    )


def allowed(floor: Floor, taken: Taken, stance: Stance) -> bool:
    """Whether it takes no taken or kept cell, can be reached, and leaves all else so."""
    if stance.solid & (taken.solid | taken.keep) or stance.use & taken.solid:
        return False
    islands = taken.islands if stance.use else (*taken.islands, stance.solid)
    return reached(floor, Taken(taken.solid | stance.solid, taken.keep | stance.use, islands))


class Floors:
    """The floors of a house, on which fittings are asked for."""

    def __init__(self, floors: Sequence[Floor], most: int) -> None:
        self.floors = floors
        self.most = most
        bits = max(f.stride * f.rect.depth for f in floors)
        self.words = words = -(-bits // 64)
        layers = len(floors[0].high)
        whole = (1 << 64 * words) - 1
        self.masks = packed(
            (
                bits
                for f in floors
                for bits in (
                    f.hug,
                    f.lit,
                    whole & ~f.free,
                    *(whole & ~(high & f.free & ~f.keep) for high in f.high),
                )
            ),
            words,
        ).reshape(words, len(floors), 3 + layers).transpose(2, 0, 1).copy()
        self.empties = packed((squares(f.free, f.stride) for f in floors), words)

    def empty(self, room: int) -> Beam:
        sets = np.zeros((4, self.words, 1), np.uint64)
        sets[3, :, 0] = self.empties[:, room]
        return Beam(
            sets,
            np.zeros(1, np.int32),
            np.zeros(1, np.int32) + _count(sets[3]),
            np.zeros((1, self.most), np.intp),
        )

    def extended(self, asks: Sequence[Ask]) -> list[Beam | None]:
        """Each room's beam with its wish placed; None where it finds no place."""
        rooms = [a.room for a in asks]
        sizes = [len(a.wish.columns.stances) for a in asks]
        sets = np.concatenate([a.wish.columns.sets for a in asks], 2)
        of = np.arange(len(asks)).repeat(sizes)
        # what each stance is worth alone
        masks = self.masks.take(rooms, 2)
        shut = np.stack([masks[2 + a.wish.fitting.height, :, n] for n, a in enumerate(asks)], 1)
        solid = sets[SOLID]
        bad = (solid & shut.take(of, 1)) | (sets[USE] & masks[2].take(of, 1))
        able = ~bad.any(0)
        by_wall = np.array([a.wish.fitting.against != "centre" for a in asks])
        alone = np.concatenate([a.wish.columns.own for a in asks]).astype(np.int32)
        alone += WALL * _count(solid & (masks[0] * by_wall).take(of, 1))
        alone -= WINDOW * _count(sets[TALL] & masks[1].take(of, 1))
        start = 0
        for a, size in zip(asks, sizes, strict=True):
            fitting, part = a.wish.fitting, slice(start, start + size)
            start += size
            if fitting.fire and fitting.against != "flue":
                floor = self.floors[a.room]
                near = floor.spread(floor.flue)
                able[part] &= [bool(s.solid & near) for s in a.wish.columns.stances]
            elif fitting.against == "flue":
                able[part] = True
            if a.wish.columns.view is not None:
                floor = self.floors[a.room]
                seen = floor.court if fitting.faces == "court" else floor.keep
                view = a.wish.columns.view & packed((seen,), self.words)
                alone[part] += FACES * view.any(0)
        index = able.nonzero()[0]
        if not len(index):
            return [None] * len(asks)
        of = of.take(index)
        counts = np.bincount(of, minlength=len(asks))
        sets, alone = sets.take(index, 2), alone.take(index)
        starts = np.cumsum(sizes) - sizes
        local = index - starts.take(of)
        # every arrangement with every stance
        beams = [a.beam for a in asks]
        many = [len(b.worth) for b in beams]
        held = np.concatenate([b.sets for b in beams], 2)
        sums = np.concatenate([b.sums for b in beams])
        reps = counts.repeat(many)
        row = np.arange(len(reps)).repeat(reps)
        first = np.cumsum(counts) - counts
        shift = first.repeat(many) - (np.cumsum(reps) - reps)
        col = np.arange(len(row)) + shift.take(row)
        taken, used = held[0].take(row, 1), held[1].take(row, 1)
        clash = (taken & sets[MEETS].take(col, 1)) | (used & sets[SOLID].take(col, 1))
        fits = (~clash.any(0)).nonzero()[0]
        if not len(fits):
            return [None] * len(asks)
        extra = self._companions(asks, local, first.tolist(), counts.tolist(), many)
        row, col = row.take(fits), col.take(fits)
        sums = sums.take(row) + alone.take(col)
        if extra is not None:
            sums += extra.take(fits)
        taken = taken.take(fits, 1) | sets[SOLID].take(col, 1)
        front = held[2].take(row, 1) | sets[FRONT].take(col, 1)
        free = held[3].take(row, 1) & ~sets[SPOILT].take(col, 1)
        worth = sums + _count(free) - CLEAR * _count(taken & front)
        # the best of each room
        room = of.take(col)
        mix = np.array([a.wish.mix for a in asks]).take(room)
        tie = (np.arange(len(room)) * 0x9E3779 + mix) & 0xFFFFFF
        order = ((room << 40) + ((0x8000 - worth).astype(np.int64) << 24) + tie).argsort()
        found = np.bincount(room, minlength=len(asks))
        place = np.arange(len(order)) - (np.cumsum(found) - found).repeat(found)
        kept = order[place < WIDTH]
        row, col, sums, worth = row.take(kept), col.take(kept), sums.take(kept), worth.take(kept)
        used = held[1].take(row, 1) | sets[USE].take(col, 1)
        new = np.stack((taken.take(kept, 1), used, front.take(kept, 1), free.take(kept, 1)))
        picks = np.concatenate([b.picks for b in beams]).take(row, 0)
        at = np.array([len(b.placed) for b in beams]).take(room.take(kept))
        picks[np.arange(len(kept)), at] = local.take(col)
        answers: list[Beam | None] = []
        end = 0
        for a, n in zip(asks, found.tolist(), strict=True):
            start, end = end, end + min(n, WIDTH)
            part = slice(start, end)
            beam = Beam(
                new[:, :, part],
                sums[part],
                worth[part],
                picks[part],
                (*a.beam.placed, a.wish),
                a.beam.cut or n > WIDTH,
            )
            answers.append(self._walked(a.room, beam))
        return answers

    def _walked(self, room: int, beam: Beam) -> Beam | None:
        """Without the first ones in which not all can be reached."""
        floor = self.floors[room]
        for n in range(len(beam.worth)):
            if reached(floor, taken_by(floor, beam.stances(n))):
                if n == 0:
                    return beam
                return beam._replace(
                    sets=beam.sets[:, :, n:],
                    sums=beam.sums[n:],
                    worth=beam.worth[n:],
                    picks=beam.picks[n:],
                )
        return None

    def _companions(self, asks, local, first, counts, many):
        parts = []
        some = False
        for a, start, count, rows in zip(asks, first, counts, many, strict=True):
            total = None
            wish, picks = a.wish, a.beam.picks
            name, fitting = wish.name, wish.fitting
            if count:
                for k, other in enumerate(a.beam.placed):
                    near = other.name in fitting.near or name in other.fitting.near
                    like = other.name == name
                    if near or like:
                        pair = beside(other.columns, wish.columns, near, like).take(picks[:, k], 0)
                        total = pair if total is None else total + pair
            if total is None:
                parts.append(np.zeros(rows * count, np.int16))
            else:
                some = True
                parts.append(total.take(local[start : start + count], 1).ravel())
        return np.concatenate(parts) if some else None


def _count(sets: Sets) -> Ints:
    """How many cells each set holds."""
    counts = np.bitwise_count(sets)
    return counts[0].astype(np.int32) if len(counts) == 1 else counts.sum(0, np.int32)


def side_by_side(floors: Floors, rooms: Sequence[Asking[T]]) -> list[T]:
    """What comes of rooms that are furnished together."""
    done: dict[int, T] = {}
    asks: dict[int, Ask] = {}
    answers: list[Beam | None] = [None] * len(rooms)
    going = list(range(len(rooms)))
    while going:
        asks = {}
        for n, answer in zip(going, answers, strict=True):
            try:
                asks[n] = rooms[n].send(answer)
            except StopIteration as stop:
                done[n] = stop.value
        going = list(asks)
        if going:
            answers = floors.extended(list(asks.values()))
    return [done[n] for n in range(len(rooms))]
