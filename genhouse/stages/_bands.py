"""Bands: how a plot is cut from front to rear and from side to side into wings and courts."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise, product
from typing import NamedTuple

from genhouse.core.box import Rect
from genhouse.model.brief import Brief
from genhouse.model.roof import WINGS, WingName
from genhouse.stages._rhythm import axial, bay_lengths, divisible
from genhouse.stages._storeys import one_range
from genhouse.stages._wings import Wing
from genhouse.traditions.courts import Atrium
from genhouse.traditions.plan import PlanRule
from genhouse.traditions.tradition import Tradition

LEAST_COURT = 6
TIERED = 8
"""Span of the narrowest wing whose roof can carry a raised tier."""


@dataclass(frozen=True, slots=True)
class Bands:
    """One axis of the layout: wing spans (0 where there is none) and the court lengths between."""

    spans: tuple[int, ...]
    courts: tuple[int, ...]


def deep_bands(total: int, brief: Brief, tradition: Tradition) -> Iterator[tuple[Bands, int]]:
    """Front wing (perhaps), courts with cross wings between them, rear wing; and their weights."""
    spans = tradition.bays.spans
    crosses = spans[:3] if tradition.atrium is not None else spans[:2][-1:]
    rule = tradition.plan
    counts = _counts(brief, rule)
    asked = brief.roof
    wide = [s for s in spans if s >= TIERED]
    fronts = wide if asked.front == "two-tier" else (0, *spans[:3])
    rears = wide if "two-tier" in (asked.rear, asked.rear or asked.form) else spans
    for front, rear, count, cross in product(fronts, rears, counts, crosses):
        likely = rule.front[not front] * (1 if brief.courts else rule.courts[count - 1])
        if not likely or rear < front + tradition.bays.symmetrical:
            continue
        rest = total - front - rear - cross * (count - 1)
        for lengths in _lengths(rest, count, tradition.atrium, tradition.bays.gaps):
            wings = (front, *(cross,) * (count - 1), rear)
            yield Bands(wings, lengths), likely * _liking(wings, lengths, total, rule.court)


@lru_cache(maxsize=4096)
def _lengths(
    total: int, count: int, atrium: Atrium | None, gaps: tuple[int, ...]
) -> tuple[tuple[int, ...], ...]:
    """Lengths of so many courts, from front to rear, in which bays can be set out: equal but for the last,
    or the first of them as long as an atrium is, with ground left behind where there is no other; those
    after it are no shorter than it is wide."""
    if atrium is None:
        some = [_shares(total, count)]
    elif count == 1:
        some = [(n + 1,) for n in atrium.lengths if n + 1 <= total]
    else:
        rests = [(n + 1, total - n - 1) for n in atrium.lengths]
        shares = ((first, _shares(rest, count - 1)) for first, rest in rests)
        some = [(n, *rest) for n, rest in shares if min(rest) > atrium.width]
    return tuple(lengths for lengths in some if all(_roomy(n, gaps) for n in lengths))


def wide_bands(
    total: int, deep: Sequence[Bands], brief: Brief, tradition: Tradition
) -> dict[Bands, list[tuple[Bands, int]]]:
    """Left wing, court, right wing, for each of some bands from front to rear; one may be missing, neither
    rises over a through wing."""
    spoken = _spoken(brief, tradition)
    known: dict[_Deep, list[tuple[Bands, int]]] = {}
    found: dict[Bands, list[tuple[Bands, int]]] = {}
    for bands in deep:
        through = _Deep(
            least=min(span for span in bands.spans if span),
            last=bands.spans[-1],
            front=bool(bands.spans[0]),
            courts=len(bands.courts),
            climbs=_climbable(bands, tradition),
        )
        if through not in known:
            known[through] = list(_wide_bands(total, through, brief, tradition, spoken))
        found[bands] = known[through]
    return found


class _Deep(NamedTuple):
    """What bands from front to rear are to those from side to side.

    least, last: the narrowest wing, and the rearmost.  front: whether there is one.  climbs: whether a
    stair has its place along them.
    """

    least: int
    last: int
    front: bool
    courts: int
    climbs: bool


def _wide_bands(
    total: int, deep: _Deep, brief: Brief, tradition: Tradition, spoken: _Spoken
) -> Iterator[tuple[Bands, int]]:
    bays, rule = tradition.bays, tradition.plan
    spans = (0, *(s for s in bays.spans if s <= deep.least))
    for left, right in product(spans, spans):
        court = total - left - right
        sides = 1 + sum(map(bool, (deep.front, left, right)))
        wanted = (left or right) and brief.closed in (None, sides) and _roomy(court, bays.gaps)
        if tradition.atrium is not None:
            wanted = wanted and court == tradition.atrium.width + 1
        if bays.symmetrical:
            wanted = wanted and left == right < deep.last
            wanted = wanted and bool(axial(court, bays.gaps))
        if not (wanted and _answers(spoken, deep.front, bool(left), bool(right), deep.courts)):
            continue
        bands = Bands((left, right), (court,))
        if deep.climbs or _climbable(bands, tradition):
            weight = _liking(bands.spans, bands.courts, total, rule.court)
            if weight := weight * rule.sides[not (left and right)]:
                yield bands, weight


def _counts(brief: Brief, rule: PlanRule) -> tuple[int, ...]:
    """How many courts there may be."""
    return (
        rule.courts_open(several=bool(brief.service)) if brief.courts is None else (brief.courts,)
    )


class _Spoken(NamedTuple):
    """What a brief says of wings.  named: those that are to be there.  entries: how many ways in."""

    named: frozenset[WingName]
    low: frozenset[WingName]
    gallery: int
    entries: int | None


def _spoken(brief: Brief, tradition: Tradition) -> _Spoken:
    low = frozenset(brief.low or ())
    named = low.union(name for name in WINGS if getattr(brief.roof, name))
    arrival = tradition.the("arrival")
    entries = brief.count_of(arrival)
    if entries is None and tradition.kind(arrival).bent:
        entries = 1
    return _Spoken(named, low, int(brief.gallery or 0), entries)


@lru_cache(maxsize=1024)
def _answers(spoken: _Spoken, front: bool, left: bool, right: bool, count: int) -> bool:
    """Whether such wings round so many courts, however wide, are those that a brief speaks of."""
    deep = Bands((6 * front, *(6,) * count), (8,) * count)
    wide = Bands((6 * left, 6 * right), (8,))
    wings = tuple(wings_along(Rect(0, 0, 0, 0), wide, deep))
    there = {wing.name for wing in wings}
    return (
        there >= spoken.named
        and spoken.entries in (None, int(front))
        and one_range(wings, [wing for wing in wings if wing.name in spoken.low])
        and spoken.gallery <= _most_high(deep, wide, spoken.low)
    )


def conceivable(brief: Brief, tradition: Tradition) -> bool:
    """Whether some wings round some courts are those that a brief speaks of, on whatever plot."""
    rule, counts = tradition.plan, _counts(brief, tradition.plan)
    spoken, ways = _spoken(brief, tradition), (False, True)
    return any(
        (left or right)
        and rule.front[not front]
        and rule.sides[not (left and right)]
        and brief.closed in (None, 1 + front + left + right)
        and _answers(spoken, front, left, right, count)
        for front, left, right, count in product(ways, ways, ways, counts)
    )


def _most_high(deep: Bands, wide: Bands, low: Collection[WingName]) -> int:
    """The most sides of one court on which upper rooms stand."""
    sides: tuple[WingName, WingName] = ("left", "right")
    beside = [name for name, span in zip(sides, wide.spans, strict=True) if span]
    rounds = [(*ends, *beside) for ends in pairwise(_through(deep))]
    return max(sum(name is not None and name not in low for name in some) for some in rounds)


def _through(deep: Bands) -> tuple[WingName | None, ...]:
    """The wings that run through from side to side, from front to rear; None where there is no front."""
    front: WingName | None = "front" if deep.spans[0] else None
    between: list[WingName] = ["cross"] * (len(deep.courts) - 1)
    return (front, *between, "rear")


def _climbable(bands: Bands, tradition: Tradition) -> bool:
    """Whether some bay along these bands is sure to be longer than the least: a stair needs one."""
    least, most = bay_lengths(tradition.bays.gaps)
    return most in bands.spans or any(n != 2 * least for n in bands.courts)


def _roomy(court: int, gaps: Sequence[int]) -> bool:
    """Wall line to wall line: room for two verandas and a garden of three cells, cut into bays."""
    return court >= LEAST_COURT and divisible(court, gaps)


def _shares(total: int, count: int) -> tuple[int, ...]:
    """Court lengths, equal but for the last, which takes what remains."""
    each = total // count
    return (*(each,) * (count - 1), total - each * (count - 1))


def _liking(
    spans: tuple[int, ...], courts: tuple[int, ...], total: int, liked: tuple[int, int]
) -> int:
    """Weight of a layout: courts about as long as one likes that take a little under half of the length."""
    least, most = liked
    built = sum(spans)
    weight = 40 - abs(built * 10 - total * 5) // 5
    weight -= sum(max(0, n - most) * 6 + max(0, least - n) * 4 for n in courts)
    weight += 8 * sum(span in (6, 8) for span in spans)
    return max(1, weight) ** 2


def _lines(start: int, bands: Bands) -> list[int]:
    """The wall lines of the through bands: start, then alternately over a span and a court."""
    lines = [start]
    for i, span in enumerate(bands.spans):
        lines.append(lines[-1] + span)
        if i < len(bands.courts):
            lines.append(lines[-1] + bands.courts[i])
    return lines


def wings_along(house: Rect, wide: Bands, deep: Bands) -> Iterator[Wing]:
    """The wings, through ones from front to rear, then those beside each court."""
    ys, xs = _lines(house.y0, deep), _lines(house.x0, wide)
    x1 = xs[-1] + 1
    for i, name in enumerate(_through(deep)):
        if name is not None:
            yield Wing(name=name, axis="x", rect=Rect(house.x0, ys[2 * i], x1, ys[2 * i + 1] + 1))
    for i in range(len(deep.courts)):
        south, north = ys[2 * i + 1], ys[2 * i + 2]
        low = south + 1 if deep.spans[i] else south
        if wide.spans[0]:
            yield Wing(name="left", axis="y", rect=Rect(xs[0], low, xs[1] + 1, north))
        if wide.spans[1]:
            yield Wing(name="right", axis="y", rect=Rect(xs[2], low, xs[3] + 1, north))


def courts_along(house: Rect, wide: Bands, deep: Bands) -> Iterator[Rect]:
    """The courts, from front to rear."""
    ys, xs = _lines(house.y0, deep), _lines(house.x0, wide)
    for i in range(len(deep.courts)):
        yield Rect(xs[1] + 1, ys[2 * i + 1] + 1, xs[2], ys[2 * i + 2])


def walls_along(house: Rect, wide: Bands, deep: Bands) -> Iterator[Rect]:
    """The wall lines where a wing is missing: to the front from corner to corner or from wing to wing,
    beside each court between the wings before and behind it."""
    x0, west, east, x1 = _lines(house.x0, wide)
    if not deep.spans[0]:
        yield Rect(west + bool(wide.spans[0]), house.y0, east + (not wide.spans[1]), house.y0 + 1)
    for court in courts_along(house, wide, deep):
        if not wide.spans[0]:
            yield Rect(x0, court.y0, x0 + 1, court.y1)
        if not wide.spans[1]:
            yield Rect(x1, court.y0, x1 + 1, court.y1)
