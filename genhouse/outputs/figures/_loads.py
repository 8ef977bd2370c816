"""The way of the load: from every piece of the roof, over beams and posts, to the ground.

A beam bears on whatever stands below it or takes its end; a post or a wall on what is below it; a
piece of roof on what it touches below itself or level with itself, for a slope hands its load down.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property
from itertools import pairwise

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from genhouse.model.design import Design
from genhouse.model.part import Part
from genhouse.outputs.figures._tables import LoadFigures

STAGES = ("site", "frame", "walls", "floors", "roof")
ROUND = tuple(
    (dx, dy, dz)
    for dz in (-1, 0)
    for dx, dy in ((0, 0), (1, 0), (0, 1), (-1, 0), (0, -1))
    if (dx, dy, dz) != (0, 0, 0)
)
ALONG_X, ALONG_Y = ("x", "east", "west"), ("y", "north", "south")
"""Last words of forms that run so."""
GROUND = 0
NONE = -1

Ints = npt.NDArray[np.int32]
Edge = tuple[int, int]


class Loads(Struct, dict=True, frozen=True, kw_only=True, eq=False):
    """parts: the structural parts, numbered from 1.  pieces: how many pieces of roof, numbered after
    them.  owner: int32 [X + 2, Y + 2, Z + 2], the number that holds each cell, a cell of air all
    round.  edges: (what carries, what is carried); 0 is the ground.
    """

    parts: tuple[Part, ...]
    pieces: int
    owner: Ints
    edges: tuple[Edge, ...]

    @cached_property
    def steps(self) -> dict[int, int]:
        """Steps from the ground to all that a way leads to, nearest first."""
        carries: dict[int, list[int]] = {}
        for low, high in self.edges:
            carries.setdefault(low, []).append(high)
        reached, ring = {GROUND: 0}, [GROUND]
        while ring:
            ring = [
                b
                for b in dict.fromkeys(b for a in ring for b in carries.get(a, ()))
                if b not in reached
            ]
            reached |= dict.fromkeys(ring, max(reached.values()) + 1)
        return reached


def loads(design: Design) -> Loads:
    """Build the graph from the parts alone."""
    covering, beams = design.palette.having("covers", "closes"), design.palette.having("spans")
    parts = tuple(p for p in design.parts if p.stage in STAGES)
    owner = np.full((design.plot[0] + 2, design.plot[1] + 2, design.height + 2), NONE, np.int32)
    roof = np.zeros(owner.shape, dtype=bool)
    for n, part in enumerate(parts, 1):
        _cells(owner, part)[:] = n
        _cells(roof, part)[:] = part.role in covering
    pieces = int(np.count_nonzero(roof))
    owner[roof] = len(parts) + 1 + np.arange(pieces)
    edges = [*_roof_edges(owner, roof)]
    for n, part in enumerate(parts, 1):
        if part.stage == "site":
            edges.append((GROUND, n))
        elif part.role in beams:
            edges += [(other, n) for _, other in bearings(part, owner)]
        elif part.role not in covering:
            edges += [(other, n) for other in _held(part, n, owner)]
    return Loads(parts=parts, pieces=pieces, owner=owner, edges=tuple(edges))


def _cells(array: npt.NDArray[np.generic], part: Part, down: int = 0) -> npt.NDArray[np.generic]:
    x0, y0, z0, x1, y1, z1 = part.box
    return array[x0 + 1 : x1 + 1, y0 + 1 : y1 + 1, z0 + 1 - down : z1 + 1 - down]


def _held(part: Part, n: int, owner: Ints) -> set[int]:
    """What carries a post or a wall: what is below; a panel over a doorway, what is beside it."""
    below = set(_cells(owner, part, down=1).ravel().tolist()) - {NONE, n}
    if below:
        return below
    beside = {
        other
        for x, y in (p for d in (-1, 1) for c in part.box.rect.cells() for p in _sides(c, d))
        for other in (int(owner[x + 1, y + 1, part.box.z0 + 1]),)
    }
    return {other for other in beside if other > GROUND and other != n}


def _sides(cell: tuple[int, int], by: int) -> tuple[tuple[int, int], tuple[int, int]]:
    """The cells beside a cell, on one side of it each way."""
    return (cell[0] + by, cell[1]), (cell[0], cell[1] + by)


def _roof_edges(owner: Ints, roof: npt.NDArray[np.bool_]) -> Iterator[Edge]:
    """What each piece of roof touches beside itself, below, and below on each side."""
    at = np.argwhere(roof)
    mine = owner[roof]
    for step in ROUND:
        beside = at + np.array(step)
        other = owner[tuple(beside.T)]
        there = (other != NONE) & (other != mine)
        yield from zip(other[there].tolist(), mine[there].tolist(), strict=True)


def bearings(part: Part, owner: Ints) -> list[Edge]:
    """(place along a beam, what carries it there); -1 and its length stand for its two ends."""
    x0, y0, z, x1, y1, _ = part.box
    found: list[Edge] = []
    for axis in _lies(part):
        line = owner[x0 : x1 + 2, y0 + 1] if axis == "x" else owner[x0 + 1, y0 : y1 + 2]
        me, below = line[1, z + 1], line[1:-1, z].tolist()
        ends = ((-1, int(line[0, z + 1])), (len(below), int(line[-1, z + 1])))
        found += [edge for edge in (*enumerate(below), *ends) if edge[1] not in (NONE, me)]
    return found


def _lies(part: Part) -> str:
    """The way a beam runs; one of a single cell as its form does, or both ways."""
    wide, deep = part.box.x1 - part.box.x0, part.box.y1 - part.box.y0
    if wide != deep:
        return "x" if wide > deep else "y"
    told = part.form.split()[-1]
    return "y" if told in ALONG_Y else "x" if told in ALONG_X else "xy"


def clear_span(part: Part, found: Loads) -> int:
    """The longest stretch of a beam between two bearings from which a way leads down, in cells."""
    length = max(part.box.x1 - part.box.x0, part.box.y1 - part.box.y0)
    places = sorted({n for n, other in bearings(part, found.owner) if other in found.steps})
    if not places:
        return length
    free = (places[0], length - 1 - places[-1])
    return max(*free, *(b - a - 1 for a, b in pairwise(places)), 0)


def load_figures(design: Design) -> LoadFigures:
    """How far the loads go, and whether all arrive."""
    found = loads(design)
    spans, stands = design.palette.having("spans"), design.palette.having("stands")
    beams = [p for p in found.parts if p.role in spans]
    roof = [n for n in found.steps if n > len(found.parts)]
    return LoadFigures(
        beams=len(beams),
        posts=sum(p.role in stands for p in found.parts),
        longest_span=max((clear_span(p, found) for p in beams), default=0),
        pieces=found.pieces,
        carried=len(roof),
        steps=max((found.steps[n] for n in roof), default=0),
    )
