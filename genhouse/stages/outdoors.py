"""Rooms under the sky: courts with their verandas, and the upper walks."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec.structs import replace

from genhouse.core.box import Rect
from genhouse.model.room import COURTS, Room
from genhouse.stages.galleries import Walk
from genhouse.stages.site import Site
from genhouse.stages.terraces import fall_of, level_parts
from genhouse.traditions.tradition import Tradition


def outdoors(site: Site, tradition: Tradition) -> Iterator[Room]:
    """Courts, front to rear, then the verandas round each."""
    floor, head = tradition.storeys[0].floor, tradition.storeys[-1].head
    for court in site.courts:
        yield Room(
            id=0,
            kind="service court" if court == site.service else "court",
            level=1,
            rects=(site.garden(court),),
            floor=floor - 1 - fall_of(site, (site.garden(court),))[0],
            ceiling=head,
            indoor=False,
        )
    levels = [_verandas(site, court) for court in site.courts]
    main, more = [some[0] for some in levels], [one for some in levels for one in some[1:]]
    for fall, rects in (*main, *more):
        yield Room(
            id=0,
            kind="veranda",
            level=1,
            rects=rects,
            floor=floor - fall,
            ceiling=head,
            indoor=False,
        )


def _verandas(site: Site, court: Rect) -> list[tuple[int, tuple[Rect, ...]]]:
    """The verandas of a court that hang together, by how far they lie below the highest; first that from
    which one steps into it."""
    own = fall_of(site, (site.garden(court),))[0]
    parts = level_parts(site, site.verandas(court))
    pieces = [(fall, part) for fall, rects in parts.items() for part in _together(rects)]
    if len(pieces) == 1:
        return list(parts.items())
    return sorted(pieces, key=lambda piece: (abs(piece[0] - own), piece[0] < own))


def _together(rects: Sequence[Rect]) -> Iterator[tuple[Rect, ...]]:
    """What of them hangs together."""
    left = list(rects)
    while left:
        found = [left.pop(0)]
        for rect in found:
            found += (near := [other for other in left if rect.adjoins(other)])
            left = [other for other in left if other not in near]
        yield tuple(found)


def of_courts(rooms: Sequence[Room]) -> Iterator[tuple[Room, tuple[Room, ...]]]:
    """Each court with its verandas, that from which one steps into it first."""
    courts = [room for room in rooms if room.kind in COURTS]
    verandas = [room for room in rooms if room.kind == "veranda"]
    for court, first in zip(courts, verandas, strict=False):
        near = court.rect.grown(1)
        beside = (v for v in verandas[len(courts) :] if any(map(near.meets, v.rects)))
        yield court, (first, *beside)


def with_walks(
    site: Site, rooms: tuple[Room, ...], walks: Sequence[Walk], tradition: Tradition
) -> tuple[Room, ...]:
    """The rooms with the upper walks after them, and the verandas as high as what is above leaves."""
    above = tuple(
        Room(
            id=n,
            kind=walk.kind,
            level=walk.level,
            rects=walk.rects,
            floor=storey.floor,
            ceiling=storey.ceiling if walk.roofed else storey.head + 3,
            indoor=False,
            to_roof=True,
        )
        for n, walk in enumerate(walks, len(rooms) + 1)
        for storey in (tradition.storeys[walk.level - 1],)
    )
    covers = [(r, tradition.storeys[walk.level - 2].head) for walk in walks for r in walk.rects]
    covers += [(w.rect.grown(1), tradition.storeys[w.storeys - 1].head) for w in site.wings]
    return (*(_covered(room, covers) for room in rooms), *above)


def _covered(room: Room, covers: Sequence[tuple[Rect, int]]) -> Room:
    """A veranda is as high as the lowest floor or eaves over it."""
    if room.kind != "veranda":
        return room
    heads = (head for cover, head in covers if any(r.meets(cover) for r in room.rects))
    return replace(room, ceiling=min(heads, default=room.ceiling))
