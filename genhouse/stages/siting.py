"""Siting: the plot, its gate side, and the wings that are set out on it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace as with_
from itertools import islice, pairwise, product

from msgspec.structs import replace

from genhouse.core.box import Rect
from genhouse.core.draw import Draw
from genhouse.core.errors import InfeasibleError
from genhouse.core.region import Region
from genhouse.model.brief import Brief
from genhouse.stages import _bands
from genhouse.stages._bands import (
    Bands,
    courts_along,
    deep_bands,
    walls_along,
    wide_bands,
    wings_along,
)
from genhouse.stages._storeys import eaves, with_storeys
from genhouse.stages.arrangements.named import ARRANGEMENTS, arranged, houses
from genhouse.stages.plots import bare_site, free_sides, plots
from genhouse.stages.site import DRY, Site, line_along, within
from genhouse.stages.terraces import terraced
from genhouse.traditions.courts import Atrium
from genhouse.traditions.sense import of_arrangement
from genhouse.traditions.tradition import Tradition

GARDEN = 40
"""Cells of the smallest garden, where a plot has room for it: more than most stair halls."""
HOUSES = 8
"""Rectangles that are tried for the ring of an arrangement before one fills the lot."""
FEW, NAMES, SEEN, LIKED = 3, 6, 9, 2
"""Arrangements that are drawn until one finds a place, and where the lot is no rectangle or no ring is
drawn; sites of which one is chosen on the former, or as many of those whose wings stand in several of its
parts."""
LEAST_GARDEN = 3
"""Cells across the smallest garden inside deep verandas."""


def plan_site(brief: Brief, tradition: Tradition, draw: Draw) -> Site:
    """Choose a plot and the wings on it.  Raises InfeasibleError where no wings fit as asked."""
    site = with_gardens(_best(brief, tradition, draw), tradition)
    site = terraced(site, brief.ground, site.courts[0] if tradition.atrium else None)
    working = brief.service or (
        brief.service is None and draw.chance(*tradition.plan.service, "service")
    )
    return replace(
        site,
        wings=with_storeys(site.wings, site.courts, brief, tradition, draw.at("storeys")),
        dry=max(DRY, tradition.roof.outside),
        service=site.courts[-1] if working and len(site.courts) > 1 else None,
    )


def with_gardens(site: Site, tradition: Tradition) -> Site:
    """The same, with verandas as deep as is usual on two sides of a court that has room for it, along whole
    ranges: past the ends of several there is no roof for more than a step."""
    walk = tradition.bays.walk
    if walk == 1 and tradition.atrium is None:
        return site
    gardens = []
    for n, court in enumerate(site.courts):
        if tradition.atrium is not None and n == 0:
            gardens.append(_under_sky(court, tradition.atrium))
            continue
        room = {
            "west": court.width,
            "east": court.width,
            "south": court.depth,
            "north": court.depth,
        }
        gardens.append(
            within(
                court,
                {
                    side: walk
                    if room[side] >= 2 * walk + LEAST_GARDEN
                    and wing.rect.holds(line_along(court, side))
                    else 1
                    for side, wing in site.round(court).items()
                },
            )
        )
    return replace(site, gardens=tuple(gardens))


def _under_sky(court: Rect, atrium: Atrium) -> Rect:
    """What of a court the roofs about it leave open."""
    wide, deep = (atrium.open_of(n) for n in (court.width, court.depth))
    x, y = court.x0 + (court.width - wide) // 2, court.y0 + (court.depth - deep) // 2
    return Rect(x, y, x + wide, y + deep)


def _best(brief: Brief, tradition: Tradition, draw: Draw) -> Site:
    """The first site whose court lies open to the gate's side of the plot, or the one that does most; on a
    plot that is no rectangle one whose wings stand in several parts of it, and take most ground."""
    found: list[Site] = []
    refusal: InfeasibleError | None = None
    for plain, some in product(plots(brief, tradition.plan, draw), (_arranged, _rings)):
        lot = _lot(plain, tradition)
        here: list[Site] = []
        try:
            for site in some(plain, lot, brief, tradition, draw):
                (found if site.seclusion(site.approach) else here).append(site)
                if here and (
                    lot.whole or len(here) == SEEN or sum(_spreads(n, lot) for n in here) == LIKED
                ):
                    break
        except InfeasibleError as error:
            refusal = refusal or error
        if here:
            return max(here, key=lambda site: (_spreads(site, lot), _taken(site)))
    if not found:
        raise refusal or InfeasibleError("site: no house finds a place on this plot", stage="site")
    return min(found, key=lambda site: site.seclusion(site.approach))


def _lot(site: Site, tradition: Tradition) -> Region:
    """Where walls may stand: at a margin from the edges of the plot, or on those to a neighbour."""
    return site.land.shrunk(tradition.bays.margin, but=site.party)


def _spreads(site: Site, lot: Region) -> bool:
    """Whether no rectangle within the lot holds all wings."""
    return not any(all(part.holds(wing.rect) for wing in site.wings) for part in lot.parts)


def _taken(site: Site) -> int:
    return sum(rect.area for rect in site.built)


def _arranged(
    plain: Site, lot: Region, brief: Brief, tradition: Tradition, draw: Draw
) -> Iterator[Site]:
    """The wings and courts of the arrangement that a brief asks for, or those that the seed likes."""
    if brief.arrangement is None:
        for name in _names(lot, brief, tradition, draw):
            yield from _placed(name, plain, lot, brief, tradition, draw, HOUSES)
        return
    none = True
    for site in _placed(brief.arrangement, plain, lot, brief, tradition, draw):
        none = False
        yield site
    if none:
        wide, deep = plain.plot
        raise InfeasibleError(
            f"arrangement: no {brief.arrangement} finds a place on {wide} x {deep} cells",
            stage="site",
        )


def _rings(
    plain: Site, lot: Region, brief: Brief, tradition: Tradition, draw: Draw
) -> Iterator[Site]:
    """Rings that fill the lot, or rectangles within it: where no arrangement is asked for."""
    refusal: InfeasibleError | None = None
    for house in lot.parts if brief.arrangement is None else ():
        try:
            yield _ring(plain, house, brief, tradition, draw)
        except InfeasibleError as error:
            refusal = refusal or error
    if refusal:
        raise refusal


def _names(lot: Region, brief: Brief, tradition: Tradition, draw: Draw) -> Iterator[str]:
    """Arrangements as the seed draws them, none that a brief speaks against; where the lot is no rectangle,
    those that go on past a ring."""
    asked = with_(brief, storeys=brief.storeys or 2)
    weights = {
        name: weight
        for name, weight in tradition.plan.arrangements
        if weight and not any(of_arrangement(with_(asked, arrangement=name)))
    }
    few = NAMES if not lot.whole else FEW if "ring" in weights else len(weights)
    for n in range(min(len(weights), few)):
        name = draw.choice(list(weights), f"arrangement {n}", list(weights.values()))
        del weights[name]
        if lot.whole or ARRANGEMENTS[name].steps:
            yield name


def _placed(
    name: str,
    plain: Site,
    lot: Region,
    brief: Brief,
    tradition: Tradition,
    draw: Draw,
    most: int | None = None,
) -> Iterator[Site]:
    """The wings and courts of an arrangement.  most: rectangles for its ring that are tried; all, and more
    than once, where it has to be this one.

    Raises InfeasibleError where there is no ring as a brief asks.
    """
    several = with_(brief, courts=brief.courts or ARRANGEMENTS[name].courts)
    refusal, none = None, True
    rects = houses(name, lot, draw.at(name), again=most is None)
    for n, house in enumerate(islice(rects, most)):
        here = draw.at(name, n) if n else draw
        least = 0 if house in lot.parts else GARDEN
        try:
            ring = _ring(plain, house, several, tradition, here, name, least)
        except InfeasibleError as error:
            refusal = refusal or error
            continue
        site = arranged(name, ring, lot, tradition.bays, here)
        if site is not None:
            none = False
            yield replace(site, arrangement=name)
    if none and refusal and name == "ring":
        raise refusal


def _ring(
    plain: Site,
    house: Rect,
    brief: Brief,
    tradition: Tradition,
    draw: Draw,
    name: str = "ring",
    least: int = 0,
) -> Site:
    """Wings round courts that fill a rectangle.  name: of the arrangement.  least: cells of its largest
    garden."""
    deep, wide = _layout(plain, house, brief, tradition, draw, name)
    if _garden(deep, wide) < least:
        raise InfeasibleError("site: the court would be a well", stage="site")
    return replace(
        plain,
        wings=tuple(wings_along(house, wide, deep)),
        courts=tuple(courts_along(house, wide, deep)),
        walls=tuple(walls_along(house, wide, deep)),
    )


def conceivable(brief: Brief, tradition: Tradition) -> bool:
    """Whether the wings that a brief speaks of find a place: false only where no seed could find one."""
    if brief.land is None or isinstance(brief.outline, str):
        return _bands.conceivable(brief, tradition)
    sides = free_sides(brief) if brief.gate is None else (brief.gate,)
    grounds = (bare_site(brief.land, side, brief) for side in sides)
    lots = (part for site in grounds for part in _lot(site, tradition).parts)
    sizes = dict.fromkeys((part.width, part.depth) for part in lots)
    return any(
        any(wide_bands(width - 1, [b for b, _ in bands], brief, tradition).values())
        for width, depth in sizes
        for bands in [deep_bands(depth - 1, brief, tradition)]
    )


def _layout(
    plain: Site, house: Rect, brief: Brief, tradition: Tradition, draw: Draw, name: str
) -> tuple[Bands, Bands]:
    """Front to rear, then side to side, so that a stair fits on one axis or the other."""
    width = house.width - 1
    bands = list(deep_bands(house.depth - 1, brief, tradition))
    wide = wide_bands(width, [b for b, _ in bands], brief, tradition)
    if (fit := ARRANGEMENTS[name].fit_for) is not None:
        wide = {
            b: [w for w in some if all(fit(w[0].courts[0], n, tradition.bays) for n in b.courts)]
            for b, some in wide.items()
        }
    deep = [(b, weight) for b, weight in bands if wide[b]]
    if not deep:
        wide_plot, deep_plot = plain.plot
        raise InfeasibleError(
            f"site: no wings round a court on {wide_plot} x {deep_plot} cells are what the brief asks for",
            stage="site",
        )
    narrow = eaves(tradition.heights, 1)[0]
    pleasant = {b: [(w, n) for w, n in wide[b] if _pleasant(b, w, narrow)] for b, _ in deep}
    some = [(b, n) for b, n in deep if pleasant[b]] or deep
    chosen = draw.choice([b for b, _ in some], "front to rear", [n for _, n in some])
    sides = pleasant[chosen] or wide[chosen]
    return chosen, draw.choice([w for w, _ in sides], "side to side", [n for _, n in sides])


def _pleasant(deep: Bands, wide: Bands, narrow: int) -> bool:
    """Whether there is a garden, and no court is narrower than wings of one storey on both its sides."""
    across = [wide.courts[0]] if all(wide.spans) else []
    ends = zip(deep.courts, pairwise(deep.spans), strict=True)
    along = [court for court, closed in ends if all(closed)]
    return _garden(deep, wide) >= GARDEN and min([*across, *along], default=narrow + 1) > narrow


def _garden(deep: Bands, wide: Bands) -> int:
    """Cells of the largest garden inside its verandas."""
    across = wide.courts[0] - 1 - sum(map(bool, wide.spans))
    along = max(n - 2 - bool(south) for n, south in zip(deep.courts, deep.spans, strict=False))
    return across * along
