"""Ground: made earth, the gravel strip round the house, and a covered drain for each court."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator

from genhouse.core.box import Rect, covered, runs
from genhouse.core.region import Cell
from genhouse.model.elements import Slab
from genhouse.stages._drains import drains
from genhouse.stages.grounds.ground import yards
from genhouse.stages.site import Site
from genhouse.stages.terraces import let_down, retained
from genhouse.traditions.tradition import Tradition


def made_ground(
    site: Site, front: Rect, tradition: Tradition, dug: Collection[Cell] = ()
) -> Iterator[Slab]:
    """Packed earth below, earth under the house, a gravel strip that takes the drip, a culvert for the
    water of each court; nothing yet in courts and yards.

    front: the front door, or the gate in a wall.  dug: where nothing is laid under the house or round it.
    """
    top = tradition.storeys[0].slab - 1
    channels = [*dug, *(c for _, way in drains(site) for c in way.cells())]
    if faces := retained(site, top).difference((*c, top - site.fall(*c)) for c in channels):
        yield from laid_up("retaining wall", faces)
    for slab in let_down(_level(site, front, top, dug), site):
        yield from _bared(slab, faces)


def _bared(slab: Slab, faces: Collection[tuple[int, int, int]]) -> Iterator[Slab]:
    """Ground but for the cells that hold it up; a culvert goes through these."""
    if not faces or slab.use == "culvert":
        yield slab
        return
    yield from laid_up(slab.use, set(slab.box.cells()).difference(faces))


def laid_up(use: str, cells: Iterable[tuple[int, int, int]]) -> Iterator[Slab]:
    """Cells in any layers, as slabs."""
    for box in runs(cells):
        yield Slab(use=use, box=box)


def _level(site: Site, front: Rect, top: int, dug: Collection[Cell]) -> Iterator[Slab]:
    """The same as if all of it were level.  top: z of its highest layer."""
    land = site.land.cells()
    whole = (
        site.land.parts
        if site.land.whole
        else [box.rect for box in runs((x, y, 0) for x, y in land)]
    )
    for rect in whole:
        yield Slab(use="ground", box=rect.up(0, top))
    walls = [*(wing.rect for wing in site.wings), *site.walls]
    built = covered(site.built)
    yield from laid("drip", land - built - yards(site, front) - {*dug}, top)
    culverts = tuple(drains(site))
    under = [*walls, *(v for court in site.courts for v in site.verandas(court))]
    bare = covered(under) - covered(r for _, r in culverts) - {*dug}
    yield from laid("ground", bare, top)
    for axis, r in culverts:
        yield Slab(use="culvert", box=r.up(top, top + 1), side=axis)


def laid(use: str, cells: Iterable[tuple[int, int]], layer: int) -> Iterator[Slab]:
    """One layer of cells, as slabs."""
    for box in runs([(x, y, layer) for x, y in cells]):
        yield Slab(use=use, box=box)
