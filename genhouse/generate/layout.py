"""Site, bays and rooms together: the three stages that must agree before anything is built."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from genhouse.core.draw import Draw
from genhouse.core.errors import InfeasibleError
from genhouse.model.brief import Brief, Recipe
from genhouse.stages.bays import Bays, plan_bays
from genhouse.stages.rooms import Rooms, plan_rooms
from genhouse.stages.site import Site, plan_site
from genhouse.traditions.loader import Tradition, load_tradition

LAYOUTS = 4
"""Sites that are tried on one plot until one can seat a client's programme."""
LARGER = ((30, 40), (37, 50), (45, 61))
"""Plots that are tried after the seed's own, where a client names none."""


def lay_out(recipe: Recipe, tradition: Tradition) -> tuple[Site, Bays, Rooms]:
    """The first layout that seats the programme.

    The site is chosen by what the house's own seed can seat on it, so that another seed for the bays
    or the rooms leaves the site alone; where such a seed finds no plan, the house's own stands in.
    Raises InfeasibleError.
    """
    wishes, own = recipe.brief.rooms, recipe.seed

    def bays_of(site: Site, seed: int) -> Bays:
        return plan_bays(site, Draw(seed).at("bays"))

    def rooms_of(site: Site, bays: Bays, seed: int) -> Rooms:
        here = Draw(seed).at("rooms")
        return plan_rooms(site, bays, tradition, wishes, here, gallery=recipe.brief.gallery)

    site, bays, rooms = _settled(recipe, tradition)
    for bays_seed, rooms_seed in (
        (recipe.seed_of("bays"), recipe.seed_of("rooms")),
        (recipe.seed_of("bays"), own),
    ):
        if (bays_seed, rooms_seed) != (own, own):
            try:
                tried = bays_of(site, bays_seed)
                return site, tried, rooms_of(site, tried, rooms_seed)
            except InfeasibleError:
                continue
    return site, bays, rooms


def _settled(recipe: Recipe, tradition: Tradition) -> tuple[Site, Bays, Rooms]:
    """A site that can be built on with the house's own seed for everything after it."""
    brief = recipe.brief
    refusal: InfeasibleError | None = None
    draw = Draw(recipe.seed_of("site")).at("site")
    for n, asked in _tries(brief):
        try:
            site = plan_site(asked, tradition, draw.at(n) if n else draw)
            bays = plan_bays(site, Draw(recipe.seed).at("bays"))
            here = Draw(recipe.seed).at("rooms")
            rooms = plan_rooms(site, bays, tradition, brief.rooms, here, gallery=brief.gallery)
            return site, bays, rooms
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
    if any(asked) or brief.roof.tiered:
        yield from ((n, brief) for n in range(1, LAYOUTS))
        if brief.plot is None and brief.plot_least is None and brief.plot_most is None:
            more = (replace(brief, plot=plot) for plot in LARGER for _ in range(2))
            yield from enumerate(more, LAYOUTS)


def works(brief: Brief, seed: int) -> bool:
    """Whether this seed finds a layout that answers a brief."""
    try:
        _settled(
            Recipe(seed=seed, brief=brief),
            load_tradition(brief.tradition).with_storeys(brief.storeys),
        )
    except InfeasibleError:
        return False
    return True
