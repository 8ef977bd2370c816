"""Posts and doors by name, as sheets and the guide call them."""

from __future__ import annotations

from msgspec import Struct

from genhouse.core.box import Rect
from genhouse.model.design import Design

DOORS = ("door", "entrance")


class Named(Struct, frozen=True):
    """name: a number for a post, D and a number for a door.  z0, z1: the levels that it stands in."""

    name: str
    rect: Rect
    z0: int
    z1: int


def named(design: Design) -> tuple[Named, ...]:
    """Posts, then doors, each counted from the south-west corner, row by row."""
    return (*posts(design), *doors(design))


def posts(design: Design) -> tuple[Named, ...]:
    """What stands in the frame, a place once, however many storeys go up there."""
    standing = design.palette.having("stands")
    levels: dict[Rect, tuple[int, int]] = {}
    for part in design.parts:
        if part.stage == "frame" and part.role in standing:
            _, _, z0, _, _, z1 = part.box
            low, high = levels.get(part.box.rect, (z0, z1))
            levels[part.box.rect] = min(low, z0), max(high, z1)
    places = sorted(levels, key=lambda r: (r.y0, r.x0))
    return tuple(Named(str(n), rect, *levels[rect]) for n, rect in enumerate(places, 1))


def doors(design: Design) -> tuple[Named, ...]:
    """Ways with a hinged leaf, from below."""
    walls = [w for w in design.segments if w.opening in DOORS and w.way is not None]
    ways = sorted((w.floor, w.way.y0, w.way.x0, w.way, w.top) for w in walls if w.way)
    return tuple(
        Named(f"D{n}", way, floor, top) for n, (floor, _, _, way, top) in enumerate(ways, 1)
    )
