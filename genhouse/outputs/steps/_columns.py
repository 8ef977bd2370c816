"""Columns of cells packed into bits, the lowest layer first: where one can stand, and what one reaches."""

from __future__ import annotations

from itertools import product
from math import isqrt

import numpy as np
import numpy.typing as npt

ARM = 5
"""An arm's length in cells (common practice)."""
EYES = 1
"""Layers from the feet to the eyes."""
MARGIN = ARM
"""Cells of ground round the plot on which one may stand."""

Columns = npt.NDArray[np.uint64]
Window = tuple[slice, slice]
ONE = np.uint64(1)
INNER = np.s_[MARGIN:-MARGIN, MARGIN:-MARGIN]
DISC = tuple(
    (dx, dy, isqrt(left))
    for dx, dy in product(range(-ARM, ARM + 1), repeat=2)
    if (left := ARM * ARM - dx * dx - dy * dy) >= 0
)
"""Columns about one's own, and how far up and down one reaches in each."""

RISE = np.full((2 * ARM + 1, 2 * ARM + 1), -1)
"""The same as an array, -1 out of reach."""
for _dx, _dy, _rise in DISC:
    RISE[_dx + ARM, _dy + ARM] = _rise
RISE.flags.writeable = False


def packed(cells: npt.NDArray[np.bool_]) -> Columns:
    """bool [X, Y, Z] as uint64 [X + 2 m, Y + 2 m], a layer a bit, in a margin."""
    weights = ONE << np.arange(cells.shape[2], dtype=np.uint64)
    found = np.where(cells, weights, np.uint64(0)).sum(axis=2, dtype=np.uint64)
    return np.asarray(np.pad(found, MARGIN), dtype=np.uint64)


def count(columns: Columns) -> int:
    return int(np.bitwise_count(columns).sum())


def room_to_stand(stands: Columns) -> Columns:
    """Layers in which feet may be: something below them, and two free cells."""
    return clear(stands) & (stands << ONE | ONE)


def clear(stands: Columns) -> Columns:
    """Layers with two free cells, one upon the other."""
    return np.asarray(~stands & ~(stands >> ONE))


def walked(room: Columns, start: Columns) -> Columns:
    """Where one gets to on foot from some places, a cell up or down at a time."""
    found = start
    while True:
        more: Columns = found | (room & near(found))
        if np.array_equal(more, found):
            return found
        found = more


def near(places: Columns) -> Columns:
    """The places beside some, level with them or a cell higher or lower."""
    wide = places.copy()
    wide[1:] |= places[:-1]
    wide[:-1] |= places[1:]
    wide[:, 1:] |= places[:, :-1]
    wide[:, :-1] |= places[:, 1:]
    return np.asarray(wide | wide << ONE | wide >> ONE)


def reached(places: Columns, *, below: bool = True) -> Columns:
    """The cells within an arm's length of the eyes of somebody at some places; below: of the feet too."""
    found = np.zeros_like(places)
    if not places.any():
        return found
    about = around(places)
    into, tall = found[about], talls(places[about], below=below)
    for dx, dy, rise in DISC:
        to, of = shifted(into.shape, dx, dy)
        into[to] |= tall[rise][of]
    return found


def reached_from(column: int, rungs: np.uint64, size: tuple[int, ...]) -> Columns:
    """The same from some layers of one column, by its place in columns made flat, as ``reached`` has it."""
    found = np.zeros(size, dtype=np.uint64)
    x, y = divmod(column, size[1])
    tall = np.array([t[0] for t in talls(np.array([rungs]))], dtype=np.uint64)
    found[x - ARM : x + ARM + 1, y - ARM : y + ARM + 1] = np.where(RISE < 0, 0, tall[RISE])
    return found


def around(columns: Columns) -> tuple[slice, slice]:
    """The rows and columns within an arm's length of whatever there is."""
    spans = []
    for axis, size in enumerate(columns.shape):
        at = np.flatnonzero(columns.any(axis=1 - axis))
        spans.append(slice(max(0, int(at[0]) - ARM), min(size, int(at[-1]) + ARM + 1)))
    return spans[0], spans[1]


def shifted(shape: tuple[int, ...], dx: int, dy: int) -> tuple[Window, Window]:
    """Where columns lie that are so far from others, and these."""
    (to_x, of_x), (to_y, of_y) = (
        (slice(by, size), slice(0, size - by))
        if by > 0
        else (slice(0, size + by), slice(-by, size))
        for by, size in zip((dx, dy), shape, strict=True)
    )
    return (to_x, to_y), (of_x, of_y)


def talls(places: Columns, *, below: bool = True) -> list[Columns]:
    """The eyes over some places, and so many layers up and down from them, by how many; down no
    further than the feet unless below."""
    eyes = np.asarray(places << np.uint64(EYES))
    found = [eyes]
    for n in range(1, ARM + 1):
        more = found[-1] | eyes << np.uint64(n)
        found.append(more | eyes >> np.uint64(n) if below or n <= EYES else more)
    return found
