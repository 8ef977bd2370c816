"""Site, bays, rooms and roof together: the stages that must agree before anything is built."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache, partial
from itertools import islice, product
from typing import NamedTuple

from genhouse.core.draw import Draw
from genhouse.core.effort import counted
from genhouse.core.errors import InfeasibleError
from genhouse.generate.draws import Draws
from genhouse.model.brief import Brief, Recipe, RoofWish
from genhouse.stages._storeys import is_well
from genhouse.stages.bays import Bays, plan_bays
from genhouse.stages.roof import Roof, plan_roof
from genhouse.stages.rooms import Rooms, plan_rooms
from genhouse.stages.site import Site
from genhouse.stages.siting import conceivable, plan_site
from genhouse.traditions.households import for_household, programme_of, superfluous
from genhouse.traditions.loader import load_tradition
from genhouse.traditions.sense import storeys_meant
from genhouse.traditions.shelf import tables
from genhouse.traditions.tradition import Tradition

LAYOUTS = 4
"""Sites that are tried on one plot until one can seat a client's programme."""
Spend = Callable[[int, Hashable], object]
"""Told of all that is tried what it costs, in cells of plot, and what it is; may raise an error to stop."""


def free(_cost: int, _what: Hashable) -> None:
    """Whatever is tried, it costs nothing."""


FEW = 3
"""Sites that are tried with fewer storeys than it could have, before or after those with more."""
ROOFS = 4
"""Roofs that cost no more to try than a layout, one for each cell of its plot and what is searched."""
SITES = 50
"""What it costs to look for a site, in cells of a plot."""
SEEDED = ("bays", "rooms", "roof")
"""Stages that can be given a seed of their own and must still agree."""
LARGER = ((30, 40), (37, 50), (45, 61))
"""Plots that are tried after the seed's own, where a client names none."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """Four plans that agree: with each other, and with the brief.  tradition: for its storeys."""

    tradition: Tradition
    site: Site
    bays: Bays
    rooms: Rooms
    roof: Roof


@dataclass(frozen=True, slots=True, kw_only=True)
class _Settled:
    """Plans of a house's own seed.  brief: as it was tried, with its storeys.  roof: where the brief asks
    something of it, and so could refuse.  well: whether its court is one, where it need not be."""

    brief: Brief
    tradition: Tradition
    site: Site
    bays: Bays
    rooms: Rooms
    roof: Roof | None
    well: bool


def lay_out(draws: Draws) -> Layout:
    """The first layout that seats the programme under the roof that is asked for.

    The site is chosen by what the house's own seed can build on it, so that another seed for the bays,
    the rooms or the roof leaves the site alone; where such a seed finds no plan, the house's own stands
    in.  Raises InfeasibleError.
    """
    settled = _settled(draws)
    for drawn in product(*(dict.fromkeys((draws.of(s), draws.own(s))) for s in SEEDED)):
        try:
            return _laid(settled, drawn, tuple(map(draws.own, SEEDED)))
        except InfeasibleError:
            continue
    raise AssertionError("what the house's own seed has settled can be laid out")


def _laid(settled: _Settled, drawn: Sequence[Draw], own: Sequence[Draw]) -> Layout:
    """The plans that were settled, those anew whose seed is another.  Raises InfeasibleError."""
    site, tradition, brief = settled.site, settled.tradition, settled.brief
    bays, rooms, roof = settled.bays, settled.rooms, settled.roof
    if drawn[:2] != own[:2]:
        bays, rooms = _seated(site, brief, drawn[0], drawn[1])
    if roof is None or drawn != own:
        roof = plan_roof(site, bays, rooms, tradition, brief.roof, drawn[2])
    return Layout(tradition=tradition, site=site, bays=bays, rooms=rooms, roof=roof)


def _seated(
    site: Site, brief: Brief, for_bays: Draw, for_rooms: Draw, spend: Spend = free
) -> tuple[Bays, Rooms]:
    """Bays and rooms on a site.  Raises InfeasibleError where no rooms are as the brief asks."""
    asked = (site, _inside(brief), for_bays, for_rooms)
    found, steps = _seating(*asked)
    spend(site.plot[0] * site.plot[1] + steps, asked)
    if isinstance(found, str):
        raise InfeasibleError(found, stage="rooms")
    return found


def _inside(brief: Brief) -> Brief:
    """What a brief says of its ground, its rooms and those who live in them, and nothing else."""
    return Brief(
        tradition=brief.tradition,
        storeys=brief.storeys,
        ground=brief.ground,
        rooms=brief.rooms,
        gallery=brief.gallery,
        people=brief.people,
        trade=brief.trade,
    )


@lru_cache(maxsize=128)  # asked again under each roof, for each draw, and for what would work
def _seating(
    site: Site, brief: Brief, for_bays: Draw, for_rooms: Draw
) -> tuple[tuple[Bays, Rooms] | str, int]:
    """Bays and rooms on a site, or why there are none; and how many steps that was searched for."""
    return counted(partial(_sought, site, brief, for_bays, for_rooms))


def _sought(site: Site, brief: Brief, for_bays: Draw, for_rooms: Draw) -> tuple[Bays, Rooms] | str:
    tradition = _lived_in(brief)
    try:
        bays = plan_bays(site, tradition, for_bays)
        wishes = programme_of(brief, tradition)
        rooms = plan_rooms(site, bays, tradition, wishes, for_rooms, gallery=brief.gallery)
    except InfeasibleError as error:
        return error.message
    return superfluous([room.kind for room in rooms.rooms], brief, tradition) or (bays, rooms)


@lru_cache(maxsize=32)
def _lived_in(brief: Brief) -> Tradition:
    """The way of building, for so many storeys and those who live there."""
    tradition = load_tradition(brief.tradition).on_slope(brief.ground.rise)
    return for_household(tradition.with_storeys(brief.storeys or 1), brief)


def _settled(draws: Draws) -> _Settled:
    """The first layout in which nothing is amiss, or else the one with least of it: best of all without
    a well for a court, where storeys are left to the seed."""
    best: _Settled | None = None
    least = (True, 0)
    for found in _layouts(draws):
        here = (found.well, found.rooms.amiss)
        if best is None or here < least:
            best, least = found, here
        if not any(least):
            break
    if best is None:
        raise InfeasibleError("no layout was tried", stage="site")
    return best


def _layouts(draws: Draws, spend: Spend = free) -> Iterator[_Settled]:
    """Sites, none of them twice, that can be built on with the house's own seed for everything after them;
    those with a well last, as long as there is nothing better.

    Raises InfeasibleError where there is none.
    """
    asked, draw = draws.recipe.brief, draws.of("site")
    choice = asked.low is None and asked.storeys is None
    choice = choice and len(load_tradition(asked.tradition).plan.storeys) > 1
    refusals: dict[int, InfeasibleError] = {}
    seen = set[tuple[Site, int | None]]()
    wells: list[tuple[int, Site, Brief]] = []
    found = bettered = False

    def built(n: int, site: Site, brief: Brief, *, well: bool = False) -> Iterator[_Settled]:
        nonlocal found, bettered
        try:
            settled = _built(draws, site, brief, spend, well=well)
        except InfeasibleError as error:
            refusals[n] = error
        else:
            found = True
            bettered = bettered or not (well and settled.rooms.amiss)
            yield settled

    def in_wells() -> Iterator[_Settled]:
        while wells and not bettered:
            yield from built(*wells.pop(0), well=True)

    for n, (number, brief, spare) in enumerate(_tries(asked, draw)):
        if spare:
            yield from in_wells()
            if found:
                continue
        spend(SITES, None)
        tradition = _lived_in(_inside(brief))
        try:
            site = plan_site(brief, tradition, draw.at(number) if number else draw)
        except InfeasibleError as error:
            refusals[n] = error
            if not seen and not conceivable(replace(brief, plot=None), tradition):
                break
            continue
        if (site, brief.storeys) in seen:
            continue
        seen.add((site, brief.storeys))
        if choice and is_well(site, tradition.heights):
            wells.append((n, site, brief))
        else:
            yield from built(n, site, brief)
    yield from in_wells()
    if not found and refusals:
        raise refusals[min(refusals)]


def _built(draws: Draws, site: Site, brief: Brief, spend: Spend, *, well: bool) -> _Settled:
    for_bays, for_rooms, for_roof = map(draws.own, SEEDED)
    bays, rooms = _seated(site, brief, for_bays, for_rooms, spend)
    tradition, roof = _lived_in(_inside(brief)), None
    if brief.roof != RoofWish():
        spend(site.plot[0] * site.plot[1] // ROOFS, None)
        roof = plan_roof(site, bays, rooms, tradition, brief.roof, for_roof)
    return _Settled(
        brief=brief,
        tradition=tradition,
        site=site,
        bays=bays,
        rooms=rooms,
        roof=roof,
        well=well,
    )


class _Try(NamedTuple):
    """n: tells sites apart.  brief: with its storeys.  spare: where none before has led to a layout."""

    n: int
    brief: Brief
    spare: bool = False


def _tries(brief: Brief, draw: Draw) -> Iterator[_Try]:
    """The brief once for each site to try."""
    meant = storeys_meant(brief, tables(brief.tradition)["kind"])
    weights = dict(enumerate(load_tradition(brief.tradition).plan.storeys, 1))
    meant = tuple(n for n in meant if n in weights and (weights[n] or len(meant) == 1))
    first = draw.choice(meant, "storeys", [weights[n] or 1 for n in meant])
    for count in (first, *(count for count in meant if count != first)):
        sites = _sites(replace(brief, storeys=count))
        yield from sites if count == min(2, max(meant)) or len(meant) == 1 else islice(sites, FEW)


def _sites(brief: Brief) -> Iterator[_Try]:
    """Where a brief leaves all to the seed there are two sites, arranged as they are drawn; if neither
    finds room for all, a ring, and if that has none above for its stair, one with all wings as high; and
    where each warm room needs open ground for its chimney, or upper rooms a range clear of an atrium,
    some more."""
    first = 1 if brief.arrangement else 2
    yield from (_Try(n, brief) for n in range(first))
    plain = replace(brief, arrangement=brief.arrangement or "ring")
    yield _Try(0, plain)
    tradition = load_tradition(brief.tradition)
    if brief.low is None and tradition.atrium is None:
        yield _Try(0, replace(plain, low=()))
        yield _Try(1, replace(plain, low=()))
    if tradition.heat.under or tradition.atrium:
        spare = tradition.atrium is not None
        yield from (_Try(n, brief, spare) for n in range(first, 2 * LAYOUTS))
    asked = (brief.rooms, brief.closed, brief.courts, brief.gallery, brief.service, brief.low)
    if any(asked) or brief.arrangement or brief.people or brief.trade or brief.roof != RoofWish():
        yield from (_Try(n, brief) for n in range(first, LAYOUTS))
        if brief.land is None and brief.plot_least is None and brief.plot_most is None:
            more = (replace(brief, plot=plot) for plot in LARGER for _ in range(2))
            yield from (_Try(n, one) for n, one in enumerate(more, LAYOUTS))


def works(recipe: Recipe, spend: Spend = free) -> bool:
    """Whether a layout is found that answers a recipe's brief."""
    try:
        return any(True for _ in _layouts(Draws(recipe), spend))
    except InfeasibleError:
        return False
