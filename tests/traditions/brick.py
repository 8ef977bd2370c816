"""A trial way of building: brick walls that bear, made by three functions and a table of uses."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from genhouse.core.box import Rect
from genhouse.model.elements import Element, Wall, of
from genhouse.model.part import Part
from genhouse.traditions.building import Trade, set_fittings, set_members
from genhouse.traditions.shelf import tables
from genhouse.traditions.tradition import Tradition

LEAVES = {
    "window": "window",
    "door": "door",
    "entrance": "door",
    "screens": "door",
    "gate": "gate-leaf",
}
PIERS = ("post", "gable", "inner gable", "gable post", "gable pier")
"""What is filled or framed in timber, and of whole bricks here."""


def masonry() -> dict[str, Any]:
    """The tables of the timber tradition, what stands up made of brick and what is matted of flags."""
    uses = dict(tables("timber")["use"])
    uses |= {use: [uses[use][0], "hearth", "whole"] for use in PIERS}
    return {**tables("timber"), "use": uses | {"mat": ["mats", "flag", "whole"]}}


def raise_walls(elements: Sequence[Element], _: Tradition) -> Iterator[Part]:
    """Brick from foot to head, but for the way, and an arch over what is open: through the whole thickness
    where a wall bears, on edge where it parts rooms."""
    for wall in of(Wall, elements):
        form = f"infill {wall.axis}" if wall.inner and not wall.bears else "whole"
        if wall.boundary == "open":
            yield from _brick(wall.cells, wall.z1 - (not wall.lofty), wall.z1, "whole", wall.z1 - 1)
            continue
        carries = wall.boundary != "garden" and wall.top < wall.z1
        head = (wall.z1 - 1,) if carries else ()
        for side in wall.cells.less(wall.way):
            yield from _brick(side, wall.z0, wall.z1, form, *head)
        if wall.way is not None:
            yield from _brick(wall.way, wall.z0, wall.floor, "whole")
            yield from _brick(wall.way, wall.top, wall.z1, form, wall.top, wall.z1 - 1)


def _brick(cells: Rect, low: int, high: int, form: str, *arches: int) -> Iterator[Part]:
    """Bricks in each layer; arches and the head of a wall are whole, and carry the house."""
    for z in range(low, high):
        stage, laid = ("frame", "whole") if z in arches else ("walls", form)
        yield Part(stage, "hearth", laid, cells.up(z, z + 1))


def hang_leaves(elements: Sequence[Element], _: Tradition) -> Iterator[Part]:
    """A leaf or a pane in every way but a bare passage."""
    for wall in of(Wall, elements):
        if wall.way is not None and wall.opening in LEAVES:
            stage, piece = (
                ("walls", "leaf near") if wall.opening == "window" else ("screens", "door leaf")
            )
            box = wall.way.up(wall.floor, wall.top)
            yield Part(stage, LEAVES[wall.opening], f"{piece} {wall.axis}", box)


BRICK: tuple[Trade, ...] = (set_members, raise_walls, hang_leaves, set_fittings)
