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

from genhouse.core.light import millilux
from genhouse.core.solids import Ints
from genhouse.stages.lighting.light import PLENTY, Gains
from genhouse.stages.lighting.places import Spot

SIZES = {
    "lamp": ("small-lamp", "lamp", "large-lamp", "double-lamp"),
    "wall-lamp": ("small-wall-lamp", "wall-lamp", "large-wall-lamp", "double-wall-lamp"),
}
"""Roles of lamps that come in sizes, each by that of the one it is chosen as, from small to large."""
LARGEST = 3
NEARLY = 100
"""Millilux by which an estimate may be wrong: each lamp's light is rounded on its own."""
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
        for size in _likely(gains, n, lamps, lumens):
            found = _of_size(gains, n, lamps, size, lumens)
            if found.light.min() >= place.wanted and mean(found.light) >= place.task:
                return found
        more = _next(gains, n, lamps, allowed) if len(lamps) < len(chosen) + MORE else None
        if more is None:
            return found
        lamps.append(more)


def _likely(gains: Gains, n: int, lamps: Sequence[int], lumens: Mapping[str, int]) -> Iterator[int]:
    """The sizes, from small to large, that are enough or nearly so; the largest in any case."""
    place, given = gains.places[n], gains.given[n]
    roles = [gains.spots.spot(lamp).kind.role for lamp in lamps]
    rows = np.stack([gains.row(lamp) for lamp in lamps]) if lamps else np.zeros((0, len(given)))
    for size in range(LARGEST):
        parts = np.array([lumens[_sized(role, size)] / lumens[role] for role in roles])
        light = given + parts @ rows
        if light.min() + NEARLY >= place.wanted and mean(light) + NEARLY >= place.task:
            yield size
    yield LARGEST


def mean(light: Numbers) -> int:
    """Millilux on the mean of the points where one stands, none where there are none."""
    counted = light[light < PLENTY]
    return int(counted.sum()) // len(counted) if counted.size else PLENTY


def _of_size(
    gains: Gains, n: int, lamps: Sequence[int], size: int, lumens: Mapping[str, int]
) -> Sized:
    spots = [gains.spots.spot(lamp) for lamp in lamps]
    spots = [replace(s, kind=replace(s.kind, role=_sized(s.kind.role, size))) for s in spots]
    light = gains.given[n]
    for lamp, spot in zip(lamps, spots, strict=True):
        light = light + _row(gains, n, lamp, lumens[spot.kind.role])
    return Sized(lamps=tuple(spots), light=light)


def _sized(role: str, size: int) -> str:
    """The role of a lamp in a size; what comes in one size only stays as it is."""
    return SIZES[role][size] if role in SIZES else role


def _row(gains: Gains, n: int, lamp: int, lumens: int) -> Ints:
    """What a spot brings to each point of its place with so many lumens."""
    row = gains.row(lamp)
    bright = millilux(lumens, gains.spots.at[lamp], gains.places[n].points)
    return np.where((row > 0) & (row < PLENTY), bright, row)


def _next(
    gains: Gains, n: int, lamps: Sequence[int], allowed: Callable[[Sequence[int]], bool]
) -> int | None:
    """The spot that brings most to the place on the mean, of those that may join the others."""
    brings = np.where(gains.at(n) < PLENTY, gains.at(n), 0).sum(axis=1)
    first = gains.own(n).start

    def spots() -> Iterator[int]:
        yield from (first + c for c in np.argsort(-brings, kind="stable").tolist() if brings[c])

    return next((spot for spot in spots() if spot not in lamps and allowed([*lamps, spot])), None)
