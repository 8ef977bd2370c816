"""Ground: made earth, the gravel strip round the house, and a covered drain for each court."""

from __future__ import annotations

from genhouse.core.box import Rect, runs
from genhouse.model.part import Part
from genhouse.stages._drains import drains
from genhouse.stages.site import Site
from genhouse.traditions.loader import Tradition


def site_parts(site: Site, tradition: Tradition) -> tuple[Part, ...]:
    """The made ground: packed earth below, earth under the house, a gravel strip that takes the drip,
    a culvert for the water of each court."""
    top = tradition.storeys[0].slab - 1
    width, depth = site.plot
    whole = Rect(0, 0, width, depth)
    house = site.house
    strips = (
        Rect(0, 0, width, house.y0),
        Rect(0, house.y1, width, depth),
        Rect(0, house.y0, house.x0, house.y1),
        Rect(house.x1, house.y0, width, house.y1),
    )
    parts = [Part("site", "ground", "whole", whole.up(0, top))]
    parts += [Part("site", "drip", "whole", strip.up(top, top + 1)) for strip in strips]
    under = [wing.rect for wing in site.wings]
    under += [*site.walls, *(v for court in site.courts for v in site.verandas(court))]
    culverts = tuple(drains(site))
    cells = {c for rect in under for c in rect.cells()} - {
        c for _, r in culverts for c in r.cells()
    }
    for box in runs([(x, y, top) for x, y in cells]):
        parts.append(Part("site", "ground", "whole", box))
    parts += [
        Part("site", "culvert", f"culvert {axis}", r.up(top, top + 1)) for axis, r in culverts
    ]
    return tuple(parts)
