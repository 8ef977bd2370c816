"""What the seed chose, told in the words of a brief."""

from __future__ import annotations

from genhouse.core.box import Rect
from genhouse.model.design import Design
from genhouse.model.room import COURTS, GALLERY, TERRACE
from genhouse.outputs.document._tables import DrawnRecord, RoofRecord


def drawn(design: Design) -> DrawnRecord:
    """Everything that a brief may leave open, as the house has it."""
    storeys = max(cover.storeys for cover in design.covers)
    lower = tuple(dict.fromkeys(c.wing for c in design.covers if c.storeys == 1 < storeys))
    galleries = [room for room in design.rooms if room.kind == GALLERY]
    return DrawnRecord(
        plot=design.plot,
        outline=design.outline,
        gate=design.gate_side,
        mirror=design.turn.mirror,
        palette=design.palette.name,
        closed=_closed(design),
        courts=len(design.courts),
        arrangement=design.arrangement,
        storeys=storeys,
        low=lower,
        gallery=sum(len(room.rects) for room in galleries),
        service=any(room.kind == COURTS[1] for room in design.rooms),
        gardens=design.gardens,
        roof=_roof(design),
    )


def _closed(design: Design) -> int:
    """Sides of the first court along all of which a wing stands."""
    x0, y0, x1, y1 = design.courts[0]
    lines = (
        Rect(x1, y0, x1 + 1, y1),
        Rect(x0, y1, x1, y1 + 1),
        Rect(x0 - 1, y0, x0, y1),
        Rect(x0, y0 - 1, x1, y0),
    )
    return sum(any(wing.meet(line) == line for wing in design.wings) for line in lines)


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
