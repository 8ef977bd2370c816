"""Openings: sliding leaves on two tracks, hinged doors, the leaves of a gate."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from genhouse.core.box import Rect
from genhouse.model.elements import Element, Wall, of
from genhouse.model.part import Part
from genhouse.traditions.building import piece
from genhouse.traditions.tradition import Tradition

DOORS = ("door", "entrance", "gate")


def hang_openings(elements: Sequence[Element], tradition: Tradition) -> Iterator[Part]:
    """Whatever opens and shuts."""
    for wall in of(Wall, elements):
        if (
            wall.opening in DOORS
            and wall.way is not None
            and not (wall.opening == "gate" and wall.look)
        ):
            leaf = wall.way.up(wall.floor, wall.top)
            yield piece(tradition, wall.opening, leaf, wall.axis)
        yield from _leaves(wall, tradition)


def _leaves(wall: Wall, tradition: Tradition) -> Iterator[Part]:
    """Leaves on two tracks by turns; where they reach the top of the wall on one, so that no draught
    comes between."""
    use = "court screen" if wall.boundary == "court" else "inner screen"
    tracks = ("near", "near") if wall.top == wall.z1 else ("near", "far")
    for i, (x, y) in enumerate(wall.way.cells() if wall.leaves and wall.way else ()):
        if wall.leaves[i]:
            track = "pair" if wall.leaves[i] > 1 else tracks[i % 2]
            box = Rect(x, y, x + 1, y + 1).up(wall.floor, wall.top)
            yield piece(tradition, use, box, f"leaf {track} {wall.axis}")
