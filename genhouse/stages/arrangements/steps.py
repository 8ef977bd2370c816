"""Steps from a plain ring to another arrangement: each lists the sites that one change could lead to."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec.structs import replace

from genhouse.core.axes import CROSS, ENDS, FLANKS, SIDES, Side, opposite
from genhouse.core.box import Rect
from genhouse.core.region import Region
from genhouse.stages._wings import Wing
from genhouse.stages.site import Site, closes, line_along, lines_round
from genhouse.traditions.sense import STOREYS

APART = 5
"""Cells between two wings that do not touch: light falls between them, and their eaves keep apart."""
SMALL = (6, 11)
"""The least of a small building from wall line to wall line, and what is too long for it."""
LIT = 8
"""Wall line to wall line of the deepest wing whose rooms have windows on both sides."""
JUT = (4, 6)
"""Cells that one wing stands out from the line of another, where that is all it does: a bay."""
LONG = (5, 12)
"""The least and the most of a wing that stands out from another, from wall line to wall line."""


def run_on(site: Site, lot: Rect, _: Sequence[int]) -> Iterator[Site]:
    """A wing goes on past the corner at a free end."""
    for wing in site.wings:
        for end in (0, 1):
            if site.host(wing, end) is None:
                for n in range(1, _room(wing.rect, lot, ENDS[wing.axis][end]) + 1):
                    yield _with(site, wing, _longer(wing, end, n))


def past_corner(site: Site, lot: Rect, _: Sequence[int]) -> Iterator[Site]:
    """A wing that dies into another at its corner takes the corner, and goes on past it; the other dies
    into it instead."""
    return _past_corner(site, lot)


def jut(site: Site, lot: Rect, _: Sequence[int]) -> Iterator[Site]:
    """A wing takes its corner and stands out from the line of the other by a bay."""
    return _past_corner(site, lot, *JUT)


def _past_corner(site: Site, lot: Rect, low: int = 0, high: int | None = None) -> Iterator[Site]:
    """low, high: cells past the line of the other; as many as there is room for where that is left out."""
    for wing in site.wings:
        for end in (0, 1):
            host = site.host(wing, end)
            if host is None or host.axis == wing.axis:
                continue
            for corner in (0, 1):
                if _flush(wing, host, corner) and site.host(host, corner) is None:
                    room, whole = _room(host.rect, lot, ENDS[wing.axis][end]), host.lie.depth
                    shorter = _longer(host, corner, -wing.lie.depth)
                    for n in range(low, min(room, room if high is None else high) + 1):
                        longer = _longer(wing, end, whole + n)
                        yield _with(_with(site, host, shorter), wing, longer)


def tail(site: Site, lot: Rect, spans: Sequence[int]) -> Iterator[Site]:
    """A wing stands out from the back of another."""
    for host, side in _backs(site):
        yield from _standing_out(site, lot, host, side, spans)


def ear(site: Site, lot: Rect, spans: Sequence[int]) -> Iterator[Site]:
    """A lower wing in line with another, at its free end; as deep or half as deep."""
    for host in site.wings:
        a0, b0, a1, b1 = host.lie
        depths = ((b0, b1), (b0, b0 + host.span // 2 + 1), (b1 - host.span // 2 - 1, b1))
        for end in (0, 1):
            if site.host(host, end) is not None:
                continue
            for n in range(1, min(LONG[1], _room(host.rect, lot, ENDS[host.axis][end])) + 1):
                for low, high in depths:
                    if high - low - 1 in spans:
                        along = (a0 - n, a0) if end == 0 else (a1, a1 + n)
                        rect = Rect(along[0], low, along[1], high).lie(host.axis)
                        yield _added(site, Wing(name="ear", axis=host.axis, rect=rect, storeys=1))


def lookout(site: Site, _: Rect, spans: Sequence[int]) -> Iterator[Site]:
    """The free end of a wing, past all courts, stands by itself and higher than all else."""
    rows = [row for court in site.courts for row in lines_round(court).values()]
    (storeys,) = STOREYS["lookout"].may
    for n, wing in enumerate(site.wings):
        a0, b0, a1, b1 = wing.lie
        for end in (0, 1):
            if site.host(wing, end) is not None:
                continue
            for span in spans:
                cut = a0 + span + 1 if end == 0 else a1 - span - 1
                parts = [Rect(a0, b0, cut, b1), Rect(cut, b0, a1, b1)]
                ground, rest = (part.lie(wing.axis) for part in parts[:: 1 - 2 * end])
                if not any(row.meets(ground) for row in rows):
                    tall = replace(wing, name="lookout", rect=ground, storeys=storeys)
                    others = (tall, replace(wing, rect=rest))
                    yield replace(site, wings=(*site.wings[:n], *others, *site.wings[n + 1 :]))


def forecourt(site: Site, _: Rect, __: Sequence[int]) -> Iterator[Site]:
    """The first of several courts is walled where wings stood at its sides, before a low gatehouse."""
    court, house = site.courts[0], site.house
    round_it = site.round(court)
    gatehouse = round_it.get("south")
    if len(site.courts) == 1 or gatehouse is None:
        return
    for sides in (("west", "east"), ("west",), ("east",)):
        gone = [round_it[side] for side in sides if side in round_it]
        if len(gone) < len(sides):
            continue
        wide = Rect(
            house.x0 + 1 if "west" in sides else court.x0,
            court.y0,
            house.x1 - 1 if "east" in sides else court.x1,
            court.y1,
        )
        kept = [wing for wing in site.wings if wing not in (*gone, gatehouse)]
        yield replace(
            site,
            wings=(replace(gatehouse, storeys=1), *kept),
            courts=(wide, *site.courts[1:]),
            walls=(*site.walls, *(line_along(wide, side) for side in sides)),
        )


def side_yard(site: Site, lot: Rect, _: Sequence[int]) -> Iterator[Site]:
    """A walled court lies along the back of a wing."""
    for wing, side in _backs(site):
        a0, a1 = wing.lie.x0, wing.lie.x1
        for n in range(LONG[0], min(LONG[1], _room(wing.rect, lot, side))):
            near, far = _past(wing, side, n)
            ground, court = (Rect(a0 + k, near, a1 - k, far).lie(wing.axis) for k in (0, 1))
            ends = (line_along(court, end) for end in ENDS[wing.axis])
            yield replace(
                site,
                courts=(*site.courts, court),
                walls=(*site.walls, line_along(ground, side), *ends),
            )


def lean_to(site: Site, lot: Rect, spans: Sequence[int]) -> Iterator[Site]:
    """A low range lies along the back of another and leans on it: of one that is not too deep, so that
    rooms behind it have light from the other side."""
    for host, side in _backs(site):
        if host.span > LIT:
            continue
        a0, a1 = host.lie.x0, host.lie.x1
        most = min(host.span, _room(host.rect, lot, side))
        for near, far in (_past(host, side, span) for span in spans if span <= most):
            for length in range(*SMALL):
                for start in range(a0, a1 - length):
                    rect = Rect(start, near, start + length + 1, far).lie(host.axis)
                    yield _added(site, Wing(name="lean-to", axis=host.axis, rect=rect, storeys=1))


def alone(site: Site, lot: Rect, spans: Sequence[int]) -> Iterator[Site]:
    """A small building stands by itself in the yard behind the house, one storey high."""
    house = site.house
    for depth in spans[:2]:
        for length in range(*SMALL):
            for y in range(house.y1 + APART - 1, lot.y1 - depth):
                for x in range(lot.x0, lot.x1 - length):
                    rect = Rect(x, y, x + length + 1, y + depth + 1)
                    yield _added(site, Wing(name="outbuilding", axis="x", rect=rect, storeys=1))


def _backs(site: Site) -> Iterator[tuple[Wing, Side]]:
    """The flanks of wings that look outward and that no other closes."""
    for wing in site.wings:
        for side, outward in zip(FLANKS[wing.axis], site.outward(wing), strict=True):
            if outward and site.past(wing, side) is None:
                yield wing, side


def _past(wing: Wing, flank: Side, n: int) -> tuple[int, int]:
    """Where so many cells past a flank begin and end, across."""
    b0, b1 = wing.lie.y0, wing.lie.y1
    return (b0 - n, b0) if flank == FLANKS[wing.axis][0] else (b1, b1 + n)


def _standing_out(
    site: Site, lot: Rect, host: Wing, side: Side, spans: Sequence[int]
) -> Iterator[Site]:
    a0, a1 = host.lie.x0, host.lie.x1
    axis = CROSS[host.axis]
    for span in (s for s in spans if s <= host.span):
        for n in range(LONG[0], min(LONG[1], _room(host.rect, lot, side)) + 1):
            near, far = _past(host, side, n)
            for start in range(a0, a1 - span):
                rect = Rect(start, near, start + span + 1, far).lie(host.axis)
                yield _added(site, Wing(name="tail", axis=axis, rect=rect))


def sound(site: Site, lot: Region, margin: int) -> bool:
    """Whether no wing lies on another, what meets meets as the laws of a site have it, light falls between
    the others, each has a middle line for its ridge, and the way from the gate is free.

    margin: cells that eaves, and what stands past them, need before a wall.
    """
    rects = [wing.rect for wing in site.wings]
    tall = [wing.rect for wing in site.wings if wing.storeys > 2]
    taken = (*site.courts, *site.walls)
    apart = max(APART, margin + 2)
    return (
        all(map(lot.holds, rects))
        and not any(a.meets(b) for a in rects for b in taken)
        and all(_apart(a, b, tall, apart) for n, a in enumerate(rects) for b in rects[:n])
        and not any(map(site.approach.meets, rects))
        and all(_met(site, wing, side) for wing in site.wings for side in SIDES)
        and not any(_at_corner(r, wall) for r in rects for wall in site.walls)
        and all(_shares(site, wing, side, margin) for wing in site.wings for side in site.party)
        and all(_clear_of(site, wall, side, margin) for wall in site.walls for side in site.party)
        and all(site.frame(wing).depth % 2 for wing in site.wings)
    )


def _apart(a: Rect, b: Rect, tall: Sequence[Rect], apart: int) -> bool:
    """Far from each other, or side by side, or both beside the tall one that stands in their corner."""
    if not a.grown(apart - 1).meets(b):
        return True
    met = a.adjoins(b) or (a.grown(1).meets(b) and any(a.adjoins(c) and b.adjoins(c) for c in tall))
    return met and not a.meets(b)


def _met(site: Site, wing: Wing, side: Side) -> bool:
    """Whether a side of a wing is free, or closed by one wing, or hosts narrower ones."""
    row = line_along(wing.rect, side)
    beside = [other for other in site.wings if other.rect.meets(row)]
    if side in ENDS[wing.axis] and len(beside) > 1:
        return False
    return all(closes(other, wing, side) or closes(wing, other, opposite(side)) for other in beside)


def _clear_of(site: Site, place: Rect, side: Side, margin: int) -> bool:
    """Whether something stands on an edge shared with a neighbour, or clear of it: no slot between."""
    return site.gap(place, side) == 0 or site.gap(place, side) > margin


def _shares(site: Site, wing: Wing, side: Side, margin: int) -> bool:
    """Whether a wing stands on an edge that is shared with a neighbour, or clear of it with its eaves; on
    the edge no other stands behind it, and its roof falls away."""
    if site.gap(wing.rect, side):
        return _clear_of(site, wing.rect, side, margin)
    return side in ENDS[wing.axis] or site.past(wing, opposite(side)) is None


def _at_corner(rect: Rect, wall: Rect) -> bool:
    """Whether a wall begins past a corner of a wing, under the meeting of two eaves."""
    return rect.grown(1).meets(wall) and not any(
        row.meets(wall) for row in lines_round(rect).values()
    )


def _room(rect: Rect, lot: Rect, side: Side) -> int:
    """Cells of the lot past a side."""
    return {
        "west": rect.x0 - lot.x0,
        "east": lot.x1 - rect.x1,
        "south": rect.y0 - lot.y0,
        "north": lot.y1 - rect.y1,
    }[side]


def _flush(wing: Wing, host: Wing, corner: int) -> bool:
    """Whether a flank of a wing lies in one line with an end of the host that it dies into."""
    own, other = wing.lie, host.lie
    return (own.y0 == other.x0) if corner == 0 else (own.y1 == other.x1)


def _longer(wing: Wing, end: int, n: int) -> Wing:
    """A wing with so many cells more at one end."""
    a0, b0, a1, b1 = wing.lie
    rect = Rect(a0 - n * (end == 0), b0, a1 + n * (end == 1), b1)
    return replace(wing, rect=rect.lie(wing.axis))


def _with(site: Site, wing: Wing, other: Wing) -> Site:
    return replace(site, wings=tuple(other if w == wing else w for w in site.wings))


def _added(site: Site, wing: Wing) -> Site:
    return replace(site, wings=(*site.wings, wing))
