"""Stream, brooks, pond and shore: how high water stands, and how the ground comes down to it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from genhouse.core.draw import Draw
from genhouse.village.curves import FINE, Points, nearest, rounded
from genhouse.village.grids import Field, finer, mottled, scattered_at
from genhouse.village.land import CELL, HALF, PITCH, Land

Halves = npt.NDArray[np.int16]

BROOK = 420
"""Lattice places that drain by where a brook begins."""
BROOKS = 4
"""At most."""
EDGE = 6
"""Lattice places from the border within which a brook does not run for long."""
BEND, SWING = 3, 4
"""Lattice places from one bend of a brook to the next; cells that a bend may lie aside."""
POOL = 7
"""Points along the pool in which a brook rises."""
BANK = 16
"""Cells over which the ground comes down to water."""
POND_LONG = 60
"""Points from the middle of the pond to its ends."""
POND, SHORE = 9, 30
"""Cells from the stream's middle to the rim of the pond, and of the water that it ends in."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Watered:
    """ground: half cells, [X, Y]; under water its bed.  level: cells up to which water stands, 0 where dry.

    stream: its middle, points in sixteenths, from its head down; none where there is no stream.  weir:
    the cell where the pond ends, if there is one.
    """

    ground: Halves
    level: npt.NDArray[np.int16]
    stream: Points
    weir: tuple[int, int] | None


def let_in(land: Land, draw: Draw) -> Watered:
    """The ground of the whole map with its water."""
    units = land.own if land.own is not None else finer(land.heights.astype(np.int32), PITCH)
    if land.own is None:
        units += mottled(units.shape, 8, HALF // 2, draw.at("tussocks"))
    ground = (units // HALF).astype(np.int16)
    level = np.zeros(units.shape, dtype=np.int16)
    if land.sea:
        level[units < land.sea * CELL] = land.sea
        ground = np.where(level > 0, np.minimum(ground, 2 * land.sea - 2), ground)
    stream, weir = np.zeros((0, 2), dtype=np.int64), None
    if land.head is not None:
        stream, weir = _streams(land, units, ground, level, draw)
    return Watered(ground=ground, level=level, stream=stream, weir=weir)


def _streams(
    land: Land, units: Field, ground: Field, level: Field, draw: Draw
) -> tuple[Points, tuple[int, int] | None]:
    """Dig the stream and its brooks; its middle, and the cell where its pond ends."""
    assert land.head is not None
    wobble = mottled(units.shape, 8, 2 * FINE, draw.at("rim"))
    width = land.heights.shape[1]
    main = land.flow.course(land.head[0] * width + land.head[1])
    stream = _line(main, width)
    reach, weir = _reach(len(stream), draw)
    heads = _falling(stream, units, None)
    if weir is not None:
        heads[weir - POND_LONG : weir] = heads[weir - POND_LONG]
    _dig(ground, level, stream, reach, heads, wobble)
    for brook in _brooks(land, set(main)):
        line = _winding(brook, width, draw.at("brooks"))
        mouth = int(level[tuple(np.minimum(line[-1] // FINE, np.array(level.shape) - 1))])
        _dig(ground, level, line, _spring(len(line)), _falling(line, units, mouth), wobble // 3)
    if weir is None:
        return stream, None
    x, y = (stream[weir] // FINE).tolist()
    return stream, (x, y)


def _line(course: list[int], width: int) -> Points:
    return rounded([(at // width * PITCH, at % width * PITCH) for at in course])


def _winding(course: list[int], width: int, draw: Draw) -> Points:
    """A brook's line: where the land would have it run straight, it swings from side to side."""
    bends = [*course[:-1:BEND], course[-1]]
    i, j = (np.array(bends) // width, np.array(bends) % width)
    aside = [scattered_at(i, j, 2 * SWING + 1, draw.at(axis)) - SWING for axis in "xy"]
    x, y = (PITCH * at + off for at, off in zip((i, j), aside, strict=True))
    x[-1], y[-1] = PITCH * i[-1], PITCH * j[-1]
    return rounded([*zip(np.maximum(x, 0).tolist(), np.maximum(y, 0).tolist(), strict=True)])


def _spring(count: int) -> Field:
    """From a brook's middle to its rim: it rises in a pool, and grows on its way."""
    along = np.arange(count)
    return np.where(along < POOL, 34, 12 + np.minimum(along // 20, 8))


def _reach(count: int, draw: Draw) -> tuple[Field, int | None]:
    """From the stream's middle to its rim at each point, in sixteenths; and where the pond ends."""
    along = np.arange(count)
    reach = 34 + along * 20 // count
    weir = count * draw.between(56, 70, "weir") // 100
    if weir < 3 * POND_LONG:
        return reach, None
    pond = np.maximum(0, POND_LONG - np.abs(along - weir + POND_LONG))
    reach += (POND * FINE - 34) * np.minimum(pond * 2, POND_LONG) // POND_LONG
    if draw.chance(1, 2, "shore"):
        reach += SHORE * FINE * np.maximum(0, along - count + 110) // 110
    return reach, weir


def _falling(line: Points, units: Field, mouth: int | None) -> Field:
    """Cells up to which water stands at each point: never higher than before."""
    x, y = (np.clip(line[:, n] // FINE, 0, units.shape[n] - 1) for n in (0, 1))
    heads = np.minimum.accumulate(units[x, y] // CELL - 1)
    return heads if mouth is None else np.maximum(heads, mouth)


def _dig(
    ground: Field, level: Field, line: Points, reach: Field, heads: Field, wobble: Field
) -> None:
    """Dig a bed and bring the ground about it down, or up, to the water."""
    most = int(reach.max()) // FINE + BANK
    low = np.maximum(line.min(axis=0) // FINE - most, 0)
    (x0, y0), (x1, y1) = low, line.max(axis=0) // FINE + most
    ground, level, wobble = (a[x0:x1, y0:y1] for a in (ground, level, wobble))
    near = nearest(line - low * FINE, reach // FINE + BANK, (ground.shape[0], ground.shape[1]))
    close = near.point >= 0
    rim, head = reach[near.point], heads[near.point]
    beyond = near.far() + wobble * np.minimum(rim, 96) // 96 - rim
    wet = close & (beyond <= 0) & ((level == 0) | (head <= level))
    bank = close & (beyond > 0) & (level == 0)
    steps = np.clip(beyond // FINE, 0, 64)
    lowest = np.where(beyond <= 3 * FINE, 2 * head, 0)
    highest = 2 * head + 1 + steps + steps * steps // 5
    ground[bank] = np.clip(ground, lowest, highest)[bank]
    deep = np.where(beyond < -FINE, 2, 1) + (beyond < -4 * FINE)
    ground[wet] = (2 * (head - deep))[wet]
    level[wet] = head[wet]


def _brooks(land: Land, main: set[int]) -> list[list[int]]:
    """The longest of what else runs to the stream, each to where it joins."""
    comes = land.flow.comes.reshape(-1)
    fed = np.zeros(comes.shape, dtype=bool)
    big = np.flatnonzero(comes >= BROOK)
    fed[land.flow.to[big]] = True
    taken, found = set(main), list[list[int]]()
    heads = [at for at in big.tolist() if not fed[at]]
    for course in sorted((land.flow.course(at) for at in heads), key=len, reverse=True):
        ends = next((n for n, at in enumerate(course) if at in taken), None)
        inside = [1 for at in course[:ends] if min(_aside(at, land)) > EDGE]
        if ends is not None and ends > 12 and len(inside) > ends * 3 // 4 and len(found) < BROOKS:
            found.append(course[: ends + 1])
            taken.update(course[:ends])
    return found


def _aside(at: int, land: Land) -> tuple[int, ...]:
    """Lattice places from the four borders."""
    (n, m), (i, j) = land.heights.shape, divmod(at, land.heights.shape[1])
    return i, j, n - 1 - i, m - 1 - j
