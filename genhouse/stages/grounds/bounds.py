"""What bounds the yards: straight runs of wall, hedge or fence without a gap, and the gates in them."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

from genhouse.core.axes import CROSS, Axis, cell_at
from genhouse.core.box import Rect, runs
from genhouse.model.elements import Wall
from genhouse.stages.gardens.lot import Cell, joined, reached
from genhouse.stages.grounds.ground import Close
from genhouse.stages.walls import bounding
from genhouse.traditions.tradition import LEAF, Tradition

MAIN = 2
"""Cells of the gate to which a visitor comes."""
Gate = tuple[Rect, Axis]
"""Its way, and the run that it stands in."""
Spot = tuple[Cell, Axis]
"""A cell of the boundary, and the way it runs there."""


def gates(
    close: Close,
    built: Collection[Cell],
    ways: Sequence[Rect],
    gate: Cell,
    barred: Collection[Cell] = (),
    alone: Sequence[Rect] = (),
) -> list[Gate]:
    """One for each stretch of ground that the boundary closes: to where a visitor comes from, else to the
    land behind, near a door of the house; one to each door before which ground is left that hangs
    together with neither; and as many more as it takes to come to every wing that stands alone.

    ways: doors of the house.  gate: where a visitor stands at the edge of the plot.  barred: cells that
    nobody passes, beyond the boundary too.  alone: those of ways that lead to no more than such a wing.
    """
    found: list[Gate] = []
    firm = list(_straight(close, built))
    apart = [pocket for pocket in joined(close.outside.difference(barred)) if gate not in pocket]
    left = {c for pocket in apart for c in pocket}.union(barred)
    for stretch in joined(close.inside):
        spots = _spots(firm, stretch)
        lane = [(cell, axis) for cell, axis in spots if cell[1] == gate[1] and axis == "x"]
        if gate in close.bound and lane:
            found.append(_main(lane, gate))
        else:
            side = [s for s in spots if _beyond(s, stretch) in close.outside]
            side = [s for s in side if _beyond(s, stretch) not in left] or side
            near = _before(ways, stretch)
            goals = [gate] if side or not near else near
            found += _nearest(side or spots, goals)
        for pocket in apart:
            before = _before(ways, pocket)
            if before and not any(pocket & _faces(one) for one in found):
                found += _nearest([s for s in spots if _beyond(s, stretch) in pocket], before)
    if alone:
        found += _to_those_alone(close, firm, ways, gate, barred, alone, found)
    return found


def _to_those_alone(
    close: Close,
    firm: Sequence[Spot],
    ways: Sequence[Rect],
    gate: Cell,
    barred: Collection[Cell],
    alone: Sequence[Rect],
    found: Sequence[Gate],
) -> Iterator[Gate]:
    """One after another, from ground to which one comes to ground to which one does not, until one comes to
    the last of these doors."""
    ground = close.inside | close.outside.difference(barred)
    faced = [(spot, frozenset(_either(spot[0], CROSS[spot[1]]))) for spot in firm]
    spots = [(s, faces) for s, faces in faced if faces <= ground and faces & close.inside]
    passed = {c for way, _ in found for c in way.cells()}
    come = {gate}.union(*(w.grown(1).cells() for w in ways if w not in alone))
    for way in alone:
        goal = ground.intersection(way.grown(1).cells())
        while True:
            free = ground | passed
            come |= reached(come & free, free)
            more = [s for s, faces in spots if len(faces & come) == 1]
            if come & goal or not more:
                break
            (one,) = _nearest(more, [way[:2]])
            passed.update(one[0].cells())
            yield one


def _before(ways: Sequence[Rect], ground: Collection[Cell]) -> list[Cell]:
    """The doors that lead to some ground."""
    return [(w.x0, w.y0) for w in ways if any(c in ground for c in w.grown(1).cells())]


def _faces(gate: Gate) -> set[Cell]:
    """The ground before and behind a gate."""
    way, axis = gate
    return set(_either((way.x0, way.y0), CROSS[axis]))


def _nearest(spots: Sequence[Spot], goals: Sequence[Cell]) -> Iterator[Gate]:
    """A gate of one leaf at the spot, if there is one, that lies nearest to a goal."""
    if spots:
        cell, axis = min(spots, key=lambda s: (min(_far(s[0], g) for g in goals), s))
        yield Rect(*cell, cell[0] + 1, cell[1] + 1), axis


def _main(lane: Sequence[Spot], gate: Cell) -> Gate:
    """Before the entry, as wide as there is room."""
    xs = {cell[0] for cell, _ in lane}
    x = min(xs, key=lambda x: (abs(x - gate[0]), x))
    wide = MAIN if x + 1 in xs and x + 2 in xs else 1
    return Rect(x, gate[1], x + wide, gate[1] + 1), "x"


def _straight(close: Close, built: Collection[Cell]) -> Iterator[Spot]:
    """Cells of the boundary where it runs straight between what is open, and the way it runs."""
    firm = close.bound.union(built)
    axes: tuple[Axis, Axis] = ("x", "y")
    for cell in sorted(close.bound):
        for axis in axes:
            if firm.issuperset(_either(cell, axis)) and firm.isdisjoint(_either(cell, CROSS[axis])):
                yield cell, axis


def _spots(firm: Sequence[Spot], stretch: Collection[Cell]) -> list[Spot]:
    """Those of some spots between some ground and what lies beyond it."""
    return [s for s in firm if sum(c in stretch for c in _either(s[0], CROSS[s[1]])) == 1]


def _beyond(spot: Spot, stretch: Collection[Cell]) -> Cell:
    """The cell on the other side of the boundary."""
    low, high = _either(spot[0], CROSS[spot[1]])
    return high if low in stretch else low


def _either(cell: Cell, axis: Axis) -> tuple[Cell, Cell]:
    """The cells before and behind one along an axis."""
    along, across = cell_at(axis, *cell)
    return cell_at(axis, along - 1, across), cell_at(axis, along + 1, across)


def _far(a: Cell, b: Cell) -> int:
    return abs(a[0] - b[0]) + abs(a[1] - b[1])


def bounds(close: Close, found: Sequence[Gate], kind: str, tradition: Tradition) -> Iterator[Wall]:
    """The boundary as walls, runs along x first; each gate is one of its own."""
    left = set(close.bound)
    for way, axis in found:
        left -= {*way.cells()}
        yield _wall(way, axis, kind, way, tradition)
    rows = [box.rect for box in runs([(x, y, 0) for x, y in left])]
    level = [r for row in rows if row.width > 1 for r in _each(row)]
    yield from (_wall(r, "x", kind, None, tradition) for r in level)
    rest = left - {c for r in level for c in r.cells()}
    for box in runs([(y, x, 0) for x, y in rest]):
        yield from (_wall(r.lie("y"), "y", kind, None, tradition) for r in _each(box.rect))


def _each(rect: Rect) -> Iterator[Rect]:
    return (Rect(rect.x0, y, rect.x1, y + 1) for y in range(rect.y0, rect.y1))


def _wall(cells: Rect, axis: Axis, kind: str, way: Rect | None, tradition: Tradition) -> Wall:
    high = len(tradition.bound(kind).run) if way is None else LEAF
    ground = tradition.storeys[0].slab
    return bounding(cells, axis, ground, high, coping=0, way=way, look=kind)
