"""Bays of the walls: which are alike, and where they are."""

from __future__ import annotations

from msgspec import Struct

from genhouse.model.design import Design
from genhouse.model.elements import Wall
from genhouse.outputs.guide._places import place

SHOWN = 6
"""Places that are told of bays that are alike; the sheets show all."""


class WallRow(Struct, frozen=True, kw_only=True):
    """Bays of one kind.  storey: from 1.  wide: cells between its posts.  look: what it wears.
    first: the one that is drawn.
    """

    storey: int
    stands: str
    opening: str
    look: str
    wide: int
    count: int
    places: str
    first: Wall


STANDS = {"outer": "outside", "court": "to a court", "partition": "between rooms", "open": "open"}


def wall_rows(design: Design) -> tuple[WallRow, ...]:
    """Storey by storey, the commonest first."""
    alike: dict[tuple[int, str, str, str, int], list[Wall]] = {}
    for wall in design.segments:
        long = wall.length
        key = (wall.level, wall.boundary, wall.opening, wall.look, long)
        alike.setdefault(key, []).append(wall)
    rows = [
        WallRow(
            storey=level,
            stands=STANDS.get(boundary, boundary),
            opening=opening or "none",
            look=look,
            wide=long,
            count=len(walls),
            places="; ".join(place(wall.cells) for wall in walls[:SHOWN])
            + (" and others" if len(walls) > SHOWN else ""),
            first=walls[0],
        )
        for (level, boundary, opening, look, long), walls in alike.items()
    ]
    return tuple(
        sorted(rows, key=lambda r: (r.storey, r.stands, -r.count, r.opening, r.look, r.wide))
    )
