"""Sizes of lamps: the smallest that bring a room the light for what is done there, or some lamps more.

The fewest lamps of one size are chosen first, by what the darkest corner wants; what a room gets
on the mean decides how large they are, and whether some hang between them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from itertools import chain, combinations
from typing import Any

import numpy as np
import numpy.typing as npt
from msgspec import Struct
from msgspec.structs import replace

from genhouse.core.light import geometry, shed
from genhouse.core.solids import Ints
from genhouse.stages.lighting.light import PLENTY, Gains
from genhouse.stages.lighting.places import USES, Spot

SIZES = {
    "lamp": ("small lamp", "lamp", "large lamp", "double lamp"),
    "wall lamp": ("small wall lamp", "wall lamp", "large wall lamp", "double wall lamp"),
}
"""Uses of lamps that come in sizes, each by that of the one it is chosen as, from small to large."""
LARGEST = 3
"""The number of the largest."""
MORE = 2
"""Lamps at most that a room has beyond the fewest."""


Numbers = npt.NDArray[np.integer[Any]] | npt.NDArray[np.floating[Any]]


class Sized(Struct, frozen=True, kw_only=True, eq=False):
    """Lamps of one place in their sizes.  light: what they bring with all that is fixed, [P]."""

    lamps: tuple[Spot, ...]
    light: Ints


class Want(Struct, frozen=True, kw_only=True, eq=False):
    """Lamps of a place, by number, that are to be sized.  allowed: whether spots may be taken together."""

    place: int
    lamps: tuple[int, ...]
    allowed: Callable[[Sequence[int]], bool]


def sized(gains: Gains, wants: Sequence[Want], lumens: Mapping[str, int]) -> list[Sized]:
    """The lamps of each, and as few more as its place's task asks, in the smallest size that does.

    Where nothing is enough: as much as these bring.
    """
    found: dict[int, Sized] = {}
    trying = {n: want.lamps for n, want in enumerate(wants)}
    while trying:
        some, trying = trying, {}
        fits = _fitting(gains, [(wants[n].place, lamps) for n, lamps in some.items()], lumens)
        for (n, lamps), (size, enough, light) in zip(some.items(), fits, strict=True):
            short = not enough and len(lamps) < len(wants[n].lamps) + MORE
            more = _more(gains, wants[n], lamps, lumens) if short else None
            if more is None:
                spots = tuple(_in_size(gains.spots.spot(lamp), size) for lamp in lamps)
                found[n] = Sized(lamps=spots, light=light)
            else:
                trying[n] = more
    return [found[n] for n in range(len(wants))]


def _fitting(
    gains: Gains, some: Sequence[tuple[int, tuple[int, ...]]], lumens: Mapping[str, int]
) -> Iterator[tuple[int, bool, Ints]]:
    """For some places with lamps in each: the smallest size that is enough, or the largest; whether it
    is enough; and what the lamps bring: [P]."""
    places = [gains.places[n] for n, _ in some]
    ends = np.cumsum([len(place.points) for place in places])
    firsts = ends - [len(place.points) for place in places]
    rest, light = _bright(gains, some, firsts, lumens)
    counted = rest < PLENTY
    number = np.add.reduceat(counted, firsts, dtype=np.int64)
    total = np.add.reduceat(light * counted, firsts, axis=1, dtype=np.int64)
    low = np.minimum.reduceat(light, firsts, axis=1)
    enough = (low >= [p.wanted for p in places]) & (
        (number == 0) | (total // np.maximum(number, 1) >= [p.task for p in places])
    )
    any_is, first = enough.any(axis=0).tolist(), enough.argmax(axis=0).tolist()
    for n, (a, b) in enumerate(zip(firsts.tolist(), ends.tolist(), strict=True)):
        size = first[n] if any_is[n] else LARGEST
        yield size, any_is[n], light[size, a:b]


def _bright(
    gains: Gains,
    some: Sequence[tuple[int, tuple[int, ...]]],
    firsts: npt.NDArray[np.int_],
    lumens: Mapping[str, int],
) -> tuple[Ints, Ints]:
    """What reaches the points of all these places one after another but for the lamps, [P], and with
    them in each size, [4, P]."""
    given = np.concatenate([gains.given[n] for n, _ in some])
    lamps = [(lamp, k, n) for k, (n, own) in enumerate(some) for lamp in own]
    if not lamps:
        return given, np.broadcast_to(given, (LARGEST + 1, len(given)))
    amount = np.concatenate([gains.row(lamp) for lamp, *_ in lamps])
    points = [gains.places[n].points for *_, n in lamps]
    lamp = np.arange(len(lamps)).repeat([len(some) for some in points])
    slot = np.concatenate(
        [np.arange(len(p)) + firsts[k] for p, (_, k, _) in zip(points, lamps, strict=True)]
    )
    spots = gains.spots[np.array([lamp for lamp, *_ in lamps])]
    rise, fall = geometry(spots.at[lamp], np.concatenate(points))
    uses = [USES[use] for use in spots.use.tolist()]
    bright = np.array([[lumens[_sized(use, size)] for use in uses] for size in range(LARGEST + 1)])
    seen = (amount > 0) & (amount < PLENTY)
    each = np.rint(1000 * shed(bright[:, lamp], rise, fall)) * seen
    rest = given + _summed(slot, amount * (amount >= PLENTY), len(given))
    return rest, np.stack([_summed(slot, one, len(given)) for one in each]) + rest


def _summed(slot: Numbers, amount: Numbers, size: int) -> Ints:
    return np.bincount(slot, amount, size).astype(np.int32)


def mean(light: Numbers) -> int:
    """Millilux on the mean of the points where one stands, none where there are none."""
    counted = light[light < PLENTY]
    return int(counted.sum()) // len(counted) if counted.size else PLENTY


def _in_size(spot: Spot, size: int) -> Spot:
    return replace(spot, use=_sized(spot.use, size))


def _sized(use: str, size: int) -> str:
    """The use of a lamp in a size; what comes in one size only stays as it is."""
    return SIZES[use][size] if use in SIZES else use


def _more(
    gains: Gains, want: Want, lamps: Sequence[int], lumens: Mapping[str, int]
) -> tuple[int, ...] | None:
    """These lamps and the one that brings most to the place on the mean, of those that may join them; where
    none may join the only one, two in its stead that leave no corner darker than is wanted."""
    brings = np.where(gains.at(want.place) < PLENTY, gains.at(want.place), 0).sum(axis=1)
    first = gains.own(want.place).start
    best = [first + c for c in np.argsort(-brings, kind="stable").tolist() if brings[c]]
    joined = ((*lamps, spot) for spot in best if spot not in lamps)
    pairs = combinations(best, 2) if len(lamps) == 1 else ()
    instead = (some for some in pairs if want.allowed(some) and _reach(gains, want, some, lumens))
    return next(chain(filter(want.allowed, joined), instead), None)


def _reach(gains: Gains, want: Want, lamps: tuple[int, ...], lumens: Mapping[str, int]) -> bool:
    """Whether lamps, as large as they will be, leave no point darker than is wanted."""
    ((_, _, light),) = _fitting(gains, [(want.place, lamps)], lumens)
    return int(light.min()) >= gains.places[want.place].wanted
