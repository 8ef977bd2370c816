"""Rooms under the sky: courts with their verandas, and the upper walks."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec.structs import replace

from genhouse.model.room import Room
from genhouse.stages.galleries import Walk
from genhouse.stages.site import Site
from genhouse.traditions.loader import Tradition


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
    first, last = tradition.storeys[0], tradition.storeys[-1]
    above = tuple(
        Room(
            id=n,
            kind=walk.kind,
            level=2,
            rects=walk.rects,
            floor=last.floor,
            ceiling=last.head + (24 if walk.roofed else 3),
            indoor=False,
            to_roof=True,
        )
        for n, walk in enumerate(walks, len(rooms) + 1)
    )
    low = [r for walk in walks for r in walk.rects]
    low += [wing.rect.grown(1) for wing in site.wings if wing.storeys == 1]
    under = [any(r.meets(o) for r in room.rects for o in low) for room in rooms]
    return (
        *(
            replace(room, ceiling=first.head) if room.kind == "veranda" and below else room
            for room, below in zip(rooms, under, strict=True)
        ),
        *above,
    )
