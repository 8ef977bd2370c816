"""Openings in walls that bear: doors two cells high, a pierced light over each, a lintel on a portal."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec.structs import replace

from genhouse.core.axes import FLANKS
from genhouse.model.elements import Element, Wall, of
from genhouse.model.part import Part
from genhouse.traditions.building import piece
from genhouse.traditions.timber.trades.openings import hang_openings as hang_leaves
from genhouse.traditions.tradition import Tradition

LEAF = 2
"""Cells of a door, from the floor."""
HUNG = ("door", "entrance", "screens")
"""Openings with leaves over which a light may go."""


def hang_openings(elements: Sequence[Element], tradition: Tradition) -> Iterator[Part]:
    """Leaves as high as a door, and a light in what is open above them."""
    walls = [_lowered(wall) for wall in of(Wall, elements)]
    yield from hang_leaves(walls, tradition)
    for wall, low in zip(of(Wall, elements), walls, strict=True):
        if low.lintel < wall.top and wall.way is not None and low.opening in HUNG:
            light = wall.way.up(low.lintel, wall.top)
            yield piece(tradition, "fanlight", light, wall.face or FLANKS[wall.axis][0])


def _lowered(wall: Wall) -> Wall:
    """A wall with shut leaves and its lintel right over them, where a light goes over that."""
    hung = wall.opening in HUNG and wall.way is not None
    if not hung or wall.top <= wall.floor + LEAF:
        return wall
    shut = tuple(1 for _ in wall.leaves)
    return replace(wall, lintel=wall.floor + LEAF, lofty=False, leaves=shut)
