"""Sizes of lamps: the smallest that bring a room the light for what is done there, or some lamps more.

The fewest lamps of one size are chosen first, by what the darkest corner wants; what a room gets
on the mean decides how large they are, and whether some hang between them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any

import numpy as np
import numpy.typing as npt
from msgspec import Struct
from msgspec.structs import replace

from genhouse.core.light import geometry, shed
from genhouse.core.solids import Ints
from genhouse.stages.lighting.light import PLENTY, Gains
from genhouse.stages.lighting.places import KINDS, Spot

SIZES = {
    "lamp": ("small-lamp", "lamp", "large-lamp", "double-lamp"),
    "wall-lamp": ("small-wall-lamp", "wall-lamp", "large-wall-lamp", "double-wall-lamp"),
}
"""Roles of lamps that come in sizes, each by that of the one it is chosen as, from small to large."""
LARGEST = 3
"""The number of the largest."""
MORE = 2
"""Lamps at most that a room has beyond the fewest."""


Numbers = npt.NDArray[np.integer[Any]] | npt.NDArray[np.floating[Any]]


class Sized(Struct, frozen=True, kw_only=True, eq=False):
    """Lamps of one place in their sizes.  light: what they bring with all that is fixed, [P]."""

    lamps: tuple[Spot, ...]
    light: Ints


def sized(
    gains: Gains,
    n: int,
    chosen: Sequence[int],
    lumens: Mapping[str, int],
    allowed: Callable[[Sequence[int]], bool],
) -> Sized:
    """The chosen spots of a place, and as few more as its task asks, in the smallest size that does.

    allowed: whether spots may be taken together.  Where nothing is enough: as much as these bring.
    """
    place, lamps = gains.places[n], list(chosen)
    while True:
        size, light = _fitting(gains, n, lamps, lumens)
        enough = light.min() >= place.wanted and mean(light) >= place.task
        more = None
        if not enough and len(lamps) < len(chosen) + MORE:
            more = _next(gains, n, lamps, allowed)
        if more is None:
            spots = [gains.spots.spot(lamp) for lamp in lamps]
            spots = [
                replace(s, kind=replace(s.kind, role=_sized(s.kind.role, size))) for s in spots
            ]
            return Sized(lamps=tuple(spots), light=light)
        lamps.append(more)


def _fitting(
    gains: Gains, n: int, lamps: Sequence[int], lumens: Mapping[str, int]
) -> tuple[int, Ints]:
    """The smallest size of some lamps that is enough, or the largest, and what they bring: [P]."""
    place, given = gains.places[n], gains.given[n]
    if not lamps:
        return 0, given
    some = list(lamps)
    rows = np.stack([gains.row(lamp) for lamp in lamps])
    seen = (rows > 0) & (rows < PLENTY)
    rest = given + (rows * (rows >= PLENTY)).sum(axis=0, dtype=np.int32)
    rise, fall = geometry(gains.spots[np.array(some)].at[:, None], place.points)
    roles = [KINDS[kind].role for kind in gains.spots.kind[some].tolist()]
    bright = np.array(
        [[[lumens[_sized(role, size)]] for role in roles] for size in range(LARGEST + 1)]
    )
    light = (np.rint(1000 * shed(bright, rise, fall)) * seen).sum(axis=1).astype(np.int32) + rest
    counted = light[:, rest < PLENTY]
    enough = light.min(axis=1) >= place.wanted
    if counted.size:
        enough &= counted.sum(axis=1) // counted.shape[1] >= place.task
    size = int(enough.argmax()) if enough.any() else LARGEST
    return size, light[size]


def mean(light: Numbers) -> int:
    """Millilux on the mean of the points where one stands, none where there are none."""
    counted = light[light < PLENTY]
    return int(counted.sum()) // len(counted) if counted.size else PLENTY


def _sized(role: str, size: int) -> str:
    """The role of a lamp in a size; what comes in one size only stays as it is."""
    return SIZES[role][size] if role in SIZES else role


def _next(
    gains: Gains, n: int, lamps: Sequence[int], allowed: Callable[[Sequence[int]], bool]
) -> int | None:
    """The spot that brings most to the place on the mean, of those that may join the others."""
    brings = np.where(gains.at(n) < PLENTY, gains.at(n), 0).sum(axis=1)
    first = gains.own(n).start

    def spots() -> Iterator[int]:
        yield from (first + c for c in np.argsort(-brings, kind="stable").tolist() if brings[c])

    return next((spot for spot in spots() if spot not in lamps and allowed([*lamps, spot])), None)
