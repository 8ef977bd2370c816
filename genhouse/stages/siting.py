"""Siting: the plot, its gate side, and the wings that are set out on it."""

from __future__ import annotations

from dataclasses import replace
from itertools import islice

from genhouse.core.axes import SIDES, Turn
from genhouse.core.box import Rect
from genhouse.core.draw import Draw
from genhouse.core.errors import InfeasibleError
from genhouse.model.bounds import LARGEST_PLOT, SMALLEST_PLOT
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
from genhouse.stages._storeys import with_storeys
from genhouse.stages.arrangements.named import ARRANGEMENTS, arranged, houses
from genhouse.stages.site import Site
from genhouse.traditions.tradition import Tradition

GARDEN = 40
"""Cells of the smallest garden, where a plot has room for it: more than most stair halls."""
HOUSES = 8
"""Rectangles that are tried for the ring of an arrangement before one fills the lot."""
WORKING = (1, 3)
"""How many of the houses with several courts have a service court unasked."""


def plan_site(brief: Brief, tradition: Tradition, draw: Draw) -> Site:
    """Choose a plot and the wings on it.  Raises InfeasibleError where no wings fit as asked."""
    drawn = draw.choice(SIDES, "gate side", weights=(2, 1, 2, 5))
    side = brief.gate if brief.gate is not None else drawn
    world = brief.plot or _plot(brief, draw)
    quarters = (SIDES.index(side) - SIDES.index("south")) % 4
    plot = (world[1], world[0]) if quarters % 2 else world
    turn = Turn(*plot, quarters, brief.mirror)
    lot = Rect(0, 0, *plot).grown(-tradition.bays.margin)
    plain = Site(plot=plot, turn=turn, gate_side=side, wings=(), courts=())
    site = _arranged(plain, lot, brief, tradition, draw)
    working = brief.service or (brief.service is None and draw.chance(*WORKING, "service"))
    return replace(
        site,
        wings=with_storeys(site.wings, site.courts, brief, draw.at("storeys")),
        service=site.courts[-1] if working and len(site.courts) > 1 else None,
    )


def _arranged(plain: Site, lot: Rect, brief: Brief, tradition: Tradition, draw: Draw) -> Site:
    """The wings and courts of an arrangement; where one that is drawn finds no place, a ring that fills the
    lot."""
    if brief.arrangement is not None:
        site = _placed(brief.arrangement, plain, lot, brief, tradition, draw)
        if site is None:
            wide, deep = plain.plot
            raise InfeasibleError(
                f"arrangement: no {brief.arrangement} finds a place on {wide} x {deep} cells",
                stage="site",
            )
        return site
    weights = {n: a.weight for n, a in ARRANGEMENTS.items() if a.weight}
    name = draw.choice(list(weights), "arrangement", list(weights.values()))
    site = _placed(name, plain, lot, brief, tradition, draw, HOUSES)
    return site or _ring(plain, lot, brief, tradition, draw)


def _placed(
    name: str,
    plain: Site,
    lot: Rect,
    brief: Brief,
    tradition: Tradition,
    draw: Draw,
    most: int | None = None,
) -> Site | None:
    """The wings and courts of an arrangement.  most: rectangles for its ring that are tried.

    Raises InfeasibleError where there is no ring as a brief asks.
    """
    several = replace(brief, courts=brief.courts or ARRANGEMENTS[name].courts)
    for n, house in enumerate(islice(houses(name, lot, draw.at(name)), most)):
        here = draw.at(name, n) if n else draw
        try:
            ring = _ring(
                plain, house, several, tradition, here, least=GARDEN if house != lot else 0
            )
        except InfeasibleError:
            if name == "ring":
                raise
            continue
        site = arranged(name, ring, lot, tradition.bays, here)
        if site is not None:
            return replace(site, arrangement=name)
    return None


def _ring(
    plain: Site, house: Rect, brief: Brief, tradition: Tradition, draw: Draw, least: int = 0
) -> Site:
    """Wings round courts that fill a rectangle.  least: cells of its largest garden."""
    deep, wide = _layout(house, brief, tradition, draw)
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
    if brief.plot is None:
        return _bands.conceivable(brief, tradition)
    sides = SIDES if brief.gate is None else (brief.gate,)
    turned = {SIDES.index(side) % 2 == SIDES.index("south") % 2 for side in sides}
    plots = [brief.plot if straight else brief.plot[::-1] for straight in sorted(turned)]
    houses = [Rect(0, 0, *plot).grown(-tradition.bays.margin) for plot in plots]
    return any(
        wide_bands(house.width - 1, deep, brief, tradition)
        for house in houses
        for deep, _ in deep_bands(house.depth - 1, brief, tradition)
    )


def _plot(brief: Brief, draw: Draw) -> tuple[int, int]:
    """A plot as a client would bring it: mostly 21 to 29 wide and a quarter to a half deeper."""
    if brief.plot_least is not None or brief.plot_most is not None:
        (x0, y0), (x1, y1) = brief.plot_least or SMALLEST_PLOT, brief.plot_most or LARGEST_PLOT
        return draw.between(x0, x1, "plot width"), draw.between(y0, y1, "plot depth")
    width = draw.between(20, 26, "plot width") + draw.below(5, "plot width more")
    return width, min(LARGEST_PLOT[1], width * draw.between(115, 150, "plot depth") // 100)


def _layout(house: Rect, brief: Brief, tradition: Tradition, draw: Draw) -> tuple[Bands, Bands]:
    """Front to rear, then side to side, so that a stair fits on one axis or the other."""
    width = house.width - 1
    bands = list(deep_bands(house.depth - 1, brief, tradition))
    wide = {b: wide_bands(width, b, brief, tradition) for b, _ in bands}
    deep = [(b, weight) for b, weight in bands if wide[b]]
    if not deep:
        margin = 2 * tradition.bays.margin
        raise InfeasibleError(
            f"site: no wings round a court on {house.width + margin} x {house.depth + margin} cells "
            "are what the brief asks for",
            stage="site",
        )
    pleasant = {b: [(w, n) for w, n in wide[b] if _garden(b, w) >= GARDEN] for b, _ in deep}
    some = [(b, n) for b, n in deep if pleasant[b]] or deep
    chosen = draw.choice([b for b, _ in some], "front to rear", [n for _, n in some])
    sides = pleasant[chosen] or wide[chosen]
    return chosen, draw.choice([w for w, _ in sides], "side to side", [n for _, n in sides])


def _garden(deep: Bands, wide: Bands) -> int:
    """Cells of the largest garden inside its verandas."""
    across = wide.courts[0] - 1 - sum(map(bool, wide.spans))
    along = max(n - 2 - bool(south) for n, south in zip(deep.courts, deep.spans, strict=False))
    return across * along
