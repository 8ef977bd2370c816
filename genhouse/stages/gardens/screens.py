"""A wall that stands free in the first court, before the way in: nobody at the gate sees past it."""

from __future__ import annotations

from genhouse.core.box import Rect
from genhouse.stages.gardens.lot import Pieces
from genhouse.stages.rooms import Rooms
from genhouse.stages.site import Site

OFF = 1
"""Cells between it and the veranda before it."""
PAST = 2
"""Cells by which it reaches past the opening on either side."""
LAYERS = (("screen-foot", "screen-foot"), *[("screen-wall", "screen-panel")] * 2)
"""What stands in each layer at its ends, and between them."""


def screen_ground(site: Site, rooms: Rooms) -> Rect | None:
    """Where it stands: before the bay through which one comes in; None where one comes straight into a
    court, or where no ground is left behind it."""
    room = rooms.entrances[0].room
    inward = (
        wall
        for wall in rooms.segments
        if room and wall.boundary == "court" and wall.passable and room in (wall.low, wall.high)
    )
    wall, ground = next(inward, None), site.garden(site.courts[0])
    if wall is None or wall.way is None or ground.depth < OFF + 2:
        return None
    y = ground.y0 + OFF
    row = Rect(wall.way.x0 - PAST, y, wall.way.x1 + PAST, y + 1).meet(ground)
    if row.width == ground.width:
        row = Rect(row.x0 + 1, y, row.x1, y + 1)
    return row


def screen_pieces(row: Rect) -> Pieces:
    """Its foot, its face between two ends, its cap."""
    found: Pieces = {}
    for x, y in row.cells():
        end = x in (row.x0, row.x1 - 1)
        for z, (at_end, between) in enumerate(LAYERS):
            found[x, y, z] = (at_end if end else between, "whole")
        found[x, y, len(LAYERS)] = ("screen-cap", "saddle x")
    return found
