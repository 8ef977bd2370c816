"""What is said of the courses of a roof: slope by slope, from the eaves up."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from itertools import chain

from genhouse.core.box import Rect
from genhouse.core.spoken import listed, some
from genhouse.outputs.even.columns import told_upward, upward
from genhouse.outputs.even.courses import Cell, Course, Slope
from genhouse.outputs.even.work import Done
from genhouse.outputs.guide._places import place
from genhouse.outputs.sheets.letters import letters_of


def told_slopes(slopes: Iterator[Slope], done: Done) -> Iterator[str]:
    """A sentence for each slope."""
    for slope in slopes:
        clauses = tuple(_clauses(slope, done))
        way = "from the edge inward" if _level(slope) else "from the eaves up"
        side = f", {slope.side} side, {way}" if clauses[1:] else ""
        yield f"{slope.wing.capitalize()}{side}: {'; '.join(clauses)}."


def _level(slope: Slope) -> bool:
    """Whether no course climbs over another."""
    rows = [row for repeat in slope.repeats for row in (*repeat.told, *chain(*repeat.again))]
    return len({max(z for z, kind in enumerate(row.column) if kind) for row in rows}) == 1


def _clauses(slope: Slope, done: Done) -> Iterator[str]:
    for repeat in slope.repeats:
        for course in repeat.told:
            told = listed(told_upward(done, upward(course.column)))
            yield f"{_rows(slope, [course])} {_span(slope, course)}, {told}"
        for n, courses in enumerate(repeat.again, 1):
            first = repeat.told[: len(courses)]
            if len({(c.low, c.high) for c in courses}) == 1:
                yield _again(slope, courses, first, n * repeat.rise)
            else:
                yield from (
                    _again(slope, [one], [other], n * repeat.rise)
                    for one, other in zip(courses, first, strict=True)
                )
    odd = {at for r in slope.repeats for row in (r.told, *r.again) for c in row for at in c.odd}
    if odd:
        yield f"other pieces at {listed(map(place, blocks(odd)))}"


def _again(slope: Slope, rows: Sequence[Course], first: Sequence[Course], rise: int) -> str:
    verb = "repeat" if rows[1:] else "repeats"
    higher = f" {some(rise, 'layer') if rise > 1 else 'a layer'} higher" if rise else ""
    return f"{_rows(slope, rows)} {_span(slope, rows[0])} {verb} {_rows(slope, first)}{higher}"


def _rows(slope: Slope, courses: Sequence[Course]) -> str:
    """A row runs east, a line north."""
    noun = ("row" if slope.axis == "x" else "line") + "s" * (len(courses) > 1)
    names = (str(c.across + 1) if slope.axis == "x" else letters_of(c.across) for c in courses)
    return f"{noun} {listed(names)}"


def _span(slope: Slope, course: Course) -> str:
    low, high = (
        letters_of(n) if slope.axis == "x" else str(n + 1) for n in (course.low, course.high - 1)
    )
    return f"from {low} to {high}"


def blocks(cells: Collection[Cell]) -> list[Rect]:
    """Some cells as few rectangles: along rows and then up, or along columns first.

    >>> blocks({(1, 1), (2, 1), (1, 2), (2, 2), (5, 1)})
    [Rect(x0=1, y0=1, x1=3, y1=3), Rect(x0=5, y0=1, x1=6, y1=2)]
    """
    flat = _grown(cells)
    tall = [rect.lie("y") for rect in _grown({(y, x) for x, y in cells})]
    return min(flat, tall, key=len)


def _grown(cells: Collection[Cell]) -> list[Rect]:
    left, found = set(cells), []
    for x, y in sorted(cells, key=lambda at: (at[1], at[0])):
        if (x, y) in left:
            x1, y1 = x + 1, y + 1
            while (x1, y) in left:
                x1 += 1
            while all((n, y1) in left for n in range(x, x1)):
                y1 += 1
            found.append(rect := Rect(x, y, x1, y1))
            left.difference_update(rect.cells())
    return found
