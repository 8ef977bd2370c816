"""Colonnades: columns along the outer row of a deep veranda, what spans from one to the next, and arches.

They carry the galleries over it and the eaves above; its inner row stays free to walk on.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

from genhouse.core.axes import ENDS, Axis, Side, cell_at
from genhouse.core.box import Box
from genhouse.model.elements import Beam, Member, Support
from genhouse.model.room import Room
from genhouse.stages._verandas import outer_rows
from genhouse.stages.galleries import guarded, walks
from genhouse.stages.roof import Roof
from genhouse.stages.roofs.slopes import NONE, by_cell
from genhouse.stages.site import Site
from genhouse.traditions.courts import Arcade
from genhouse.traditions.tradition import Tradition

Cell = tuple[int, int]
Names = tuple[str, str]
SPANNING: tuple[Names, Names] = (
    ("arcade beam", "arcade springer"),
    ("eaves beam", "eaves springer"),
)
"""Uses of what spans from column to column, and of what springs from one: under a floor, under a roof."""
ARCH = 2
"""Layers from what is carried down to the springing of an arch."""


def columns(site: Site, tradition: Tradition) -> frozenset[Cell]:
    """Where columns stand round the courts of a house."""
    rule = tradition.arcade
    return (
        frozenset(c for row in outer_rows(site) for c in _standing(*row, rule))
        if rule
        else frozenset()
    )


def colonnades(
    site: Site, roof: Roof, rooms: Sequence[Room], tradition: Tradition
) -> Iterator[Member]:
    """Columns up to the highest that they carry; beams under each floor and roof over them, with arches."""
    rule = tradition.arcade
    if rule is None:
        return
    covers, standing = Covers(roof, rooms), columns(site, tradition)
    railed = {(x, y, z - low) for x, y, z in guarded(site, rooms) for low in (0, 1)}
    for cell in sorted(standing):
        foot = tradition.storeys[0].slab - site.fall(*cell)
        broad = {z for x, y, z in railed if (x, y) == cell}
        yield from _column(cell, foot, covers.over(*cell), broad)
    for axis, across, low, high in outer_rows(site):
        for n in range(low, high + 1):
            cell = cell_at(axis, n, across)
            beside = [cell_at(axis, n + step, across) in standing for step in (-1, 1)]
            for z, roofed in covers.over(*cell) if cell not in standing else ():
                yield from _spanning((*cell, z), axis, beside, SPANNING[roofed], rule)


def _standing(axis: Axis, across: int, low: int, high: int, rule: Arcade) -> Iterator[Cell]:
    for n in places(high - low, rule.gap):
        yield cell_at(axis, low + n, across)


def places(length: int, gap: int) -> tuple[int, ...]:
    """Where columns stand along a row, both ends among them: as evenly as may be, alike from both ends,
    and an odd number of bays where that leaves each a way through.

    >>> places(7, 3), places(8, 3), places(10, 3)
    ((0, 2, 5, 7), (0, 3, 5, 8), (0, 3, 7, 10))
    """
    bays = -(-length // (gap + 1))
    bays += bays % 2 == 0 and length >= 2 * (bays + 1)
    low = [(length * n + bays // 2) // bays for n in range(bays // 2 + 1)]
    return tuple(sorted({*low, *(length - n for n in low)}))


class Covers:
    """What lies over the cells of a veranda: galleries and terraces, then the roof."""

    def __init__(self, roof: Roof, rooms: Sequence[Room]) -> None:
        self.under = by_cell(roof.under)
        self.walks = walks(rooms)

    def over(self, x: int, y: int) -> tuple[tuple[int, bool], ...]:
        """The layer of each above a cell, lowest first, and whether it is the roof."""
        floors = sorted(room.floor - 1 for room in self.walks if room.has(x, y))
        under = int(self.under[x, y])
        roof = [] if under == NONE else [(under // 2, True)]
        return (*((z, False) for z in floors), *roof)


def _column(
    cell: Cell, foot: int, covers: Sequence[tuple[int, bool]], broad: Collection[int]
) -> Iterator[Member]:
    """Base, shaft and capitals of a column, up to the last that it carries.  broad: layers in which it
    bars a way, as the balustrade does that ends at it."""
    x, y = cell
    tops = [z for z, _ in covers]
    ends = (z + (not roofed) for z, roofed in covers)
    last = max((foot + 1, *ends, *(z + 1 for z in broad)))
    for z in range(foot, last):
        walked, borne = z in (foot, *tops), z + ARCH in tops
        use = "column foot" if walked else "capital" if borne else "column"
        if z - 1 in (foot, *tops) and not borne:
            use = "column base"
        if z in broad:
            use = "column foot"
        yield Support(use=use, box=Box.cell(x, y, z))


def _spanning(
    cell: tuple[int, int, int], axis: Axis, beside: Sequence[bool], uses: Names, rule: Arcade
) -> Iterator[Member]:
    """The beam under a floor or a roof, and the arch below it: it springs from a column beside it."""
    x, y, z = cell
    yield Beam(use=uses[0], box=Box.cell(x, y, z - 1), side=axis)
    if rule.arched:
        low, high = ENDS[axis]
        form: Side | None = low if beside[0] else high if beside[1] else None
        both = beside[0] and beside[1]
        if form and not both:
            yield Beam(use=uses[1], box=Box.cell(x, y, z - ARCH), side=form)
