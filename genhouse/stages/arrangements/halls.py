"""Halls that stand apart round their courts, and the walled yards before the first of them and behind the
last."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import reduce

from msgspec.structs import replace

from genhouse.core.axes import FLANKS, Side
from genhouse.core.box import Rect
from genhouse.core.draw import Draw
from genhouse.stages._rhythm import axial, bay_lengths
from genhouse.stages._wings import Wing
from genhouse.stages.site import Site, line_along
from genhouse.traditions.tradition import BayRule

YARD = range(5, 13)
"""Cells between the rows of rooms before and behind an outer yard."""
SQUARE = (3, 5)
"""The narrower side of a court between halls, in parts of the wider, at the least."""
EARED = (3, 4)
"""How often the hall at the rear stands between ears."""
SIDES: tuple[Side, Side] = ("west", "east")
BEYOND: tuple[Side, ...] = (*SIDES, "north")


def between_halls(site: Site) -> list[Rect]:
    """The courts of a ring at whose sides halls could stand."""
    return [court for court in site.courts if {*SIDES, "north"} <= {*site.winged(court)}]


def room_for_halls(wide: int, deep: int, rule: BayRule) -> bool:
    """Whether a court, from wall line to wall line, is near square, and leaves halls of three bays at its
    sides, and a link."""
    least, _ = bay_lengths(rule.gaps)
    of, parts = SQUARE
    return of * max(wide, deep) <= parts * min(wide, deep) and deep >= 4 * least


def halls(site: Site, rule: BayRule, draw: Draw) -> Iterator[Site]:
    """Round each court halls that stand apart: that behind the last between two ears in line with it or
    from end to end, those at its sides joined to them, and to what stands before, by links a bay long."""
    courts = between_halls(site)
    if courts and draw.chance(*EARED, "ears"):
        rear = site.round(courts[-1])["north"]
        beside = [site.round(courts[-1])[side].rect for side in SIDES]
        main, ears = _eared(rear, beside, draw.choice(_spans(site, rear, BEYOND, rule), "ear span"))
        site = replace(site, wings=(*(w for w in site.wings if w != rear), main, *ears))
    yield from _apart(site, courts, rule, draw)


def _apart(site: Site, courts: Sequence[Rect], rule: BayRule, draw: Draw) -> Iterator[Site]:
    """Sites whose halls at the sides of some courts stand apart from what is before and behind them."""
    if not courts:
        yield site
        return
    sides = [(side, site.round(courts[0])[side]) for side in SIDES]
    least, most = bay_lengths(rule.gaps)
    length = site.frame(sides[0][1]).width - 1
    links = [(low, high) for high in range(least, most + 1) for low in (0, *range(least, high + 1))]
    spans = set.intersection(*({*_spans(site, w, (side,), rule)} for side, w in sides))
    span = draw.choice(sorted(spans), f"walk {len(courts)}")
    for low, high in draw.shuffled(links, f"links {len(courts)}"):
        if any(len(bays) > 1 for bays in axial(length - low - high, rule.gaps)):
            cut = [
                part
                for side, wing in sides
                for part in _linked(wing, site.frame(wing), low, high, _within(wing, side, span))
            ]
            kept = [wing for wing in site.wings if wing not in (w for _, w in sides)]
            yield from _apart(replace(site, wings=(*kept, *cut)), courts[1:], rule, draw)


def _spans(site: Site, wing: Wing, outer: Sequence[Side], rule: BayRule) -> list[int]:
    """How deep what stands in line with a hall may be: as it is, or less where nothing lies beside it."""
    lines = [line_along(wing.rect, side) for side in outer]
    free = not any(place.meets(line) for place in (*site.courts, *site.walls) for line in lines)
    return [span for span in rule.spans if span == wing.span or (free and span < wing.span)]


def _within(wing: Wing, outer: Side, span: int) -> tuple[int, int]:
    """From where to where a range so deep reaches across a wing, from its inner flank."""
    low, high = wing.lie.y0, wing.lie.y1
    return (low, low + span + 1) if outer == FLANKS[wing.axis][1] else (high - span - 1, high)


def _eared(rear: Wing, sides: Sequence[Rect], span: int) -> tuple[Wing, list[Wing]]:
    """A wing from wall to wall of a court, and what is left of it behind what stands at the sides, so deep
    from its front."""
    x0, y0, x1, y1 = rear.rect
    west = next((r.x1 - 1 for r in sides if r.x0 == x0), x0)
    east = next((r.x0 + 1 for r in sides if r.x1 == x1), x1)
    back = y0 + span + 1
    parts = [Rect(x0, y0, west, back), Rect(east, y0, x1, back)]
    ears = [replace(rear, name="ear", rect=part) for part in parts if part.width]
    return replace(rear, rect=Rect(west, y0, east, y1)), ears


def _linked(
    wing: Wing, frame: Rect, low: int, high: int, across: tuple[int, int]
) -> Iterator[Wing]:
    """A hall, and the links at its ends.  frame: out to the walls of its hosts.  low, high: how long each
    link is from wall to wall, 0 for none; across: from where to where they reach across it."""
    a0, b0, a1, b1 = wing.lie
    first, last = frame.x0 + low, frame.x1 - 1 - high
    hall = Rect(first if low else a0, b0, last + 1 if high else a1, b1)
    yield replace(wing, rect=hall.lie(wing.axis))
    for start, end in ((a0, hall.x0), (hall.x1, a1)):
        if start < end:
            rect = Rect(start, across[0], end, across[1]).lie(wing.axis)
            yield replace(wing, name="link", rect=rect)


def outer_yard(site: Site, lot: Rect, spans: Sequence[int]) -> Iterator[Site]:
    """A walled yard lies before the house, behind a row of rooms along the edge toward the gate."""
    house = site.house
    gate = site.round(site.courts[0]).get("south")
    if gate is None:
        return
    for span in (s for s in spans[:3] if s <= gate.span):
        row = Rect(house.x0, lot.y0, house.x1, lot.y0 + span + 1)
        yard = Rect(house.x0 + 1, row.y1, house.x1 - 1, house.y0)
        if yard.depth in YARD:
            kept = [wing for wing in site.wings if wing != gate]
            front = Wing(name="front", axis="x", rect=row)
            yield replace(
                site,
                wings=(front, replace(gate, name="cross"), *kept),
                courts=(yard, *site.courts),
                walls=(*site.walls, *(line_along(yard, side) for side in SIDES)),
            )


def back_yard(site: Site, lot: Rect, spans: Sequence[int]) -> Iterator[Site]:
    """A walled yard lies behind the house, before a row of rooms along the edge away from the gate."""
    x0, _, x1, y1 = reduce(Rect.hull, (wing.rect for wing in site.wings if wing.name != "side"))
    for span in spans[:2]:
        row = Rect(x0, lot.y1 - span - 1, x1, lot.y1)
        yard = Rect(x0 + 1, y1, x1 - 1, row.y0)
        yield from _with_yard(site, Wing(name="back", axis="x", rect=row), yard, yard.depth, SIDES)


def side_range(site: Site, lot: Rect, spans: Sequence[int]) -> Iterator[Site]:
    """A walled yard lies along one side of the house, before a row of rooms along that edge; ranges of the
    house close the other side of it."""
    x0, y0, x1, y1 = site.house
    for span in spans[:2]:
        west = Rect(lot.x0, y0, lot.x0 + span + 1, y1)
        east = Rect(lot.x1 - span - 1, y0, lot.x1, y1)
        yards = (Rect(west.x1, y0 + 1, x0, y1 - 1), Rect(x1, y0 + 1, east.x0, y1 - 1))
        for row, yard in zip((west, east), yards, strict=True):
            wing = Wing(name="side", axis="y", rect=row)
            if not site.is_closed(line_along(yard, "east" if row == west else "west")):
                continue
            yield from _with_yard(site, wing, yard, yard.width, ("south", "north"))


def _with_yard(
    site: Site, row: Wing, yard: Rect, across: int, ends: tuple[Side, Side]
) -> Iterator[Site]:
    """With a row of rooms and the yard before it, walled at its ends, where it is as wide as yards are."""
    if across in YARD:
        walls = (*site.walls, *(line_along(yard, end) for end in ends))
        yield replace(site, wings=(*site.wings, row), courts=(*site.courts, yard), walls=walls)
