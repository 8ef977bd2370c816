"""Rooms under the sky: courts with their verandas, and the upper walks."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec.structs import replace

from genhouse.core.box import Rect
from genhouse.model.room import Room
from genhouse.stages.galleries import Walk
from genhouse.stages.site import Site
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
            floor=floor - 1,
            ceiling=head,
            indoor=False,
        )
    for court in site.courts:
        yield Room(
            id=0,
            kind="veranda",
            level=1,
            rects=site.verandas(court),
            floor=floor,
            ceiling=head,
            indoor=False,
        )


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
