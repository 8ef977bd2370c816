"""Ground: made earth, the gravel strip round the house, and a covered drain for each court."""

from __future__ import annotations

from collections.abc import Iterable

from genhouse.core.box import Rect, runs
from genhouse.model.part import Part
from genhouse.stages._drains import drains
from genhouse.stages.site import Site
from genhouse.traditions.tradition import Tradition


def site_parts(site: Site, tradition: Tradition) -> tuple[Part, ...]:
    """The made ground: packed earth below, earth under the house, a gravel strip that takes the drip,
    a culvert for the water of each court."""
    top = tradition.storeys[0].slab - 1
    width, depth = site.plot
    whole = Rect(0, 0, width, depth)
    parts = [Part("site", "ground", "whole", whole.up(0, top))]
    walls = [*(wing.rect for wing in site.wings), *site.walls]
    built = {c for rect in (*walls, *site.courts) for c in rect.cells()}
    parts += _laid("drip", set(whole.cells()) - built, top)
    culverts = tuple(drains(site))
    under = [*walls, *(v for court in site.courts for v in site.verandas(court))]
    cells = {c for rect in under for c in rect.cells()}
    parts += _laid("ground", cells - {c for _, r in culverts for c in r.cells()}, top)
    parts += [
        Part("site", "culvert", f"culvert {axis}", r.up(top, top + 1)) for axis, r in culverts
    ]
    return tuple(parts)


def _laid(role: str, cells: Iterable[tuple[int, int]], layer: int) -> list[Part]:
    return [Part("site", role, "whole", box) for box in runs([(x, y, layer) for x, y in cells])]
