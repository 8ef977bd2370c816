"""Site, bays, rooms and roof together: the stages that must agree before anything is built."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from itertools import product

from genhouse.core.draw import Draw
from genhouse.core.errors import InfeasibleError
from genhouse.generate.draws import Draws
from genhouse.model.brief import Brief, Recipe, RoofWish
from genhouse.stages.bays import Bays, plan_bays
from genhouse.stages.roof import Roof, plan_roof
from genhouse.stages.rooms import Rooms, plan_rooms
from genhouse.stages.site import Site, plan_site
from genhouse.traditions.households import for_household, programme_of, superfluous
from genhouse.traditions.loader import load_tradition
from genhouse.traditions.tradition import Tradition

LAYOUTS = 4
"""Sites that are tried on one plot until one can seat a client's programme."""
Spend = Callable[[int], object]
"""Told of each layout that is tried, what it costs, in cells of plot; may raise an error to stop."""


def free(_: int) -> None:
    """Whatever is tried, it costs nothing."""


LARGE = 1000
"""Cells of a plot on which a layout costs twice as much for each cell as on the smallest."""
ROOFS = 2
"""What it costs to try a roof, where trying a layout costs one."""
SEEDED = ("bays", "rooms", "roof")
"""Stages that can be given a seed of their own and must still agree."""
LARGER = ((30, 40), (37, 50), (45, 61))
"""Plots that are tried after the seed's own, where a client names none."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """Four plans that agree: with each other, and with the brief."""

    site: Site
    bays: Bays
    rooms: Rooms
    roof: Roof


def lay_out(draws: Draws, tradition: Tradition) -> Layout:
    """The first layout that seats the programme under the roof that is asked for.

    The site is chosen by what the house's own seed can build on it, so that another seed for the bays,
    the rooms or the roof leaves the site alone; where such a seed finds no plan, the house's own stands
    in.  Raises InfeasibleError.
    """
    brief, own = draws.recipe.brief, tuple(map(draws.own, SEEDED))
    site, own_bays, own_rooms, own_roof = _settled(draws, tradition)
    for drawn in product(*(dict.fromkeys((draws.of(s), draws.own(s))) for s in SEEDED)):
        bays, rooms, roof = own_bays, own_rooms, own_roof
        try:
            if drawn[:2] != own[:2]:
                bays, rooms = _seated(site, tradition, brief, *drawn[:2])
            if roof is None or drawn != own:
                roof = plan_roof(site, bays, rooms, tradition, brief.roof, drawn[2])
        except InfeasibleError:
            continue
        return Layout(site=site, bays=bays, rooms=rooms, roof=roof)
    raise AssertionError("what the house's own seed has settled can be laid out")


def _seated(
    site: Site, tradition: Tradition, brief: Brief, for_bays: Draw, for_rooms: Draw
) -> tuple[Bays, Rooms]:
    bays = plan_bays(site, tradition, for_bays)
    wishes = programme_of(brief, tradition)
    rooms = plan_rooms(site, bays, tradition, wishes, for_rooms, gallery=brief.gallery)
    if words := superfluous([room.kind for room in rooms.rooms], brief, tradition):
        raise InfeasibleError(words, stage="rooms")
    return bays, rooms


def tradition_for(brief: Brief) -> Tradition:
    """The way of building that a brief names, for its storeys and its household."""
    plain = load_tradition(brief.tradition).with_storeys(brief.storeys)
    return for_household(plain, brief)


Settled = tuple[Site, Bays, Rooms, Roof | None]
"""Plans of a house's own seed; the roof where the brief asks something of it, and so could refuse."""


def _settled(draws: Draws, tradition: Tradition) -> Settled:
    """The first layout in which nothing is amiss, or else the one with least of it."""
    best: Settled | None = None
    for found in _layouts(draws, tradition):
        if best is None or found[2].amiss < best[2].amiss:
            best = found
        if not best[2].amiss:
            break
    if best is None:
        raise InfeasibleError("no layout was tried", stage="site")
    return best


def _layouts(draws: Draws, tradition: Tradition, spend: Spend = free) -> Iterator[Settled]:
    """Sites that can be built on with the house's own seed for everything after them.

    Raises InfeasibleError where there is none.
    """
    refusal: InfeasibleError | None = None
    found = 0
    draw, for_bays, for_rooms, for_roof = draws.of("site"), *map(draws.own, SEEDED)
    for n, brief in _tries(draws.recipe.brief):
        try:
            site = plan_site(brief, tradition, draw.at(n) if n else draw)
            cells = site.plot[0] * site.plot[1]
            cost = cells + cells * cells // LARGE
            spend(cost)
            bays, rooms = _seated(site, tradition, brief, for_bays, for_rooms)
            roof = None
            if brief.roof != RoofWish():
                spend(ROOFS * cost)
                roof = plan_roof(site, bays, rooms, tradition, brief.roof, for_roof)
        except InfeasibleError as error:
            refusal = refusal or error
            continue
        found += 1
        yield site, bays, rooms, roof
    if not found and refusal is not None:
        raise refusal


def _tries(brief: Brief) -> Iterator[tuple[int, Brief]]:
    """The brief once for each site to try, with a number that tells sites apart.

    Where it leaves all to the seed there is one site; if that finds no room above for its stair, it
    keeps all its wings as high as each other.
    """
    yield 0, brief
    if brief.low is None:
        yield 0, replace(brief, low=())
        yield 1, replace(brief, low=())
    asked = (brief.rooms, brief.closed, brief.courts, brief.gallery, brief.service, brief.low)
    if any(asked) or brief.people or brief.trade or brief.roof != RoofWish():
        yield from ((n, brief) for n in range(1, LAYOUTS))
        if brief.plot is None and brief.plot_least is None and brief.plot_most is None:
            more = (replace(brief, plot=plot) for plot in LARGER for _ in range(2))
            yield from enumerate(more, LAYOUTS)


def works(recipe: Recipe, spend: Spend = free) -> bool:
    """Whether a layout is found that answers a recipe's brief."""
    tradition = tradition_for(recipe.brief)
    try:
        return any(True for _ in _layouts(Draws(recipe), tradition, spend))
    except InfeasibleError:
        return False
