"""Bays of the walls: which are alike, and where they are."""

from __future__ import annotations

from msgspec import Struct

from genhouse.model.design import Design
from genhouse.outputs.guide._places import place

SHOWN = 6
"""Places that are told of bays that are alike; the sheets show all."""


class WallRow(Struct, frozen=True, kw_only=True):
    """Bays of one kind.  storey: from 1.  wide: cells between its posts.  look: what it wears."""

    storey: int
    stands: str
    opening: str
    look: str
    wide: int
    count: int
    places: str


STANDS = {"outer": "outside", "court": "to a court", "inner": "between rooms", "open": "open"}


def wall_rows(design: Design) -> tuple[WallRow, ...]:
    """Storey by storey, the commonest first."""
    alike: dict[tuple[int, str, str, str, int], list[str]] = {}
    for wall in design.segments:
        long = wall.length
        key = (wall.level, wall.boundary, wall.opening, wall.look, long)
        alike.setdefault(key, []).append(place(wall.cells))
    rows = [
        WallRow(
            storey=level,
            stands=STANDS.get(boundary, boundary),
            opening=opening or "none",
            look=look,
            wide=long,
            count=len(places),
            places="; ".join(places[:SHOWN]) + (" and others" if len(places) > SHOWN else ""),
        )
        for (level, boundary, opening, look, long), places in alike.items()
    ]
    return tuple(
        sorted(rows, key=lambda r: (r.storey, r.stands, -r.count, r.opening, r.look, r.wide))
    )
