"""What a furnished room is worth: one whole number, the sum of named terms.

The terms are those of P. Merrell, E. Schkufza, Z. Li, M. Agrawala and V. Koltun, "Interactive
furniture layout using interior design guidelines", SIGGRAPH 2011 (clearance, circulation, pairwise
distance, alignment, focal emphasis, symmetry) and L.-F. Yu and others, "Make it home: automatic
optimization of furniture arrangement", SIGGRAPH 2011 (walls, facing, pathways), in cells.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from msgspec import Struct

from genhouse.core.box import Rect
from genhouse.stages.furnishing.floorplan import Floor
from genhouse.stages.furnishing.stances import Stance
from genhouse.traditions.tradition import Fitting

WALL, CORNER, MIDDLE, FACES = 2, 3, 2, 6
"""For each cell: against a shut wall; in a corner; off the middle (lost); and for facing what it should."""
NEAR = (8, 5, 2)
"""For companions that touch, one cell apart, two cells apart."""
TWINS = 4
"""For two of a kind in line, or face to face."""
CLEAR = 3
"""Lost for each cell that one fitting takes before others."""


class Stood(Struct, frozen=True, gc=False):
    """A fitting in its stance."""

    name: str
    fitting: Fitting
    stance: Stance


class Terms(NamedTuple):
    """walls: backs on shut walls, corners filled.  facing: what each should look at.
    groups: companions side by side, twins in line.  middle: what belongs there is there.
    clearance: nothing stands before another.  circulation: squares of floor two cells wide to walk on.
    """

    walls: int
    facing: int
    groups: int
    middle: int
    clearance: int
    circulation: int


def worth(floor: Floor, room: Sequence[Stood]) -> int:
    """The sum of the room's terms."""
    return sum(terms(floor, room))


def terms(floor: Floor, room: Sequence[Stood]) -> Terms:
    """Each term of the room's worth."""
    taken = before = 0
    for s in room:
        taken |= s.stance.solid
        before |= s.stance.front
    return Terms(
        walls=sum(against(s.fitting, s.stance, floor) for s in room),
        facing=sum(looks(s.fitting, s.stance, floor) for s in room),
        groups=sum(
            together(s.stance, m)
            for i, s in enumerate(room)
            for m in mates(s.name, s.fitting, room[:i])
        ),
        middle=sum(central(s.fitting, s.stance, floor.rect) for s in room),
        clearance=-CLEAR * (before & taken).bit_count(),
        circulation=squares(floor.free & ~taken, floor.stride).bit_count(),
    )


def central(fitting: Fitting, stance: Stance, room: Rect) -> int:
    """For how far from the middle what belongs there is."""
    return -MIDDLE * stance.off(room.width, room.depth) if fitting.against == "centre" else 0


def against(fitting: Fitting, stance: Stance, floor: Floor) -> int:
    """Backs on shut walls and corners filled, for all but what stands in the middle."""
    if fitting.against == "centre":
        return 0
    corners = stance.ends(floor.rect.width, floor.rect.depth)
    return WALL * (floor.hug & stance.solid).bit_count() + CORNER * corners


def looks(fitting: Fitting, stance: Stance, floor: Floor) -> int:
    """For facing down the room, toward the court, or toward the way in."""
    match fitting.faces:
        case "length":
            return min(FACES, stance.ahead)
        case "court":
            return FACES if stance.view(floor.stride) & floor.court else 0
        case "door":
            return FACES if stance.view(floor.stride) & floor.keep else 0
    return 0


class Mate(NamedTuple):
    """One that a fitting is better beside: as a companion, as its like, or both."""

    stance: Stance
    near: bool
    like: bool


def mates(name: str, fitting: Fitting, room: Sequence[Stood]) -> list[Mate]:
    """A fitting's companions and its like."""
    found = []
    for other in room:
        near = other.name in fitting.near or name in other.fitting.near
        if near or other.name == name:
            found.append(Mate(other.stance, near, other.name == name))
    return found


def together(stance: Stance, mate: Mate) -> int:
    """For companions by their distance; for twins that stand in line or face each other."""
    found = twins(stance, mate.stance) if mate.like else 0
    if mate.near:
        gap = apart(stance.cells, mate.stance.cells)
        if gap < len(NEAR):
            found += NEAR[gap]
    return found


def apart(a: Rect, b: Rect) -> int:
    """Cells between two rectangles, along the axes."""
    ax0, ay0, ax1, ay1 = a
    bx0, by0, bx1, by1 = b
    across = ax0 - bx1 if ax0 > bx1 else bx0 - ax1 if bx0 > ax1 else 0
    return across + (ay0 - by1 if ay0 > by1 else by0 - ay1 if by0 > ay1 else 0)


def twins(a: Stance, b: Stance) -> int:
    along = a.facing % 2
    in_line = a.facing == b.facing and a.cells[1 - along] == b.cells[1 - along]
    opposite = abs(a.facing - b.facing) == 2 and a.cells[along] == b.cells[along]
    return TWINS if in_line or opposite else 0


def squares(free: int, stride: int) -> int:
    """Squares of two by two free cells, each by its lowest: the width there is to walk in."""
    pair = free & free >> 1
    return pair & pair >> stride


def spoilt(solid: int, stride: int) -> int:
    """The squares, each by its lowest cell, in which these cells have part."""
    wide = solid | solid >> 1
    return wide | wide >> stride
