"""The search: fittings added one by one where each gains most, then moved, a few at a time, while it gains.

What two fittings are worth to each other is written down once for every stance of the one and a stance
of the other, so that to look at all the places of a fitting is to add a few rows.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

from genhouse.stages._floorplan import Floor
from genhouse.stages._stances import Stance, lopsided, stances
from genhouse.stages._worth import CLEAR, NEAR, TWINS, Mate, Stood, alone, mates, squares, together
from genhouse.traditions.loader import Fitting

NEVER = -(1 << 20)
"""Worth of two stances that exclude each other."""
SWEEPS = 4
"""How often every fitting is looked at again, one by one."""
ROUNDS = 10
"""How often in vain a few fittings are taken up and set down anew before the search ends: fewer leave
more rooms below the best of 200 random placements, and time grows in proportion."""
UP = 8
"""Most fittings taken up together, less one."""
SPOTS = 12
"""Places, the best ones, that the first of them is tried in; shared out over a room's fittings."""

Options = list[tuple[int, Stance]]
"""Stances that the bare room allows, with what each is worth alone, best first."""


class Wish(NamedTuple):
    """A fitting to place, and where it might stand."""

    name: str
    fitting: Fitting
    choices: Options


def options(fitting: Fitting, floor: Floor, *, mirror: bool, mix: int) -> Options:
    """Where it may stand in the bare room.  mix: tells apart stances of equal worth."""
    shut = ~(floor.high[fitting.height - 1] & floor.free & ~floor.keep)
    blocked = ~floor.free
    near = floor.spread(floor.flue) if fitting.fire else -1
    width, depth = floor.rect.width, floor.rect.depth
    found = [
        (-alone(fitting, s, floor), (n ^ mix) & 63, n, s)
        for n, s in enumerate(stances(fitting, mirror and lopsided(fitting), width, depth))
        if s.solid & near and not s.solid & shut and not s.use & blocked
    ]
    found.sort()
    return [(-value, s) for value, _, _, s in found]


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


def allowed(floor: Floor, taken: Taken, stance: Stance) -> bool:
    """Whether it takes no taken or kept cell, can be reached, and leaves all else so."""
    if stance.solid & (taken.solid | taken.keep) or stance.use & taken.solid:
        return False
    free = floor.free & ~taken.solid & ~stance.solid
    islands = taken.islands if stance.use else (*taken.islands, stance.solid)
    if not all(floor.spread(solid) & free for solid in islands):
        return False
    return floor.connected(free, taken.keep | stance.use)


class Arrangement:
    """A room being furnished.  wishes: what is in it.  at: which of its choices each has.

    score: the room's worth.  fixed: how many, from the first, nobody may move.
    """

    def __init__(self, floor: Floor) -> None:
        self.floor = floor
        self.fixed = 0
        self.wishes: list[Wish] = []
        self.at: list[int] = []
        self.score = squares(floor.free, floor.stride)
        self._alone: list[list[int]] = []
        self._spoils: list[list[int]] = []
        self._reaches: list[list[int]] = []
        self._rows: dict[tuple[int, int, int], list[int]] = {}
        self._pairs: dict[tuple[int, int], tuple[bool, bool]] = {}
        self._stride = floor.stride

    @property
    def room(self) -> tuple[Stood, ...]:
        """The fittings in their stances."""
        return tuple(
            Stood(w.name, w.fitting, w.choices[n][1])
            for w, n in zip(self.wishes, self.at, strict=True)
        )

    @property
    def covered(self) -> int:
        """Cells that fittings stand on."""
        return sum(s.stance.solid.bit_count() for s in self.room)

    def add(self, wish: Wish) -> bool:
        """Set it where it adds most; whether it has found a place."""
        self.wishes.append(wish)
        self.at.append(-1)
        self._alone.append([value for value, _ in wish.choices])
        self._spoils.append([_spoilt(s.solid, self._stride) for _, s in wish.choices])
        self._reaches.append([_reach(s) for _, s in wish.choices])
        i = len(self.at) - 1
        if self._set(i):
            return True
        del self.wishes[i], self.at[i], self._alone[i], self._spoils[i], self._reaches[i]
        self._rows = {key: row for key, row in self._rows.items() if i not in key[:2]}
        self._pairs = {key: pair for key, pair in self._pairs.items() if i not in key}
        return False

    def improve(self, below: Callable[[int, int], int]) -> None:
        """Move fittings until no move of one gains; then take up a few at a time and set them down
        anew, those first that fall short of what they could be worth.

        below: a number drawn below the first argument, the second tells draws apart.
        """
        self._sweep()
        drawn, free = 0, list(range(self.fixed, len(self.at)))
        if len(free) < 2:
            return
        misses = 0
        while misses < ROUNDS:
            drawn += 20
            rest = list(free)
            up = []
            for n in range(2 + below(UP, drawn + 1)):
                if rest:
                    up.append(rest.pop(below(len(rest), drawn + 2 + n)))
            misses = 0 if self._relaid(up, below(1 + SPOTS // len(free), drawn + 9)) else misses + 1

    def _relaid(self, up: Sequence[int], nth: int) -> bool:
        """Some fittings taken up and set down in turn, the first in its n-th best place; undone where
        that loses.  Whether it has gained."""
        at, score = list(self.at), self.score
        for i in up:
            self.at[i] = -1
        self.score = self._worth()
        hopes = [self._hope(i, up[n + 1 :]) for n, i in enumerate(up)]
        left = sum(hopes)
        for i, hope in zip(up, hopes, strict=True):
            left -= hope
            if not self._set(i, nth) or self.score + left < score:
                self.at, self.score = at, score
                return False
            nth = 0
        if self.score == score:
            return False
        self._sweep()
        return True

    def _worth(self) -> int:
        """The worth of what is set down."""
        there = [(k, n) for k, n in enumerate(self.at) if n >= 0]
        score = self._squares(there).bit_count()
        for m, (i, n) in enumerate(there):
            score += self._alone[i][n] + sum(self._row(i, k, j)[n] for k, j in there[:m])
        return score

    def _hope(self, i: int, later: Sequence[int]) -> int:
        """What a fitting can add at most before some others are set."""
        most = self._alone[i][0]
        for k in range(len(self.at)):
            if k != i and k not in later:
                near, like = self._pair(i, k)
                most += NEAR[0] * near + TWINS * like
        return most

    def _sweep(self) -> None:
        """Each fitting moved to where it adds more, until none does."""
        for _ in range(SWEEPS):
            before = self.score
            for i in range(self.fixed, len(self.at)):
                self._take_up(i)
                self._set(i)
            if self.score == before:
                break

    def _others(self, i: int) -> list[tuple[int, int]]:
        return [(k, n) for k, n in enumerate(self.at) if n >= 0 and k != i]

    def _take_up(self, i: int) -> None:
        n, self.at[i] = self.at[i], -1
        others = self._others(i)
        self.score -= self._alone[i][n] + sum(self._row(i, k, m)[n] for k, m in others)
        self.score += (self._squares(others) & self._spoils[i][n]).bit_count()

    def _set(self, i: int, nth: int = 0) -> bool:
        """A fitting in its n-th best place, or one before that; whether there is any."""
        others = self._others(i)
        free, choices, spoils = self._squares(others), self.wishes[i].choices, self._spoils[i]
        rows = [self._row(i, k, n) for k, n in others]
        adds = (
            list(map(sum, zip(self._alone[i], *rows, strict=True)))
            if rows
            else list(self._alone[i])
        )
        adds = [a - (free & spoilt).bit_count() for a, spoilt in zip(adds, spoils, strict=True)]
        taken = taken_by(self.floor, [self.wishes[k].choices[n][1] for k, n in others])
        while adds:
            most = max(adds)
            if most < NEVER // 2:
                return False
            n = adds.index(most)
            if nth <= 0 and allowed(self.floor, taken, choices[n][1]):
                self.at[i] = n
                self.score += most
                return True
            nth -= 1
            adds[n] = NEVER
        return False

    def _squares(self, others: Sequence[tuple[int, int]]) -> int:
        """Squares of two by two free cells, each by its lowest."""
        free, stride = self.floor.free, self._stride
        for k, n in others:
            free &= ~self.wishes[k].choices[n][1].solid
        pair = free & free >> 1
        return pair & pair >> stride

    def _pair(self, i: int, k: int) -> tuple[bool, bool]:
        """Whether two are companions, and whether they are alike."""
        found = self._pairs.get((i, k))
        if found is None:
            (name, fitting, _), other = self.wishes[i], self.wishes[k]
            mate = mates(name, fitting, [Stood(other.name, other.fitting, other.choices[0][1])])
            found = (mate[0].near, mate[0].like) if mate else (False, False)
            self._pairs[i, k] = found
        return found

    def _row(self, i: int, k: int, n: int) -> list[int]:
        """What each choice of one is worth together with a choice of another."""
        row = self._rows.get((i, k, n))
        if row is None:
            near, like = self._pair(i, k)
            its = self.wishes[k].choices[n][1]
            row = _worth_beside(self.wishes[i].choices, self._reaches[i], Mate(its, near, like))
            self._rows[i, k, n] = row
        return row


def _worth_beside(choices: Options, reaches: Sequence[int], mate: Mate) -> list[int]:
    """What each choice is worth together with another fitting; NEVER where they exclude each other.

    reaches: all cells that each choice has to do with.
    """
    its = mate.stance
    solid, front, shut, reach = its.solid, its.front, its.solid | its.use, _reach(its)
    row = [
        0
        if not reach & near
        else NEVER
        if s.solid & shut or s.use & solid
        else -CLEAR * ((s.front & solid).bit_count() + (front & s.solid).bit_count())
        for near, (_, s) in zip(reaches, choices, strict=True)
    ]
    if mate.near or mate.like:
        row = [v + together(s, mate) for v, (_, s) in zip(row, choices, strict=True)]
    return row


def _reach(stance: Stance) -> int:
    return stance.solid | stance.use | stance.front


def _spoilt(solid: int, stride: int) -> int:
    """The squares of two by two cells, each by its lowest, of which a fitting takes part."""
    wide = solid | solid >> 1
    return wide | wide >> stride
