"""Before the entry: a lamp that shows the way in, on the wall or beside it on the ground."""

from __future__ import annotations

from collections.abc import Collection

from genhouse.core.draw import Draw
from genhouse.core.region import Cell
from genhouse.stages.gardens.lot import Pieces
from genhouse.stages.gardens.stones import lantern
from genhouse.stages.grounds.ground import PORCH, walled
from genhouse.stages.rooms import Rooms
from genhouse.stages.site import Site

HEAD = 2
"""Layers above the ground of a lamp on a wall."""
LAMPS = (("one", 1, 4), ("pair", 2, 2), ("bracket", 1, 3))
"""A lamp of stone, one at either side, or one on the wall: the free places that it needs, how often."""


def entry_lamps(site: Site, rooms: Rooms, taken: Collection[Cell], draw: Draw) -> Pieces:
    """The lamp at the front door, or at the gate in a wall.  taken: where something else stands."""
    shared = walled(site)
    free, walls = (
        [c for c in some if site.land.has(*c) and not any(edge.has(*c) for edge in shared)]
        for some in ([c for c in _aside(rooms) if c not in taken], _before_posts(rooms))
    )
    may = [kind for kind in LAMPS if len(walls if kind[0] == "bracket" else free) >= kind[1]]
    if not may:
        return {}
    kind = draw.choice([kind for kind, *_ in may], "kind", [weight for *_, weight in may])
    if kind == "bracket":
        return {(*draw.choice(walls, "post"), HEAD): ("garden-lamp", "bracket lamp north")}
    chosen = free if kind == "pair" else [draw.choice(free, "side")]
    return {spot: look for cell in chosen for spot, look in lantern(cell).items()}


def _aside(rooms: Rooms) -> tuple[Cell, Cell]:
    """The ground beside the posts of a porch, or before the wall beside those of a gate."""
    way = rooms.front
    y = way.y0 - (PORCH if rooms.entrances[0].room else 1)
    return (way.x0 - 2, y), (way.x1 + 1, y)


def _before_posts(rooms: Rooms) -> list[Cell]:
    """The ground before those that the way in passes: at one end of its bay, or on both sides of a gate."""
    way = rooms.front
    ends = next((wall.ends for wall in rooms.segments if wall.way == way), None)
    posts = ((way.x0 - 1, way.y0), (way.x1, way.y0))
    return [(x, y - 1) for x, y in posts if ends is None or (x, y) in ends]
