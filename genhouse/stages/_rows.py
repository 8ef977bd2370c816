"""Rows: where post lines have to stand in each wing, so that frames meet and answer each other."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from genhouse.core.axes import ENDS, FLANKS
from genhouse.core.draw import Draw
from genhouse.stages._rhythm import bay_lengths, divide, divisible, lines, measured
from genhouse.stages._wings import Wing
from genhouse.stages.site import Site
from genhouse.traditions.tradition import BayRule, Rhythm


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """The post lines of one wing.  along: from end to end.  across: its two wall lines, and in a deep
    wing the one midway.  ends: the same at its low and its high end, where others in line may die."""

    along: tuple[int, ...]
    across: tuple[int, ...]
    ends: tuple[tuple[int, ...], tuple[int, ...]]


def settled(site: Site, gaps: Sequence[int]) -> tuple[Row, ...]:
    """The lines of each wing that are not free: its ends, and those of wings that die into it or stand
    across a court."""
    across = [_across(site, wing, gaps) for wing in site.wings]
    along = [{site.frame(wing).x0, site.frame(wing).x1 - 1} for wing in site.wings]
    ends = [(set(rows), set(rows)) for rows in across]
    for wing, rows in zip(site.wings, across, strict=True):
        for end in (0, 1):
            if (host := site.host(wing, end)) is not None:
                n = site.wings.index(host)
                (ends[n][1 - end] if host.axis == wing.axis else along[n]).update(rows)
    while _answer(site, along):
        pass
    return tuple(
        Row(
            along=tuple(sorted(along[n])),
            across=rows,
            ends=(tuple(sorted(ends[n][0])), tuple(sorted(ends[n][1]))),
        )
        for n, rows in enumerate(across)
    )


def _across(site: Site, wing: Wing, gaps: Sequence[int]) -> tuple[int, ...]:
    """A wing deeper than one bay has a row of posts along its middle."""
    frame = site.frame(wing)
    low, high = frame.y0, frame.y1 - 1
    return (low, high) if high - low <= bay_lengths(gaps)[1] else (low, (low + high) // 2, high)


def _answer(site: Site, along: list[set[int]]) -> bool:
    """Lines of wings that face each other over a court, or stand flank to flank; whether there are more."""
    before = sum(map(len, along))
    for wing, other, low, high in _facing(site):
        one, two = (along[site.wings.index(w)] for w in (wing, other))
        shared = {n for n in one | two if low <= n <= high}
        one |= shared
        two |= shared
    return sum(map(len, along)) > before


def _facing(site: Site) -> list[tuple[Wing, Wing, int, int]]:
    """Pairs of wings with the stretch over which they answer each other: no further than both reach, for
    either may be but the longest of a row along its side of the court."""
    found: list[tuple[Wing, Wing, int, int]] = []
    for court in site.courts:
        sides = site.round(court)
        for axis in ENDS:
            pair = [w for s in FLANKS[axis] if (w := sides.get(s)) is not None and w.axis == axis]
            if len(pair) == 2:
                one, two = map(site.frame, pair)
                low = max(court.lie(axis).x0 - 1, one.x0, two.x0)
                high = min(court.lie(axis).x1, one.x1 - 1, two.x1 - 1)
                found.append((pair[0], pair[1], low, high))
    for wing in site.wings:
        for side in FLANKS[wing.axis]:
            host = site.past(wing, side)
            if host is not None and host.axis == wing.axis:
                frame = site.frame(wing)
                found.append((wing, host, frame.x0, frame.x1 - 1))
    return found


def fit(site: Site, rule: BayRule) -> bool:
    """Whether bays can be set out between all the lines that are not free; those along a court by one
    measure, where they are to be alike."""
    rows = settled(site, rule.gaps)
    return all(
        divisible(b - a, rule.gaps)
        for row in rows
        for some in (row.along, *row.ends)
        for a, b in pairwise(some)
    ) and not (
        rule.alike
        and any(
            measured(_by_courts(site, wing, row), rule.gaps) is None
            for wing, row in zip(site.wings, rows, strict=True)
        )
    )


def _by_courts(site: Site, wing: Wing, row: Row) -> list[int]:
    """The stretches of a wing between lines that are not free, which lie along a court."""
    along = [court.lie(wing.axis) for court in site.courts if court.adjoins(wing.rect)]
    return [
        b - a
        for a, b in pairwise(row.along)
        if any(court.x0 <= a + 1 and b <= court.x1 for court in along)
    ]


def plan_rows(
    site: Site, gaps: Sequence[int], draw: Draw, rhythm: Rhythm = "lively"
) -> tuple[Row, ...]:
    """The post lines of each wing; equal stretches along one axis are cut alike, and all along a court
    by one measure whose bays are alike."""
    rows = settled(site, gaps)
    sides = list(
        dict.fromkeys(
            pair
            for wing, row in zip(site.wings, rows, strict=True)
            if wing.axis == "y"
            for pair in pairwise(row.along)
        )
    )
    found = []
    for wing, row in zip(site.wings, rows, strict=True):
        measure = measured(_by_courts(site, wing, row), gaps) if rhythm == "alike" else None
        along = list(row.along[:1])
        for a, b in pairwise(row.along):
            here = draw.at("court") if wing.axis == "x" else draw.at("side", sides.index((a, b)))
            along += lines(a, divide(b - a, gaps, here, rhythm, measure))[1:]
        found.append(Row(along=tuple(along), across=row.across, ends=row.ends))
    return tuple(found)
