"""Bays: post lines, irregular but disciplined, and the units of floor between them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from genhouse.core.axes import CROSS, FLANKS, Axis
from genhouse.core.box import Rect
from genhouse.core.draw import Draw
from genhouse.stages._rows import Row, plan_rows
from genhouse.stages._wings import Wing
from genhouse.stages.site import Site
from genhouse.traditions.tradition import Tradition


@dataclass(frozen=True, slots=True, kw_only=True)
class Unit:
    """One bay of a wing, over its whole depth.

    rect: clear cells between the wall lines.  corner: no side of it lies along a court.
    single: one bay deep, so that no row of posts stands within.
    """

    wing: int
    index: int
    axis: Axis
    rect: Rect
    corner: bool
    single: bool


def halved(rect: Rect, axis: Axis) -> tuple[Rect, Rect]:
    """The two halves of a deep wing's floor, without the row of posts between them."""
    a0, b0, a1, b1 = rect.lie(axis)
    middle = (b0 + b1) // 2
    return Rect(a0, b0, a1, middle).lie(axis), Rect(a0, middle + 1, a1, b1).lie(axis)


@dataclass(frozen=True, slots=True)
class Line:
    """A bay's length of a wall line, clear between two posts; axis: the way it runs."""

    axis: Axis
    cells: Rect


@dataclass(frozen=True, slots=True, kw_only=True)
class Bays:
    """along: the post lines along each wing.  posts: every crossing that carries a post.
    middle: the posts inside deep wings.  lines: the segments between posts.
    middle_lines: those of them along the middle of deep wings.
    """

    along: tuple[tuple[int, ...], ...]
    units: tuple[Unit, ...]
    posts: tuple[tuple[int, int], ...]
    middle: tuple[tuple[int, int], ...]
    lines: tuple[Line, ...]
    middle_lines: tuple[Line, ...]


def plan_bays(site: Site, tradition: Tradition, draw: Draw) -> Bays:
    """Set out the post lines of each wing, the same across a court so that frames answer each other."""
    rule = tradition.bays
    rows = plan_rows(site, rule.gaps, draw, rule.rhythm)
    pairs = list(zip(site.wings, rows, strict=True))
    middles = tuple(line for wing, row in pairs for line in _middles(wing, row))
    walls = (line for wing, row in pairs for line in _walls(site, wing, row))
    inner = {at for wing, row in pairs for at in _inner(wing, row)}
    posts = {at for wing, row in pairs for at in _posts(site, wing, row)}
    return Bays(
        along=tuple(row.along for row in rows),
        units=tuple(u for n, row in enumerate(rows) for u in _units(site, n, row)),
        posts=tuple(sorted(posts)),
        middle=tuple(sorted(inner)),
        lines=(*walls, *middles),
        middle_lines=middles,
    )


def _units(site: Site, n: int, row: Row) -> Iterator[Unit]:
    wing = site.wings[n]
    low, high = row.across[0], row.across[-1]
    for k, (a, b) in enumerate(pairwise(row.along)):
        over = Rect(a + 1, low - 1, b, high + 2).lie(wing.axis)
        yield Unit(
            wing=n,
            index=k,
            axis=wing.axis,
            rect=Rect(a + 1, low + 1, b, high).lie(wing.axis),
            corner=not any(court.meets(over) for court in site.courts),
            single=len(row.across) == 2,
        )


def _middles(wing: Wing, row: Row) -> Iterator[Line]:
    for where in row.across[1:-1]:
        for a, b in pairwise(row.along):
            yield Line(wing.axis, Rect(a + 1, where, b, where + 1).lie(wing.axis))


def _walls(site: Site, wing: Wing, row: Row) -> Iterator[Line]:
    """A wing's own walls: along its flanks, then across it."""
    cross = CROSS[wing.axis]
    for where in _flanks(site, wing, row):
        for a, b in pairwise(row.along):
            yield Line(wing.axis, Rect(a + 1, where, b, where + 1).lie(wing.axis))
    for where, crossing in _own(site, wing, row):
        for a, b in pairwise(crossing):
            yield Line(cross, Rect(where, a + 1, where + 1, b).lie(wing.axis))


def _flanks(site: Site, wing: Wing, row: Row) -> tuple[int, ...]:
    """The wall lines along a wing that are not another's."""
    low, high = (site.past(wing, side) is None for side in FLANKS[wing.axis])
    return (row.across[0],) * low + (row.across[-1],) * high


def _own(site: Site, wing: Wing, row: Row) -> Iterator[tuple[int, tuple[int, ...]]]:
    """The lines across a wing that are not its host's, with the places of posts on each."""
    for n, where in enumerate(row.along):
        end = {0: 0, len(row.along) - 1: 1}.get(n)
        if end is None or site.host(wing, end) is None:
            yield where, row.across if end is None else row.ends[end]


def _posts(site: Site, wing: Wing, row: Row) -> Iterator[tuple[int, int]]:
    """The posts in a wing's own walls."""
    ends, flanks = (row.along[0], row.along[-1]), _flanks(site, wing, row)
    for where, crossing in _own(site, wing, row):
        for at in crossing:
            if where in ends or at in flanks:
                yield _place(wing, where, at)


def _inner(wing: Wing, row: Row) -> Iterator[tuple[int, int]]:
    """The posts along the middle of a deep wing."""
    for where in row.along[1:-1]:
        for at in row.across[1:-1]:
            yield _place(wing, where, at)


def _place(wing: Wing, along: int, across: int) -> tuple[int, int]:
    return Rect(along, across, 0, 0).lie(wing.axis)[:2]
