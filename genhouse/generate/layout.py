"""Site, bays, rooms and roof together: the stages that must agree before anything is built."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from itertools import product

from genhouse.core.draw import Draw
from genhouse.core.errors import InfeasibleError
from genhouse.model.brief import Brief, Recipe, RoofWish
from genhouse.stages.bays import Bays, plan_bays
from genhouse.stages.roof import Roof, plan_roof
from genhouse.stages.rooms import Rooms, plan_rooms
from genhouse.stages.site import Site, plan_site
from genhouse.traditions.loader import Tradition, load_tradition

LAYOUTS = 4
"""Sites that are tried on one plot until one can seat a client's programme."""
Spend = Callable[[int], object]
"""Told of each layout that is tried, by the cells of its plot; may raise an error to stop."""


def free(_: int) -> None:
    """Whatever is tried, it costs nothing."""


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


def lay_out(recipe: Recipe, tradition: Tradition) -> Layout:
    """The first layout that seats the programme under the roof that is asked for.

    The site is chosen by what the house's own seed can build on it, so that another seed for the bays,
    the rooms or the roof leaves the site alone; where such a seed finds no plan, the house's own stands
    in.  Raises InfeasibleError.
    """
    own, brief = recipe.seed, recipe.brief
    site, own_bays, own_rooms, own_roof = _settled(recipe, tradition)
    for bays_seed, rooms_seed, roof_seed in product(*(_seeds(recipe, s) for s in SEEDED)):
        bays, rooms, roof = own_bays, own_rooms, own_roof
        try:
            if (bays_seed, rooms_seed) != (own, own):
                bays, rooms = _seated(site, tradition, brief, bays_seed, rooms_seed)
            if roof is None or (bays_seed, rooms_seed, roof_seed) != (own, own, own):
                roof = _roofed(site, bays, rooms, tradition, brief, roof_seed)
        except InfeasibleError:
            continue
        return Layout(site=site, bays=bays, rooms=rooms, roof=roof)
    raise AssertionError("what the house's own seed has settled can be laid out")


def _seeds(recipe: Recipe, stage: str) -> tuple[int, ...]:
    """The seed that a stage is given, and the house's own."""
    return tuple(dict.fromkeys((recipe.seed_of(stage), recipe.seed)))


def _seated(
    site: Site, tradition: Tradition, brief: Brief, bays_seed: int, rooms_seed: int
) -> tuple[Bays, Rooms]:
    bays = plan_bays(site, Draw(bays_seed).at("bays"))
    draw = Draw(rooms_seed).at("rooms")
    return bays, plan_rooms(site, bays, tradition, brief.rooms, draw, gallery=brief.gallery)


def _roofed(
    site: Site, bays: Bays, rooms: Rooms, tradition: Tradition, brief: Brief, seed: int
) -> Roof:
    return plan_roof(site, bays, rooms, tradition, brief.roof, Draw(seed).at("roof"))


def _settled(
    recipe: Recipe, tradition: Tradition, spend: Spend = free
) -> tuple[Site, Bays, Rooms, Roof | None]:
    """A site that can be built on with the house's own seed for everything after it; the roof where
    the brief asks something of it, and so could refuse."""
    own = recipe.seed
    refusal: InfeasibleError | None = None
    draw = Draw(recipe.seed_of("site")).at("site")
    for n, brief in _tries(recipe.brief):
        try:
            site = plan_site(brief, tradition, draw.at(n) if n else draw)
            cells = site.plot[0] * site.plot[1]
            spend(cells)
            bays, rooms = _seated(site, tradition, brief, own, own)
            asked = brief.roof != RoofWish()
            spend(ROOFS * cells * asked)
            roof = _roofed(site, bays, rooms, tradition, brief, own) if asked else None
            return site, bays, rooms, roof
        except InfeasibleError as error:
            refusal = refusal or error
    raise refusal or InfeasibleError("no layout was tried", stage="site")


def _tries(brief: Brief) -> Iterator[tuple[int, Brief]]:
    """The brief once for each site to try, with a number that tells sites apart.

    Where it leaves all to the seed there is one site; if that finds no room above for its stair, it
    keeps all its wings as high as each other.
    """
    yield 0, brief
    if brief.low is None:
        yield 0, replace(brief, low=())
    asked = (brief.rooms, brief.closed, brief.courts, brief.gallery, brief.service, brief.low)
    if any(asked) or brief.roof != RoofWish():
        yield from ((n, brief) for n in range(1, LAYOUTS))
        if brief.plot is None and brief.plot_least is None and brief.plot_most is None:
            more = (replace(brief, plot=plot) for plot in LARGER for _ in range(2))
            yield from enumerate(more, LAYOUTS)


def works(recipe: Recipe, spend: Spend = free) -> bool:
    """Whether a layout is found that answers a recipe's brief."""
    brief = recipe.brief
    try:
        _settled(recipe, load_tradition(brief.tradition).with_storeys(brief.storeys), spend)
    except InfeasibleError:
        return False
    return True
