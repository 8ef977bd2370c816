"""Courses of a roof: rows along the eaves, each of one kind of column from end to end, and how the next
repeat them, so many layers higher."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from msgspec import Struct

from genhouse.core.axes import FLANKS, Axis, Side, cell_at
from genhouse.model.design import Design
from genhouse.model.roof import Cover
from genhouse.outputs.even.work import Done

LEAST = 4
"""Cells of one kind that make a row worth telling; at least half of it are of that kind."""
PERIODS = (1, 2, 3, 4)
"""Rows after which a slope may repeat itself."""
VERGE = 3
"""Cells by which a roof may go on past the ends of its wing."""
Cell = tuple[int, int]
Column = tuple[int, ...]


class Course(Struct, frozen=True, kw_only=True, gc=False):
    """One row of a slope.  across: where it lies.  low, high: its first cell along, and the first past
    it.  column: the pieces of its first cell, upward, and of most others.  odd: cells that differ.
    """

    across: int
    low: int
    high: int
    column: Column
    odd: tuple[Cell, ...]


class Repeat(Struct, frozen=True, kw_only=True):
    """Courses that are told, and those after them that repeat them in turn, each time so many layers
    higher."""

    told: tuple[Course, ...]
    again: tuple[tuple[Course, ...], ...] = ()
    rise: int = 0


class Slope(Struct, frozen=True, kw_only=True):
    """One side of a wing's roof, from the eaves up."""

    wing: str
    axis: Axis
    side: Side
    repeats: tuple[Repeat, ...]


def slopes(design: Design, done: Done) -> Iterator[Slope]:
    """Those of every wing of which a step that covers lays even rows; no cell is in two of them."""
    taken = set[Cell]()
    roof = design.palette.having("covers")
    if not any(p.role in roof and done.kinds[p.box[:3]] for p in design.parts):
        return
    for cover in design.covers:
        for side in FLANKS[cover.axis]:
            if rows := list(_courses(cover, side, done, taken)):
                repeats = tuple(_repeats(rows))
                yield Slope(wing=cover.called, axis=cover.axis, side=side, repeats=repeats)


def _courses(cover: Cover, side: Side, done: Done, taken: set[Cell]) -> Iterator[Course]:
    lie, (low, high) = cover.lie, cover.eaves
    deep, middle = done.kinds.shape[0 if cover.axis == "y" else 1], (lie.y0 + lie.y1) // 2
    first = side == FLANKS[cover.axis][0]
    across = range(lie.y0 - low, middle) if first else range(lie.y1 - 1 + high, middle - 1, -1)
    for row in across:
        if 0 <= row < deep and (course := _course(cover, row, done, taken)):
            taken |= {cell_at(cover.axis, n, row) for n in range(course.low, course.high)}
            yield course


def _course(cover: Cover, row: int, done: Done, taken: set[Cell]) -> Course | None:
    """What is even of a row, as far as it goes before another wing's begins."""
    long = done.kinds.shape[0 if cover.axis == "x" else 1]
    reach = range(max(0, cover.lie.x0 - VERGE), min(long, cover.lie.x1 + VERGE))
    cells = {n: cell_at(cover.axis, n, row) for n in reach}
    columns = {n: tuple(done.kinds[c].tolist()) for n, c in cells.items() if c not in taken}
    counts = Counter(column for column in columns.values() if any(column))
    if not counts:
        return None
    column, _ = counts.most_common(1)[0]
    low, high = min(alike := [n for n in columns if columns[n] == column]), max(alike) + 1
    odd = tuple(cells[n] for n in range(low, high) if columns.get(n) != column)
    if len(alike) < LEAST or len(odd) > len(alike) or taken & {cells[n] for n in range(low, high)}:
        return None
    return Course(across=row, low=low, high=high, column=column, odd=odd)


def _repeats(rows: Sequence[Course]) -> Iterator[Repeat]:
    """From the eaves up what repeats itself longest, and alone what does not."""
    n = 0
    while n < len(rows):
        period, rise, count = max(
            ((p, rise, _lasting(rows[n:], p, rise)) for p in PERIODS for rise in range(p + 1)),
            key=lambda one: (one[2], -one[0]),
        )
        if count < 2 * period:
            period, rise, count = 1, 0, 1
        groups = [tuple(rows[k : min(k + period, n + count)]) for k in range(n, n + count, period)]
        yield Repeat(told=groups[0], again=tuple(groups[1:]), rise=rise)
        n += count


def _lasting(rows: Sequence[Course], period: int, rise: int) -> int:
    """Over how many rows each is the one so many before it, so much higher, and none is left out."""
    count = min(period, len(rows))
    while count < len(rows):
        before, row = rows[count - period], rows[count]
        if row.column != lifted(before.column, rise) or abs(row.across - before.across) != period:
            break
        count += 1
    return count


def lifted(column: Column, rise: int) -> Column:
    """
    >>> lifted((0, 5, 6, 0), 1)
    (0, 0, 5, 6)
    """
    return (0,) * rise + column[: len(column) - rise]
