"""Galleries: roofed walks of the upper storey over the verandas, with a balustrade toward the court.

A gallery is a veranda's depth: its boards run on from the upper floor over the tie beam, the court's
posts carry them on brackets, and the course of eaves above keeps the rain off.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from genhouse.core.axes import SIDES, STEP, Side, opposite
from genhouse.core.box import Box, Rect
from genhouse.core.draw import Draw
from genhouse.core.errors import InfeasibleError
from genhouse.model.part import Part
from genhouse.model.room import COURTS, Room
from genhouse.stages.bays import Bays
from genhouse.stages.site import Site
from genhouse.traditions.loader import Tradition

Cell = tuple[int, int]
Gallery = tuple[Rect, ...]
"""The strips of one walk, apart from each other."""
KIND = "gallery"
SOME = (1, 4)
"""How many of the houses that can have a gallery have one unasked."""
ROOMY = 8
"""Clear cells, the shorter way, of a court that is given a gallery unasked: a walk takes its light."""
COUNTS = (3, 4, 2, 1)
"""Weights of one side of a court, two, three and all four."""


def plan_galleries(site: Site, asked: bool | int | None, draw: Draw) -> tuple[Gallery, ...]:
    """The walks of one court, on neighbouring sides as far as there are.

    asked: how many sides; whether any; None leaves it to the draw.  Raises InfeasibleError where no
    court has wings on so many sides.
    """
    if asked is False:
        return ()
    counted = asked is not None and asked is not True
    wanted = int(asked or 1) if counted else 1
    courts = [c for c in site.courts if len(site.winged(c)) >= wanted]
    if asked is None:
        courts = [c for c in courts if min(c.width, c.depth) >= ROOMY]
    if asked is None and not (courts and draw.chance(*SOME, "gallery")):
        return ()
    if not courts:
        raise InfeasibleError(
            f"gallery: no court has wings on {wanted} sides to carry one", stage="rooms"
        )
    court = draw.choice(courts, "court")
    sides = [s for s in SIDES if s in site.winged(court)]
    if not counted:
        wanted = draw.choice(range(1, len(sides) + 1), "sides", COUNTS[: len(sides)])
    first = draw.below(len(sides), "first side")
    return _walks(court, [(sides + sides)[first + n] for n in range(wanted)])


def _walks(court: Rect, sides: Sequence[Side]) -> tuple[Gallery, ...]:
    """Strips along some sides; those that meet at a corner are one walk."""
    walks: list[Gallery] = []
    for strip in _strips(court, sides):
        met = [w for w in walks if any(strip.grown(1).meet(r).area > 1 for r in w)]
        walks = [w for w in walks if w not in met]
        walks.append((*(r for w in met for r in w), strip))
    return tuple(walks)


def _strips(court: Rect, sides: Sequence[Side]) -> Iterator[Rect]:
    """Those to south and north run through to the walls, and so do the others where they are free."""
    x0, y0, x1, y1 = court
    low, high = y0 + ("south" in sides), y1 - ("north" in sides)
    strips: dict[Side, Rect] = {
        "south": Rect(x0, y0, x1, y0 + 1),
        "north": Rect(x0, y1 - 1, x1, y1),
        "west": Rect(x0, low, x0 + 1, high),
        "east": Rect(x1 - 1, low, x1, high),
    }
    return (strip for side, strip in strips.items() if side in sides)


def galleries(rooms: Sequence[Room]) -> tuple[Room, ...]:
    return tuple(room for room in rooms if room.kind == KIND)


def guarded(rooms: Sequence[Room], wings: Sequence[Rect]) -> dict[Cell, tuple[Side, ...]]:
    """Where a balustrade stands, and on which sides of its cell, toward the walk.

    Beside a walk it stands past the edge; where a walk ends at the court's open side, in its last cell.
    """
    walk = {c for room in galleries(rooms) for r in room.rects for c in r.cells()}
    court = [r for room in rooms if room.kind in (*COURTS, "veranda") for r in room.rects]
    found: dict[Cell, tuple[Side, ...]] = {}
    for x, y in sorted(walk):
        for side in SIDES:
            dx, dy = STEP[side]
            beyond = (x + dx, y + dy)
            if beyond in walk or any(wing.has(*beyond) for wing in wings):
                continue
            if any(r.has(*beyond) for r in court):
                found[beyond] = (*found.get(beyond, ()), opposite(side))
            else:
                found[x, y] = (*found.get((x, y), ()), side)
    return found


def galleries_parts(
    site: Site, bays: Bays, rooms: Sequence[Room], tradition: Tradition
) -> tuple[Part, ...]:
    """Brackets on the court's posts, boards, and the balustrade on its edge beam."""
    z = tradition.levels
    walk = {c for room in galleries(rooms) for r in room.rects for c in r.cells()}
    parts = [
        Part("floors", KIND, "full", r.up(z.upper_tie, z.upper_tie + 1))
        for room in galleries(rooms)
        for r in room.rects
    ]
    for x, y in bays.posts:
        for side in SIDES:
            dx, dy = STEP[side]
            if (x + dx, y + dy) in walk:
                bracket = f"step {opposite(side)} turned"
                cell = Box.cell(x + dx, y + dy, z.upper_tie - 1)
                parts.append(Part("floors", "bracket", bracket, cell))
    for (x, y), sides in guarded(rooms, [wing.rect for wing in site.wings]).items():
        ways = _facing(sides)
        if (x, y) not in walk:
            parts.append(Part("floors", "trimmer", f"panel {ways}", Box.cell(x, y, z.upper_tie)))
        parts.append(Part("floors", "rail", f"rail {ways}", Box.cell(x, y, z.upper_floor)))
    return tuple(parts)


def _facing(sides: tuple[Side, ...]) -> str:
    """One side, or the corner between two."""
    if len(sides) == 1:
        return sides[0]
    along = next(s for s in sides if s in ("south", "north"))
    across = next(s for s in sides if s in ("west", "east"))
    return f"corner {along}-{across}"
