"""Yards: the open ground of a plot that no court has, each part put to a use, all within one boundary."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from genhouse.core.box import Rect, covered
from genhouse.core.draw import Draw
from genhouse.model.elements import Wall
from genhouse.model.yard import Yard
from genhouse.stages.court import Court, Planting
from genhouse.stages.gardens.lot import Cell, Pieces, ring
from genhouse.stages.gardens.stones import unclimbed
from genhouse.stages.grounds import green, work
from genhouse.stages.grounds.bounds import bounds, gates
from genhouse.stages.grounds.entry import entry_lamps
from genhouse.stages.grounds.ground import Close, closed, parts, yards
from genhouse.stages.grounds.places import Ground, chosen, grounds
from genhouse.stages.rooms import Rooms
from genhouse.stages.site import Site, stands_alone
from genhouse.stages.terraces import terraces
from genhouse.stages.ways.flues import standing
from genhouse.traditions.plan import PlanRule
from genhouse.traditions.tradition import Tradition


@dataclass(frozen=True, slots=True, kw_only=True)
class Grounds:
    """What the open ground of a plot has come to.

    yards: largest first.  walls: the boundary.  pieces: what lies and stands in the yards.  entry: the
    lamp at the front.
    """

    yards: tuple[Yard, ...]
    walls: tuple[Wall, ...]
    pieces: Planting
    entry: Planting


def enclosed(site: Site, rooms: Rooms, taken: frozenset[Cell] = frozenset()) -> Close:
    """The ground that the boundary of a house closes.  taken: where something stands beside it."""
    service = tuple(e.way for e in rooms.entrances if e.kind == "service")
    return closed(site, rooms.front, service, taken)


def plan_yards(
    site: Site,
    rooms: Rooms,
    courts: Sequence[Court],
    tradition: Tradition,
    kind: str,
    draw: Draw,
    taken: frozenset[Cell] = frozenset(),
    clear: frozenset[Cell] = frozenset(),
) -> Grounds:
    """Every yard with its use, and the boundary round them.  kind: of boundary, by name.  taken: where
    something of the house stands beside it.  clear: where nothing may stand in a yard, beside chimneys."""
    close = enclosed(site, rooms, taken)
    built = covered(site.built)
    ways = [e.way for e in rooms.entrances]
    apart = [wing.rect for wing in site.wings if stands_alone(site, wing)]
    alone = [way for way in ways[1:] if any(rect.holds(way) for rect in apart)]
    firm = built | taken
    doors = gates(close, firm, ways[1:], rooms.gate, standing(rooms.flues), alone)
    entries = (*ways, *(way for way, _ in doors))
    open_ground = yards(site, rooms.front) & close.inside
    some = [part for level in terraces(site, open_ground) for part in parts(level)]
    found = tuple(grounds(site, rooms, close, some, entries, clear, taken))
    uses = chosen(found, rooms, tradition, draw.at("uses"))
    served = [_nearest(found, way) for way, *_ in doors]
    full = taken | close.bound | covered(way.grown(1) for way, _ in doors)
    return Grounds(
        yards=tuple(
            Yard(
                use=use,
                rects=one.rects,
                room=room,
                gate=next((way for (way, _), n in zip(doors, served, strict=True) if n == k), None),
            )
            for k, (one, (use, room)) in enumerate(zip(found, uses, strict=True))
        ),
        walls=tuple(bounds(close, doors, kind, tradition)),
        pieces=_composed(
            yards(site, rooms.front),
            close,
            found,
            [use for use, _ in uses],
            courts,
            tradition.plan,
            draw,
        ),
        entry=_laid(entry_lamps(site, rooms, full, draw.at("entry"))),
    )


def _nearest(found: Sequence[Ground], way: Rect) -> int | None:
    """The yard to which a gate leads."""
    return min(range(len(found)), key=lambda n: found[n].off(way), default=None)


def _composed(
    ground: frozenset[Cell],
    close: Close,
    found: Sequence[Ground],
    uses: Sequence[str],
    courts: Sequence[Court],
    rule: PlanRule,
    draw: Draw,
) -> Planting:
    """What each use makes of its yard, and grass on what is left of the ground."""
    pieces: Pieces = {}
    gardens = [court.kind for court in courts]
    for n, (yard, use) in enumerate(zip(found, uses, strict=True)):
        wells = "well" not in gardens and not any(use == "well-head" for use, _ in pieces.values())
        pieces |= USES[use](yard, draw.at(n), wells, gardens, rule)
    roofs = {(x, y) for (x, y, _), (role, _) in pieces.items() if role == "shed-roof"}
    pieces = unclimbed(pieces, ring(close.bound | roofs))
    left = {c for c in ground if (*c, -1) not in pieces}
    pieces |= {(*c, -1): ("garden-gravel" if c in close.outside else "moss", "whole") for c in left}
    return _laid(pieces)


def _laid(pieces: Pieces) -> Planting:
    return tuple(sorted((*spot, *look) for spot, look in pieces.items()))


USES: Mapping[str, Callable[[Ground, Draw, bool, Sequence[str], PlanRule], Pieces]] = {
    "kitchen yard": lambda yard, draw, wells, *_: work.kitchen_yard(yard, draw, wells=wells),
    "drying ground": lambda yard, draw, *_: work.drying_ground(yard, draw),
    "work yard": lambda yard, draw, *_: work.work_yard(yard, draw),
    "wood store": lambda yard, draw, *_: work.wood_store(yard, draw),
    "jar terrace": lambda yard, draw, *_: work.jar_terrace(yard, draw),
    "kitchen garden": lambda yard, draw, *_: green.kitchen_garden(yard, draw),
    "orchard": lambda yard, draw, *_: green.orchard(yard, draw),
    "garden": lambda yard, draw, _, seen, rule: green.garden(yard, draw, rule, seen=seen),
    "green": lambda yard, draw, *_: green.green(yard, draw),
    "forecourt": lambda yard, draw, *_: green.forecourt(yard, draw),
}
"""Who makes a yard of each use."""
