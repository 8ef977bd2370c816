"""Walls: infill below the lower beam, a lattice band between the beams, windows, garden walls."""

from __future__ import annotations

from collections.abc import Iterator

from genhouse.core.axes import Axis
from genhouse.core.box import Rect
from genhouse.model.elements import Wall
from genhouse.model.part import Part
from genhouse.model.room import OUTSIDE
from genhouse.stages.frame import without
from genhouse.stages.rooms import Hearth, Rooms
from genhouse.stages.site import Site
from genhouse.traditions.loader import Tradition

LATTICE: dict[Axis, str] = {"x": "lattice east", "y": "lattice north"}


def walls_parts(site: Site, rooms: Rooms, tradition: Tradition) -> tuple[Part, ...]:
    """Everything that fills the frame and stays where it is."""
    parts: list[Part] = []
    for s in rooms.segments:
        if s.boundary == "open":
            continue
        storey = tradition.storeys[s.level - 1]
        if s.level == 1:
            parts += _lower(s, storey.floor, storey.lintel, rooms.hearth)
            band = s.cells.up(storey.lintel + 1, storey.head)
            parts.append(Part("walls", "lattice", LATTICE[s.axis], band))
        elif s.boundary == "partition":
            for piece in without(s.cells, s.way):
                box = piece.up(storey.floor, storey.head + 1)
                parts.append(Part("walls", "partition", f"infill {s.axis}", box))
        else:
            parts += _upper(s, storey.floor, storey.head)
    parts += _garden_walls(site, rooms, tradition.storeys[0].slab)
    return tuple(parts)


def _lower(s: Wall, floor: int, tie: int, hearth: Hearth) -> Iterator[Part]:
    role = "partition" if s.boundary == "partition" else "infill"
    for piece in without(s.cells, s.way):
        x, y = hearth.back
        brick = Rect(x, y, x + 1, y + 1) if hearth.behind and piece.has(x, y) else None
        for rest in without(piece, brick):
            yield Part("walls", role, f"infill {s.axis}", rest.up(floor, tie))
        if brick is not None:
            yield Part("walls", "hearth", "whole", brick.up(floor, tie))
    if s.opening == "window" and s.way:
        if s.boundary == "outer" and s.low == OUTSIDE and s.axis == "x":
            yield Part("walls", "lattice", LATTICE[s.axis], s.way.up(floor, tie))
        else:
            yield Part("walls", "infill", f"infill {s.axis}", s.way.up(floor, tie - 1))
            yield Part("walls", "window", f"leaf near {s.axis}", s.way.up(tie - 1, tie))


def _upper(s: Wall, floor: int, plate: int) -> Iterator[Part]:
    high = plate + (s.opening == "screens")
    form = "whole" if s.abuts else f"infill {s.axis}"
    for piece in without(s.cells, s.way):
        yield Part("walls", "infill", form, piece.up(floor, high))
    if s.way and s.opening == "window":
        form = f"leaf near {s.axis}" if s.boundary == "court" else LATTICE[s.axis]
        role = "window" if s.boundary == "court" else "lattice"
        yield Part("walls", role, form, s.way.up(floor, plate))


def _garden_walls(site: Site, rooms: Rooms, ground: int) -> Iterator[Part]:
    gate = next((e.way for e in rooms.entrances if e.kind == "front" and e.room == 0), None)
    for wall in site.walls:
        axis: Axis = "x" if wall.width > wall.depth else "y"
        hole = gate.grown(1).meet(wall) if gate is not None and gate.meets(wall) else None
        for piece in without(wall, hole):
            yield Part("walls", "garden-wall", "whole", piece.up(ground, ground + 3))
            yield Part("walls", "wall-cap", f"coping {axis}", piece.up(ground + 3, ground + 4))
        if hole is not None and gate is not None:
            yield from _gate_frame(hole, gate, ground)


def _gate_frame(hole: Rect, gate: Rect, ground: int) -> Iterator[Part]:
    """Two posts and a lintel; the leaves come with the screens, the little roof with the roof."""
    for post in without(hole, gate):
        yield Part("walls", "post", "whole", post.up(ground, ground + 4))
    yield Part("walls", "tie", "whole", gate.up(ground + 3, ground + 4))
