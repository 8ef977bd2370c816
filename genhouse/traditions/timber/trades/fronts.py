"""Fronts: claddings, what openings wear, bands, and what stands before them, by a tradition's tables."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from genhouse.core.axes import FLANKS
from genhouse.core.box import Rect
from genhouse.model.elements import Element, Jut, Wall, of
from genhouse.model.part import Part
from genhouse.traditions.building import piece
from genhouse.traditions.looks import laid
from genhouse.traditions.tradition import Tradition

Layers = tuple[int, int]
Strips = tuple[tuple[Rect, ...], ...]


def face(wall: Wall, layers: Layers, brick: Rect | None, tradition: Tradition) -> Iterator[Part]:
    """The layers of a wall that is seen from outside, and the band over its beam."""
    front, (low, high) = tradition.front, layers
    clad, look = front.row("claddings", wall.clad), front.look(wall.look)
    for z, row in enumerate(look.rows(high - low), low):
        for strip, name in zip(strips(wall), row, strict=True):
            role, form = front.row("pieces", name or clad[z > low or high - low == 1])
            form = "whole" if wall.abuts else laid(form, wall.axis, wall.face)
            for cells in strip:
                for rest in cells.less(brick):
                    yield Part("walls", role, form, rest.up(z, z + 1))
    if brick is not None:
        yield piece(tradition, "hearth back", brick.up(low, high))
    if high < wall.z1 - 1:
        band = "" if wall.abuts else look.band or wall.band
        role, form = front.row("pieces", band or clad[True])
        form = "whole" if wall.abuts else laid(form, wall.axis, wall.face)
        yield Part("walls", role, form, wall.cells.up(high + 1, wall.z1 - 1))


def strips(wall: Wall) -> Strips:
    """The wall beside the posts, what frames its opening, and the opening; of a blank bay the middle, and
    nothing where people go through."""
    a0, b0, a1, b1 = wall.lie
    way = wall.way.lie(wall.axis) if wall.way else Rect(a0 + 1, b0, a1 - 1, b1)
    jambs = Rect(max(way.x0 - 1, a0), b0, min(way.x1 + 1, a1), b1).lie(wall.axis)
    opening = way.lie(wall.axis)
    return wall.cells.less(jambs), jambs.less(opening), () if wall.passable else (opening,)


def set_juts(elements: Sequence[Element], tradition: Tradition) -> Iterator[Part]:
    """What stands before an opening: its foot, what goes on up, its little roof against the beam."""
    for jut in of(Jut, elements):
        axis, side = next((a, side) for a in FLANKS for side in FLANKS[a] if side == jut.side)
        kind, (low, high) = tradition.front.jut(jut.use), (jut.box.z0, jut.box.z1)
        edges = (low, low + 1, high - kind.roofed, high)
        for n, (stage, role, form) in enumerate(kind.pieces):
            box = jut.box.rect.up(edges[n], edges[n + 1])
            yield Part(stage, role, laid(form, axis, side), box)
