"""The search: a few best arrangements kept while each fitting is added, then each moved while that gains.

Rooms are small: every stance is scored, and the walk is tried only for the best.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from genhouse.stages._floorplan import Floor
from genhouse.stages._stances import Stance, lopsided, stances
from genhouse.stages._worth import CLEAR, Stood, alone, crowded, mates, together
from genhouse.traditions.loader import Fitting

KEPT = 3
"""Arrangements kept from one fitting to the next."""
SLACK, NEVER = 3, -(1 << 30)
"""How far below the best found a stance may stay and still be tried; no such bound."""
WORST = 2
"""Fittings that are tried together with every other, those that fall shortest."""
SWEEPS = 4
"""How often every fitting is looked at again in the end."""

Options = list[tuple[int, Stance]]
"""Stances that the bare room allows, with what each is worth alone, best first."""


class Wish(NamedTuple):
    """A fitting to place, and where it might stand."""

    name: str
    fitting: Fitting
    choices: Options


class Arrangement(NamedTuple):
    """Fittings in place.  taken: their cells.  keep: cells to walk on.  fronts: cells kept clear.

    islands: the cells of each fitting that is used from all round.  bonds: its worth but for the
    width left to walk in.  score: all of its worth.
    """

    room: tuple[Stood, ...]
    taken: int
    keep: int
    fronts: int
    islands: tuple[int, ...]
    bonds: int
    score: int


def empty(floor: Floor) -> Arrangement:
    """A bare room."""
    return Arrangement((), 0, floor.keep, 0, (), 0, 0)


def options(fitting: Fitting, floor: Floor, *, mirror: bool, mix: int) -> Options:
    """Where it may stand in the bare room.  mix: tells apart stances of equal worth."""
    shut = ~(floor.high[fitting.height - 1] & floor.free & ~floor.keep)
    width, depth = floor.rect.width, floor.rect.depth
    found = [
        (-alone(fitting, s, floor), (n ^ mix) & 63, n, s)
        for n, s in enumerate(stances(fitting, mirror and lopsided(fitting), width, depth))
        if not s.solid & shut and not s.use & ~floor.free
    ]
    return [(-value, s) for value, _, _, s in sorted(found)]


def joined(a: Arrangement, stood: Stood, bonds: int, score: int) -> Arrangement:
    """The arrangement with one more fitting."""
    s = stood.stance
    return Arrangement(
        room=(*a.room, stood),
        taken=a.taken | s.solid,
        keep=a.keep | s.use,
        fronts=a.fronts | s.front,
        islands=a.islands if s.use else (*a.islands, s.solid),
        bonds=a.bonds + bonds,
        score=score,
    )


def grown(kept: Sequence[Arrangement], wish: Wish, floor: Floor) -> list[Arrangement]:
    """The best arrangements with the wish added; none where it fits nowhere."""
    found = [
        (loss, n, bonds, k)
        for k, a in enumerate(kept)
        for loss, n, bonds in _scored(a, wish, floor)
    ]
    best: dict[int, Arrangement] = {}
    for loss, n, bonds, k in sorted(found):
        a, stance = kept[k], wish.choices[n][1]
        taken = a.taken | stance.solid
        if taken not in best and allowed(floor, a, stance):
            best[taken] = joined(a, Stood(wish.name, wish.fitting, stance), bonds, -loss)
            if len(best) == KEPT:
                break
    return list(best.values())


def improved(a: Arrangement, wishes: Sequence[Wish], floor: Floor, fixed: int = 0) -> Arrangement:
    """Each fitting but the first ``fixed`` moved to where it adds more, until none does; then those
    that fall furthest short of what they could be worth, each together with every other."""
    for _ in range(SWEEPS):
        before = a.score
        for i in range(fixed, len(a.room)):
            a = _moved(a, i, wishes[i], floor)
        if a.score == before:
            a = _paired(a, wishes, floor, fixed)
        if a.score == before:
            break
    return a


def _paired(a: Arrangement, wishes: Sequence[Wish], floor: Floor, fixed: int) -> Arrangement:
    """What falls shortest of its worth put first, then one other where that leaves it room."""
    free = range(fixed, len(a.room))
    short = [_short(a, i, wishes[i], floor) if i in free else 0 for i in range(len(a.room))]
    for i in sorted(free, key=lambda i: -short[i])[:WORST]:
        for j in free if short[i] > 0 else ():
            if i != j:
                rest = without(floor, without(floor, a, max(i, j)), min(i, j))
                for b in grown([rest], wishes[i], floor):
                    c = _added(b, wishes[j], floor, a.score)
                    if c is not None:
                        room = list(a.room)
                        room[i], room[j] = c.room[-2:]
                        a = c._replace(room=tuple(room))
    return a


def _short(a: Arrangement, i: int, wish: Wish, floor: Floor) -> int:
    """How far a fitting stays below what it would be worth in its best stance among its companions."""
    stood = a.room[i]
    near = mates(stood.name, stood.fitting, a.room[:i] + a.room[i + 1 :])
    now = alone(stood.fitting, stood.stance, floor)
    short = wish.choices[0][0] - now
    for mate in near:
        short += mate.most - together(stood.stance, mate)
    return short


def _moved(a: Arrangement, i: int, wish: Wish, floor: Floor) -> Arrangement:
    """The i-th fitting where it adds most."""
    if _short(a, i, wish, floor) <= 0:
        return a
    b = _added(without(floor, a, i), wish, floor, a.score)
    return a if b is None else b._replace(room=(*a.room[:i], b.room[-1], *a.room[i + 1 :]))


def _added(a: Arrangement, wish: Wish, floor: Floor, least: int) -> Arrangement | None:
    """The wish where it adds most, if that makes a score above ``least``."""
    for loss, n, bonds in sorted(_scored(a, wish, floor, least)):
        if -loss <= least:
            break
        stance = wish.choices[n][1]
        if allowed(floor, a, stance):
            return joined(a, Stood(wish.name, wish.fitting, stance), bonds, -loss)
    return None


def without(floor: Floor, a: Arrangement, i: int) -> Arrangement:
    """The arrangement less its i-th fitting; its score is not worked out."""
    gone = a.room[i]
    room = a.room[:i] + a.room[i + 1 :]
    keep, fronts = floor.keep, 0
    for s in room:
        keep |= s.stance.use
        fronts |= s.stance.front
    rest = Arrangement(
        room=room,
        taken=a.taken & ~gone.stance.solid,
        keep=keep,
        fronts=fronts,
        islands=tuple(s.stance.solid for s in room if not s.stance.use),
        bonds=0,
        score=0,
    )
    bonds = a.bonds - alone(gone.fitting, gone.stance, floor) - _bonds(rest, gone)
    return rest._replace(bonds=bonds)


def arranged(floor: Floor, room: Sequence[Stood]) -> Arrangement:
    """Fittings in given stances, added one by one."""
    a = empty(floor)
    for stood in room:
        value = alone(stood.fitting, stood.stance, floor)
        bonds = value + _bonds(a, stood)
        a = joined(a, stood, bonds, a.bonds + bonds + _walk(floor, a.taken | stood.stance.solid))
    return a


def _scored(
    a: Arrangement, wish: Wish, floor: Floor, least: int = NEVER
) -> list[tuple[int, int, int]]:
    """Free stances of a wish: the score it would make, negated; its number; the bonds it adds.

    Stances come best first; those that cannot reach ``least``, nor near the best found, are left out.
    """
    shut, taken, stride = a.taken | a.keep, a.taken, floor.stride
    others = mates(wish.name, wish.fitting, a.room)
    free = floor.free & ~taken
    hope = a.bonds + _walk(floor, taken) + sum(other.most for other in others)
    found = []
    for n, (value, stance) in enumerate(wish.choices):
        if value + hope <= least:
            break
        solid = stance.solid
        if solid & shut or stance.use & taken:
            continue
        left = free & ~solid
        pair = left & left >> 1
        crowd = (stance.front & taken).bit_count()
        if a.fronts & solid:
            crowd += sum((s.stance.front & solid).bit_count() for s in a.room)
        bonds = value - CLEAR * crowd
        for other in others:
            bonds += together(stance, other)
        score = a.bonds + bonds + (pair & pair >> stride).bit_count()
        if score - SLACK > least:
            least = score - SLACK
        found.append((-score, n, bonds))
    return found


def _bonds(a: Arrangement, stood: Stood) -> int:
    """What a fitting adds together with those in place."""
    stance = stood.stance
    crowd = sum(crowded(s.stance, stance) + crowded(stance, s.stance) for s in a.room)
    near = mates(stood.name, stood.fitting, a.room)
    return sum(together(stance, m) for m in near) - CLEAR * crowd


def _walk(floor: Floor, taken: int) -> int:
    left = floor.free & ~taken
    pair = left & left >> 1
    return (pair & pair >> floor.stride).bit_count()


def allowed(floor: Floor, a: Arrangement, stance: Stance) -> bool:
    """Whether it takes no taken or kept cell, can be reached, and leaves all else so."""
    if stance.solid & (a.taken | a.keep) or stance.use & a.taken:
        return False
    free = floor.free & ~a.taken & ~stance.solid
    islands = a.islands if stance.use else (*a.islands, stance.solid)
    if not all(floor.spread(solid) & free for solid in islands):
        return False
    return floor.connected(free, a.keep | stance.use)
