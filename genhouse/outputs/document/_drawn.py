"""What the seed chose, told in the words of a brief."""

from __future__ import annotations

from genhouse.model.design import Design
from genhouse.model.room import COURTS, GALLERY, TERRACE
from genhouse.outputs.document._tables import DrawnRecord, RoofRecord

AT_FIRST_COURT = ("front", "left", "right", "rear")
"""Wings that close a side of a court; a cross wing stands between two."""


def drawn(design: Design) -> DrawnRecord:
    """Everything that a brief may leave open, as the house has it."""
    names = tuple(dict.fromkeys(cover.wing for cover in design.covers))
    storeys = max(cover.storeys for cover in design.covers)
    lower = tuple(dict.fromkeys(c.wing for c in design.covers if c.storeys < storeys))
    galleries = [room for room in design.rooms if room.kind == GALLERY]
    return DrawnRecord(
        plot=design.plot,
        gate=design.gate_side,
        mirror=design.turn.mirror,
        palette=design.palette.name,
        closed=sum(name in names for name in AT_FIRST_COURT),
        courts=len(design.courts),
        storeys=storeys,
        low=lower,
        gallery=sum(len(room.rects) for room in galleries),
        service=any(room.kind == COURTS[1] for room in design.rooms),
        gardens=design.gardens,
        roof=_roof(design),
    )


def _roof(design: Design) -> RoofRecord:
    decks = [r for room in design.rooms if room.kind == TERRACE for r in room.rects]
    flat = [cover for cover in design.covers if cover.form == "flat"]
    walked = [cover.wing for cover in flat if any(cover.rect.meets(deck) for deck in decks)]
    return RoofRecord(
        forms=tuple((cover.wing, cover.form) for cover in design.covers),
        profile=design.covers[0].profile,
        swept=design.swept,
        dormers=design.dormers,
        terraces=tuple(dict.fromkeys(walked)),
    )
