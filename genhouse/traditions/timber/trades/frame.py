"""Frame: in each wall between its posts a sill, tie beams, a plate."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

from genhouse.model.elements import Element, Wall, of
from genhouse.model.part import Part
from genhouse.traditions.building import piece
from genhouse.traditions.tradition import Tradition

OUTER = "outer "
"""Before the name of a use: where it is in a wall that bounds the house."""


def raise_frame(elements: Sequence[Element], tradition: Tradition) -> Iterator[Part]:
    """The beams of every wall; no sill where one walks in at the level of the ground."""
    own = {use for use, _ in tradition.uses if use.startswith(OUTER)}
    for wall in of(Wall, elements):
        for z, use in beams(wall, tradition):
            for cells in wall.cells.less(wall.way if wall.floor <= z < wall.lintel else None):
                yield piece(tradition, _shell(use, wall, own), cells.up(z, z + 1))


def _shell(use: str, wall: Wall, own: Collection[str]) -> str:
    """The use of a beam: where the tradition has one of its own for walls that bound the house, that."""
    bounds = wall.boundary in ("outer", "party")
    return OUTER + use if bounds and OUTER + use in own else use


def beams(wall: Wall, tradition: Tradition) -> tuple[tuple[int, str], ...]:
    """Layer and use of each beam of a wall, lowest first.

    Under the roof a plate lies on outer walls only; in a bay that slides open there the course above
    bridges from post to post.
    """
    head = wall.z1 - 1
    if wall.boundary == "garden":
        return ()
    if wall.lofty:
        return () if wall.inner or wall.top > head else ((head, "plate"),)
    top = (head, "plate" if wall.rises else "tie")
    if wall.boundary == "open":
        return (top,)
    foot = "plinth" if wall.boundary in ("outer", "party") else "sill"
    sill = ((wall.z0, foot),) if on_ground(wall, tradition) else ()
    return (*sill, (wall.lintel, "tie"), top)


def on_ground(wall: Wall, tradition: Tradition) -> bool:
    """Whether a wall stands on the ground, not on another."""
    return wall.z0 < tradition.storeys[0].floor


def panel(wall: Wall, tradition: Tradition) -> tuple[int, int]:
    """The layers of a wall between its sill and the beam above it."""
    foot = wall.z0 + on_ground(wall, tradition)
    return foot, next((z for z, _ in beams(wall, tradition) if z >= foot), wall.z1)
