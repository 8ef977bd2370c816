"""Walls: what they stand between, those of the garden, and the brick at a hearth's back."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from genhouse.core.box import Box, Rect
from genhouse.model.elements import Element, Panel, Support, Wall
from genhouse.stages.rooms import Rooms
from genhouse.stages.site import Site
from genhouse.traditions.tradition import Tradition

HIGH = 4
"""Cells of a garden wall, its coping among them."""


def garden_walls(site: Site, rooms: Rooms, tradition: Tradition) -> Iterator[Wall]:
    """The walls that close a court, with the gate in one of them."""
    ground = tradition.storeys[0].slab
    gate = next((e.way for e in rooms.entrances if e.kind == "front" and e.room == 0), None)
    for cells in site.walls:
        here = gate is not None and gate.meets(cells)
        yield Wall(
            level=1,
            axis="x" if cells.width > cells.depth else "y",
            cells=cells,
            z0=ground,
            z1=ground + HIGH,
            floor=ground,
            lintel=ground + HIGH - 1,
            boundary="garden",
            low=0,
            high=0,
            opening="gate" if here else "none",
            way=gate if here else None,
        )


def hearth_back(rooms: Rooms, tradition: Tradition) -> Iterator[Element]:
    """Brick in the wall behind a hearth that shares its flue with the room at its back."""
    if rooms.hearth.behind:
        (x, y), storey = rooms.hearth.back, tradition.storeys[0]
        brick = Rect(x, y, x + 1, y + 1).up(storey.floor, storey.lintel)
        yield Panel(use="hearth", box=brick)


def supports(walls: Sequence[Wall]) -> tuple[Support, ...]:
    """One at each end of every wall, as high as it; of an open bay not right under the roof."""
    found = dict.fromkeys(
        Box(x, y, wall.z0, x + 1, y + 1, wall.z1)
        for wall in walls
        for x, y in wall.ends
        if wall.boundary != "open" or not wall.lofty
    )
    return tuple(Support(use="post", box=box) for box in found)
