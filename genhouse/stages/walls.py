"""Walls: what they stand between, those of the garden and beside neighbours, and the brick at a hearth's
back."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

from genhouse.core.axes import Axis
from genhouse.core.box import Box, Rect, runs
from genhouse.model.elements import Element, Panel, Support, Wall
from genhouse.stages.fronts import PORCH
from genhouse.stages.roof import Roof
from genhouse.stages.roofs.slopes import NONE, by_cell
from genhouse.stages.rooms import Rooms
from genhouse.stages.site import Site, edge_of
from genhouse.traditions.tradition import Tradition

HIGH = 4
"""Cells of a garden wall, its coping among them."""
SHORTEST = 2
"""Cells of the shortest and of the lowest wall beside a neighbour."""


def garden_walls(site: Site, rooms: Rooms, tradition: Tradition) -> Iterator[Wall]:
    """The walls that close a court, with the gate in one of them."""
    ground = tradition.storeys[0].slab
    gate = next((e.way for e in rooms.entrances if e.kind == "front" and e.room == 0), None)
    for cells in site.walls:
        way = gate if gate is not None and gate.meets(cells) else None
        yield bounding(cells, "x" if cells.width > cells.depth else "y", ground, way=way)


def _high(under: int, ground: int) -> int:
    """Cells of a wall beside a neighbour, under a roof so many half cells high: none end right below it."""
    free = under // 2 - ground
    return HIGH if under == NONE or free > HIGH + 1 else free


def bounding(
    cells: Rect,
    axis: Axis,
    ground: int,
    high: int = HIGH,
    *,
    coping: int = 1,
    way: Rect | None = None,
    look: str = "",
) -> Wall:
    """A wall in the open.  coping: cells of it over its infill.  way: of the gate that it is."""
    return Wall(
        level=1,
        axis=axis,
        cells=cells,
        z0=ground,
        z1=ground + high,
        floor=ground,
        lintel=ground + high - coping,
        boundary="garden",
        low=0,
        high=0,
        opening="none" if way is None else "gate",
        way=way,
        look=look,
    )


def party_walls(site: Site, rooms: Rooms, roof: Roof, tradition: Tradition) -> Iterator[Wall]:
    """What bounds the ground beside a neighbour where no house stands on the edge, but for the way to a
    door; eaves that come down to it lie on it."""
    ground = tradition.storeys[0].slab
    under = by_cell(roof.under)
    taken = [*site.built, *(e.way.grown(PORCH) for e in rooms.entrances)]
    for edge in (edge_of(site, side) for side in site.party):
        free = [
            (*c, _high(int(under[c]), ground - site.fall(*c)))
            for c in edge.cells()
            if site.land.has(*c) and not any(rect.has(*c) for rect in taken)
        ]
        for box in runs(free):
            if box.volume >= SHORTEST <= box.z0:
                yield bounding(box.rect, edge.longer, ground, box.z0)
        taken.append(edge)


def hearth_back(site: Site, rooms: Rooms, tradition: Tradition) -> Iterator[Element]:
    """Brick in the wall behind a hearth that shares its flue with the room at its back."""
    if rooms.hearth.behind:
        (x, y), storey = rooms.hearth.back, tradition.storeys[0]
        storey = storey.let_down(site.fall(x, y))
        brick = Rect(x, y, x + 1, y + 1).up(storey.floor, storey.lintel)
        yield Panel(use="hearth", box=brick)


def screen_walls(site: Site, rooms: Rooms, tradition: Tradition) -> Iterator[Element]:
    """What stands across a bent way in, from the ground to its ceiling."""
    if rooms.screen is not None:
        storey = tradition.storeys[0].let_down(site.fall(*rooms.screen[:2]))
        yield Panel(use="screen wall", box=rooms.screen.up(storey.slab, storey.head))


def supports(site: Site, walls: Sequence[Wall], ground: int) -> tuple[Support, ...]:
    """One at each end of every wall, as high as it; of an open bay not right under the roof.  A pier stands
    where walls to outdoors meet others, but none to a court.  ground: z of the first layer over the
    highest, below which none stands in the earth."""
    found: dict[Box, set[str]] = {}
    for wall in walls:
        for x, y in wall.ends if wall.boundary != "open" or not wall.lofty else ():
            foot = ground - site.fall(x, y) if wall.level == 1 else wall.z0
            box = Box(x, y, foot, x + 1, y + 1, wall.z1)
            found.setdefault(box, set()).add(wall.boundary)
    return tuple(
        Support(use="pier" if is_pier(met) else "post", box=box) for box, met in found.items()
    )


def is_pier(met: Collection[str]) -> bool:
    """Whether what stands where walls of such boundaries meet is a part of the wall outside."""
    return "court" not in met and not {"outer", "party"}.isdisjoint(met)
