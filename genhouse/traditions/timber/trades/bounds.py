"""Bounds: what closes the yards of a plot, by the tradition's table, and the small gates in it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from genhouse.core.axes import FLANKS, cell_at
from genhouse.core.box import Box
from genhouse.model.elements import Element, Wall, of
from genhouse.model.part import Part
from genhouse.traditions.building import piece
from genhouse.traditions.looks import laid
from genhouse.traditions.tradition import Tradition


def bound_yards(elements: Sequence[Element], tradition: Tradition) -> Iterator[Part]:
    """Runs, their corners and posts, and in each gate a leaf between two posts."""
    walls = [w for w in of(Wall, elements) if w.boundary == "garden" and w.look]
    gates = [w for w in walls if w.opening == "gate"]
    cells = {c for w in of(Wall, elements) if w.boundary == "garden" for c in w.cells.cells()}
    jambs = {c for gate in gates for c in gate.ends}
    for gate in gates:
        leaf = gate.cells.up(gate.floor, gate.top)
        yield piece(tradition, "yard gate", leaf, gate.axis)
    for wall in walls:
        if wall.opening != "gate":
            yield from _run(wall, cells, jambs, tradition)


def _run(
    wall: Wall,
    cells: set[tuple[int, int]],
    jambs: set[tuple[int, int]],
    tradition: Tradition,
) -> Iterator[Part]:
    bound = tradition.bound(wall.look)
    a0, b, a1, _ = wall.lie
    for a in range(a0, a1):
        x, y = cell = cell_at(wall.axis, a, b)
        if cell in jambs:
            post = Box(x, y, wall.z0, x + 1, y + 1, wall.z0 + 2)
            yield piece(tradition, "yard gate post", post)
            continue
        ends = [cell_at(wall.axis, a + n, b) in cells for n in (-1, 1)]
        sides = [cell_at(wall.axis, a, b + n) in cells for n in (-1, 1)]
        apart = bound.each and a0 < a < a1 - 1 and (a - a0) % bound.each == 0
        pieces = bound.corner if any(sides) or not any(ends) or apart else bound.run
        for z, (role, form) in enumerate(pieces, wall.z0):
            lying = laid(form, wall.axis, FLANKS[wall.axis][0])
            yield Part("court", role, lying, Box(x, y, z, x + 1, y + 1, z + 1))
