"""Bays: post lines, irregular but disciplined, and the units of floor between them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from genhouse.core.axes import Axis
from genhouse.core.box import Rect
from genhouse.core.draw import Draw
from genhouse.stages._rhythm import MOST, divide, lines
from genhouse.stages._wings import Wing
from genhouse.stages.site import Site


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
    x0, y0, x1, y1 = rect
    if axis == "x":
        middle = (y0 + y1) // 2
        return Rect(x0, y0, x1, middle), Rect(x0, middle + 1, x1, y1)
    middle = (x0 + x1) // 2
    return Rect(x0, y0, middle, y1), Rect(middle + 1, y0, x1, y1)


@dataclass(frozen=True, slots=True)
class Line:
    """A bay's length of a wall line, clear between two posts; axis: the way it runs."""

    axis: Axis
    cells: Rect


@dataclass(frozen=True, slots=True, kw_only=True)
class Bays:
    """xs: post lines of the through wings.  ys: of the side wings and through wings together.

    posts: every crossing that carries a post.  middle: the posts inside deep wings.
    lines: the segments between posts.  middle_lines: those of them along the middle of deep wings.
    """

    xs: tuple[int, ...]
    ys: tuple[int, ...]
    units: tuple[Unit, ...]
    posts: tuple[tuple[int, int], ...]
    middle: tuple[tuple[int, int], ...]
    lines: tuple[Line, ...]
    middle_lines: tuple[Line, ...]


def plan_bays(site: Site, draw: Draw) -> Bays:
    """Set out the post lines of each wing, the same across a court so that frames answer each other."""
    xs = _xs(site, draw)
    across: dict[int, tuple[int, ...]] = {}
    along: dict[int, tuple[int, ...]] = {}
    rows: dict[tuple[int, int], tuple[int, ...]] = {}
    for i, wing in enumerate(site.wings):
        low, high = _extent(wing)
        across[i] = _split_span(low, high)
        if wing.axis == "x":
            along[i] = xs
        else:
            start = wing.rect.y0 if wing.rect.y0 == site.house.y0 else wing.rect.y0 - 1
            key = (start, wing.rect.y1)
            if key not in rows:
                rows[key] = lines(start, divide(key[1] - start, draw.at("side", len(rows))))
            along[i] = rows[key]
    walls, middles = _segments(site, across, along)
    posts, middle = _posts(site, across, along)
    ys = sorted(
        {y for i, w in enumerate(site.wings) for y in (across if w.axis == "x" else along)[i]}
    )
    return Bays(
        xs=xs,
        ys=tuple(ys),
        units=tuple(_units(site, across, along)),
        posts=posts,
        middle=middle,
        lines=walls + middles,
        middle_lines=middles,
    )


def _extent(wing: Wing) -> tuple[int, int]:
    """The two wall lines of a wing, across."""
    r = wing.rect
    return (r.y0, r.y1 - 1) if wing.axis == "x" else (r.x0, r.x1 - 1)


def _split_span(low: int, high: int) -> tuple[int, ...]:
    """A wing deeper than one bay has a row of posts along its middle."""
    return (low, high) if high - low <= MOST else (low, (low + high) // 2, high)


def _xs(site: Site, draw: Draw) -> tuple[int, ...]:
    """Post lines of the through wings: those of the side wings, then the court's bays between."""
    house = site.house
    left, right = site.wing("left"), site.wing("right")
    west = _split_span(house.x0, left.rect.x1 - 1) if left else (house.x0,)
    east = _split_span(right.rect.x0, house.x1 - 1) if right else (house.x1 - 1,)
    court = lines(west[-1], divide(east[0] - west[-1], draw.at("court")))
    return (*west[:-1], *court, *east[1:])


Lines = dict[int, tuple[int, ...]]


def _units(site: Site, across: Lines, along: Lines) -> Iterator[Unit]:
    for i, wing in enumerate(site.wings):
        low, high = across[i][0], across[i][-1]
        for k, (a, b) in enumerate(zip(along[i], along[i][1:], strict=False)):
            x = wing.axis == "x"
            rect = Rect(a + 1, low + 1, b, high) if x else Rect(low + 1, a + 1, high, b)
            yield Unit(
                wing=i,
                index=k,
                axis=wing.axis,
                rect=rect,
                corner=x and not any(c.x0 <= a + 1 < c.x1 for c in site.courts),
                single=len(across[i]) == 2,
            )


def _segments(site: Site, across: Lines, along: Lines) -> tuple[tuple[Line, ...], tuple[Line, ...]]:
    walls: list[Line] = []
    middles: list[Line] = []
    for i, wing in enumerate(site.wings):
        x = wing.axis == "x"
        for where in across[i]:
            row = middles if where not in (across[i][0], across[i][-1]) else walls
            for a, b in zip(along[i], along[i][1:], strict=False):
                cells = Rect(a + 1, where, b, where + 1) if x else Rect(where, a + 1, where + 1, b)
                row.append(Line(wing.axis, cells))
        for where in _own(wing, along[i]):
            for a, b in zip(across[i], across[i][1:], strict=False):
                cells = Rect(where, a + 1, where + 1, b) if x else Rect(a + 1, where, b, where + 1)
                walls.append(Line("y" if x else "x", cells))
    return tuple(walls), tuple(middles)


def _own(wing: Wing, along: tuple[int, ...]) -> tuple[int, ...]:
    """The cross lines that belong to a wing; a side wing's end lines belong to the through wings."""
    if wing.axis == "x":
        return along
    return tuple(y for y in along if wing.rect.y0 <= y < wing.rect.y1)


def _posts(
    site: Site, across: Lines, along: Lines
) -> tuple[tuple[tuple[int, int], ...], tuple[tuple[int, int], ...]]:
    posts: set[tuple[int, int]] = set()
    middle: set[tuple[int, int]] = set()
    for i, wing in enumerate(site.wings):
        for k in _own(wing, along[i]):
            for where in across[i]:
                inside = where not in (across[i][0], across[i][-1])
                place = (k, where) if wing.axis == "x" else (where, k)
                (middle if inside and k not in (along[i][0], along[i][-1]) else posts).add(place)
    return tuple(sorted(posts)), tuple(sorted(middle))
