"""Covering: the fewest lamps that bring every point of a room to a level.

Amounts are whole millilux, so that nothing hangs on how fractions are rounded; of equals the first is
taken.  One, two or three are found by trying all.  Beyond, greedy cover (V. Chvatal, "A greedy heuristic
for the set-covering problem", Mathematics of Operations Research 4, 1979), then exchanges, then a little
spreading out.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import lru_cache, partial
from itertools import combinations
from math import comb
from typing import Any

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from genhouse.core.kept import fixed

Ints = npt.NDArray[np.int32]
Allowed = Callable[[Sequence[int]], bool]
ROUNDS = 10
"""Weightings tried for the lower bound."""
BEGINNINGS = 8
"""First candidates tried where a greedy choice was not enough."""
ALL = 3
"""How many candidates together are tried in every way ..."""
TRIALS = 1 << 16
"""... as long as that is at most so many amounts."""


class Cover(Struct, frozen=True, kw_only=True):
    """chosen: candidates, in order.  fewest: no choice of less than this many does as much.

    enough: whether every point has what it needs.
    """

    chosen: tuple[int, ...]
    fewest: int
    enough: bool


def cover(gain: Ints, need: Ints, allowed: Allowed, *, part: bool = True, low: int = 1) -> Cover:
    """Choose candidates whose gains together meet every point's need.

    gain: [C, P], what each candidate brings each point.  need: [P], under 0 where more is given.
    allowed: whether candidates may stand together; a smaller choice of what may is allowed too.
    part: whether to do what can be done where not even all together are enough.  low: fewer are known
    not to be, where any are needed.
    """
    if not len(gain) or need.max(initial=0) <= 0:
        return Cover(chosen=(), fewest=0, enough=bool(need.max(initial=0) <= 0))
    for count in range(low, ALL):
        found, possible = by_trying(gain, need, allowed, count)
        if found is not None:
            return Cover(chosen=found, fewest=low, enough=True)
        low += low == count and not possible
    need = np.maximum(need, 0)
    enough = bool((gain.sum(axis=0) >= need).all())
    if not enough and not part:
        return Cover(chosen=(), fewest=0, enough=False)
    low = max(low, int((-(-need // np.maximum(gain.max(axis=0), 1))).max()))
    if enough and low <= ALL:
        found, possible = by_trying(gain, need, allowed, ALL)
        if found is not None:
            return Cover(chosen=found, fewest=low, enough=True)
        low += low == ALL and not possible
    return _beyond(gain, need, allowed, low)


def by_trying(
    gain: Ints, need: Ints, allowed: Allowed, count: int
) -> tuple[tuple[int, ...] | None, bool]:
    """Of all ways to choose so many that are enough and allowed, the one that leaves the worst lit point
    brightest; and whether any may be enough, allowed or not."""
    number = comb(len(gain), count)
    if not 0 < number * len(need) <= TRIALS:
        return None, number > 0
    ways = _ways(len(gain), count)
    spare = (gain - need).take(ways[0], axis=0)
    for more in ways[1:]:
        spare += gain.take(more, axis=0)
    worst = spare.min(axis=1)
    enough = np.flatnonzero(worst >= 0)
    if not enough.size:
        return None, False
    ways = ways[:, enough]
    best = _most(worst[enough], lambda n: allowed(ways[:, n].tolist()))
    return None if best is None else tuple(ways[:, best].tolist()), True


@lru_cache(maxsize=128)
def _ways(n: int, count: int) -> npt.NDArray[np.intp]:
    """All ways to choose so many of n, the first of each way in the first row: [count, W]."""
    index = np.indices((n,) * count).reshape(count, -1)
    return fixed(index[:, (np.diff(index, axis=0) > 0).all(axis=0)])


def _beyond(gain: Ints, need: Ints, allowed: Allowed, low: int) -> Cover:
    """Where trying all ways would be too much.  low: a bound that is proven already."""
    useful = np.minimum(gain, need)
    chosen = _greedy(useful, need, allowed, ())
    enough = _meets(gain, need, chosen)
    if not enough:
        chosen = _from_the_darkest(useful, need, allowed, chosen)
        enough = _meets(gain, need, chosen)
    met = np.minimum(need, gain[list(chosen)].sum(axis=0, dtype=np.int32))
    found = fewest(np.minimum(useful, met), met, len(chosen)) if met.any() else 0
    low = max(low, found) if enough else found
    if enough:
        chosen = _exchanged(gain, need, chosen, allowed, low)
        chosen = _spread(gain, need, chosen, allowed)
    return Cover(chosen=tuple(sorted(chosen)), fewest=low, enough=enough)


def _meets(gain: Ints, need: Ints, chosen: tuple[int, ...]) -> bool:
    return bool((gain[list(chosen)].sum(axis=0) >= need).all())


def _from_the_darkest(
    useful: Ints, need: Ints, allowed: Allowed, chosen: tuple[int, ...]
) -> tuple[int, ...]:
    """Begin anew from each of the few that bring most to the point that was left darkest."""
    darkest = int((need - useful[list(chosen)].sum(axis=0)).argmax())
    for first in np.argsort(-useful[:, darkest], kind="stable")[:BEGINNINGS].tolist():
        if allowed((first,)):
            found = _greedy(useful, need, allowed, (first,))
            if _meets(useful, need, found):
                return found
    return chosen


def _greedy(useful: Ints, need: Ints, allowed: Allowed, begun: tuple[int, ...]) -> tuple[int, ...]:
    """Add whatever brings most of what is still wanted to what one has begun with."""
    chosen = begun
    left = np.maximum(need - useful[list(begun)].sum(axis=0, dtype=np.int32), 0)
    while left.any():
        brings = np.minimum(useful, left).sum(axis=1, dtype=np.int64)
        best = _most(brings, partial(_joins, chosen, allowed))
        if best is None or not brings[best]:
            break
        chosen = (*chosen, best)
        left = np.maximum(left - useful[best], 0)
    return chosen


def _joins(others: tuple[int, ...], allowed: Allowed, c: int) -> bool:
    return c not in others and allowed((*others, c))


def _most(worth: npt.NDArray[np.signedinteger[Any]], fits: Callable[[int], bool]) -> int | None:
    """What is worth most of all that fits, of equals the first."""
    best = int(worth.argmax())
    if fits(best):
        return best
    return next((c for c in np.argsort(-worth, kind="stable").tolist() if fits(c)), None)


def _exchanged(
    gain: Ints, need: Ints, chosen: tuple[int, ...], allowed: Allowed, low: int
) -> tuple[int, ...]:
    """Drop one, or put one for two, for as long as that is enough."""
    while len(chosen) > max(low, 1):
        fewer = _dropped(gain, need, chosen) or _merged(gain, need, chosen, allowed)
        if fewer is None:
            break
        chosen = fewer
    return chosen


def _dropped(gain: Ints, need: Ints, chosen: tuple[int, ...]) -> tuple[int, ...] | None:
    gains = gain[list(chosen)]
    idle = (gains <= gains.sum(axis=0) - need).all(axis=1)
    n = int(idle.argmax())
    return chosen[:n] + chosen[n + 1 :] if idle[n] else None


def _merged(
    gain: Ints, need: Ints, chosen: tuple[int, ...], allowed: Allowed
) -> tuple[int, ...] | None:
    spare = gain[list(chosen)].sum(axis=0) - need
    for a, b in combinations(chosen, 2):
        does = (gain >= gain[a] + gain[b] - spare).all(axis=1)
        if does.any():
            rest = tuple(x for x in chosen if x not in (a, b))
            for c in np.flatnonzero(does).tolist():
                if c not in rest and allowed((*rest, c)):
                    return (*rest, c)
    return None


def _spread(gain: Ints, need: Ints, chosen: tuple[int, ...], allowed: Allowed) -> tuple[int, ...]:
    """Move each in turn to where the worst lit point gets most."""
    spare = gain[list(chosen)].sum(axis=0) - need
    for n, old in enumerate(chosen):
        spare -= gain[old]
        worst = (gain + spare).min(axis=1)
        rest = chosen[:n] + chosen[n + 1 :]
        best = _most(worst, partial(_joins, rest, allowed))
        new = old if best is None or worst[best] <= worst[old] else best
        spare += gain[new]
        chosen = (*chosen[:n], new, *chosen[n + 1 :])
    return chosen


def fewest(useful: Ints, need: Ints, stop: int) -> int:
    """A number of candidates that no choice can go below; not sought beyond ``stop``.

    For any weights w of the points, n >= sum(w need) / max over candidates of sum(w useful): weak
    duality of linear programmes.  Points that the best candidate serves ill are weighted up, some
    rounds.  All sums stay whole and under 2^53, so that floats hold them exactly.
    """
    weight = np.full(len(need), 1 << 20, dtype=np.int64)
    safe, serves = 3 * np.maximum(need, 1).astype(np.int64), useful.astype(np.float64)
    most = 1
    for _ in range(ROUNDS):
        served = serves @ weight.astype(np.float64)
        best = int(served.argmax())
        if most >= stop or not served[best]:
            break
        most = max(most, -(-int(need @ weight) // int(served[best])))
        weight = np.maximum(weight * (safe - 2 * useful[best]) // safe, 1)
    return most
