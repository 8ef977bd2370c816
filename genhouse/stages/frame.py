"""Frame: sills, six-cell posts, tie beams at two heights, and the short posts and plates above."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from genhouse.core.box import Box, Rect
from genhouse.model.elements import Wall
from genhouse.model.part import Part
from genhouse.stages.bays import Bays
from genhouse.stages.rooms import Rooms
from genhouse.traditions.loader import Tradition


def frame_parts(bays: Bays, rooms: Rooms, tradition: Tradition) -> tuple[Part, ...]:
    """Every timber that stands before the walls are filled."""
    lower = [s for s in rooms.segments if s.level == 1]
    upper = [s for s in rooms.segments if s.level == 2]
    return (
        *_posts(bays, upper, tradition),
        *_sills(lower, rooms, tradition),
        *_ties(lower, tradition),
        *_plates(upper, tradition),
    )


def _posts(bays: Bays, upper: Iterable[Wall], tradition: Tradition) -> Iterator[Part]:
    first, last = tradition.storeys[0], tradition.storeys[-1]
    for x, y in (*bays.posts, *bays.middle):
        yield Part("frame", "post", "whole", Box(x, y, first.slab, x + 1, y + 1, first.head + 1))
    ends = {end for s in upper for end in s.ends}
    for x, y in (post for post in bays.posts if post in ends):
        yield Part("frame", "post", "whole", Box(x, y, last.floor, x + 1, y + 1, last.head + 1))


def _sills(segments: Iterable[Wall], rooms: Rooms, tradition: Tradition) -> Iterator[Part]:
    """A sill under every wall, left out where the front door opens at ground level."""
    z = tradition.storeys[0].slab
    doors = [e.way for e in rooms.entrances if e.kind == "front"]
    for s in segments:
        if s.boundary != "open":
            for piece in without(s.cells, next((d for d in doors if d == s.way), None)):
                yield Part("frame", "sill", "whole", piece.up(z, z + 1))


def _ties(segments: Iterable[Wall], tradition: Tradition) -> Iterator[Part]:
    tie, head = tradition.storeys[0].lintel, tradition.storeys[0].head
    for s in segments:
        if s.boundary != "open":
            yield Part("frame", "tie", "whole", s.cells.up(tie, tie + 1))
        role = "plate" if s.rises else "tie"
        yield Part("frame", role, "whole", s.cells.up(head, head + 1))


def _plates(segments: Iterable[Wall], tradition: Tradition) -> Iterator[Part]:
    z = tradition.storeys[-1].head
    for s in segments:
        # In a bay that opens to a gallery the course above bridges from post to post.
        if s.boundary in ("outer", "court") and s.opening != "screens":
            yield Part("frame", "plate", "whole", s.cells.up(z, z + 1))


def without(whole: Rect, hole: Rect | None) -> tuple[Rect, ...]:
    """A one-cell-thick strip less a stretch of it."""
    if hole is None or not whole.meets(hole):
        return (whole,)
    if whole.depth == 1 and whole.width > 1:
        parts = (
            Rect(whole.x0, whole.y0, hole.x0, whole.y1),
            Rect(hole.x1, whole.y0, whole.x1, whole.y1),
        )
    else:
        parts = (
            Rect(whole.x0, whole.y0, whole.x1, hole.y0),
            Rect(whole.x0, hole.y1, whole.x1, whole.y1),
        )
    return tuple(p for p in parts if p.area)
