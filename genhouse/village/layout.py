"""A village laid out, step by step: land, water, greens, lanes, plots; houses; all of it set on the ground;
what grows.  A pure function of what is asked for."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np

from genhouse.core.draw import Draw
from genhouse.core.errors import InfeasibleError
from genhouse.core.progress import tell
from genhouse.inspection import Report
from genhouse.village.backs import BackLane, lay_back_lanes
from genhouse.village.cells import World
from genhouse.village.centres import HOUSES, centres
from genhouse.village.fields import Parcel, lay_fields
from genhouse.village.grids import Mask
from genhouse.village.grow import Grown, grow
from genhouse.village.houses import Built, Likeness, Made, build_houses
from genhouse.village.land import PITCH, Land, lay_land
from genhouse.village.lanes import Lanes, lay_course, lay_lanes
from genhouse.village.matter import matter
from genhouse.village.net import Net, nets
from genhouse.village.offers import depth_of, ground_of
from genhouse.village.people import Customs, sizes, with_inns
from genhouse.village.places import Ground, lay_places, ways_of
from genhouse.village.plots import Plot, free_spots, lay_plots
from genhouse.village.settle import Settled, recounted, settle
from genhouse.village.skin import skin
from genhouse.village.surface import Surface, bed_of, pave
from genhouse.village.water import Watered, let_in
from genhouse.village.ways import Place

SKY = 26
"""Layers over the highest ground, at least: a house of three storeys and its roof."""
LIFT = 1
"""Half cells that a lane is raised or lowered for it, at most: more would make it a dyke, or a ditch."""
BALANCED = 4
"""Times that lanes are laid, to balance what is cut and filled for them."""
LAYERS = 16
"""The height of a map is so many times a whole number."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Wanted:
    """What is asked for.  size: cells.  land: somebody's own, else it is drawn.  keep_out: bool [X, Y],
    where nothing is built."""

    seed: int
    size: tuple[int, int]
    houses: int
    customs: Customs = field(default_factory=Customs)
    land: Land | None = None
    keep_out: Mask | None = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Site:
    """A village before its houses.  before: the ground with water, as nature left it."""

    wanted: Wanted
    draw: Draw
    before: Watered
    greens: tuple[Place, ...]
    lanes: Lanes
    surface: Surface
    places: tuple[Ground, ...]
    plots: tuple[Plot, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Village:
    """A whole village: its site, its houses in the order of their numbers, the house that each is most
    like, how it was set down, what grows, and all that its cells follow from.  report: of its inspection,
    once its cells were written."""

    site: Site
    houses: tuple[Built, ...]
    likeness: tuple[Likeness, ...]
    settled: Settled
    backs: tuple[BackLane, ...]
    parcels: tuple[Parcel, ...]
    grown: Grown
    world: World
    report: Report | None = None

    @property
    def levels(self) -> tuple[int, ...]:
        """Cells up to which each house's ground is made."""
        return self.settled.levels[len(self.site.places) :]


def lay_site(wanted: Wanted) -> Site:
    """Raises InfeasibleError where the ground has no room for so many houses."""
    draw = Draw(wanted.seed, "village")
    tell("ground", 0, 1)
    land = wanted.land or lay_land(wanted.size, draw.at("land"), _built_on(wanted))
    watered = let_in(land, draw.at("water"))
    shut = _shut(wanted)
    wet, barred = _on_lattice(watered.level > 0), _on_lattice(shut)
    tell("ground", 1, 1)
    most, metres, wants = 0, 0, 0
    # Where no likely net has room, those that were passed by are laid too: they say how many fit.
    towns = (
        (*town, likely) for likely in (True, False) for town in _towns(land, wet, barred, wanted)
    )
    for net, last, likely in towns:
        if (net.length < wants and not last) if likely else last:
            continue
        laid = _laid(wanted, draw, watered, net, shut)
        many = len(laid.plots)
        if many == wanted.houses:
            return laid
        if many > most or not metres:
            most, metres = many, sum(lane.length for lane in laid.lanes.lanes)
        # The longer a net, the fewer plots to a cell of it: with less than this, all do not fit.
        wants = net.length * wanted.houses // max(1, many)
        del laid  # the next one finds the memory free
    raise InfeasibleError(_too_many(wanted, most, metres), stage="site")


def _built_on(wanted: Wanted) -> int:
    """Hundredths of the map that its plots take."""
    wide, deep = wanted.size
    return 100 * wanted.houses * ground_of(sizes(wanted.customs)) // (wide * deep)


def _laid(wanted: Wanted, draw: Draw, watered: Watered, net: Net, shut: Mask) -> Site:
    """A village of these ways, with as many plots as find room."""
    greens = tuple(net.greens)
    lanes, surface = _balanced(net, watered, greens)
    spots = tuple(free_spots(surface, lanes, greens, draw.at("spots")))
    places = lay_places(surface, watered, spots, shut)
    spans, shut = sizes(wanted.customs), shut | ways_of(places, surface.shape)
    plots = lay_plots(surface, lanes, greens, spots, wanted.houses, shut, draw.at("plots"), spans)
    return Site(
        wanted=wanted,
        draw=draw,
        before=watered,
        greens=greens,
        lanes=lanes,
        surface=surface,
        places=places,
        plots=with_inns(plots, lanes.lanes),
    )


def _towns(land: Land, wet: Mask, shut: Mask, wanted: Wanted) -> Iterator[tuple[Net, bool]]:
    """The net of lanes as it grows, and whether it grows no more."""
    many = [max(1, round(wanted.houses / share)) for share in HOUSES]
    greens = centres(land.heights, wet | shut, max(many))
    return nets(land.heights, wet, shut, greens, many, depth_of(sizes(wanted.customs)))


def _balanced(net: Net, watered: Watered, greens: Sequence[Place]) -> tuple[Lanes, Surface]:
    """Lanes and greens on the ground, some raised or lowered until what is cut is about what is filled."""
    raised: tuple[int, ...] = ()
    best: tuple[int, Lanes] | None = None
    course = lay_course(net, watered)
    bed = bed_of(course, watered)
    for _ in range(BALANCED):
        lanes = lay_lanes(course, raised)
        change = pave(watered, lanes, bed, greens).ground - watered.ground
        over = int(change.sum(dtype=np.int64))
        if best is None or abs(over) < best[0]:
            best = abs(over), lanes
        raised = _lowered(
            raised or (0,) * len(lanes.lanes), lanes, over, int(np.count_nonzero(change))
        )
    assert best is not None
    return best[1], pave(watered, best[1], bed, greens)


def _lowered(raised: tuple[int, ...], lanes: Lanes, over: int, area: int) -> tuple[int, ...]:
    """All lanes lowered, or raised, by as many half cells as take away what is over; then some more, the
    longest first."""
    total = sum(lane.length for lane in lanes.lanes)
    sign, left = (1 if over > 0 else -1), abs(over)
    each, left = divmod(left, max(1, area))
    found = [lift - sign * each for lift in raised]
    for n in sorted(range(len(found)), key=lambda n: (-lanes.lanes[n].length, n)):
        share = area * lanes.lanes[n].length // total
        if share <= left:
            found[n] -= sign
            left -= share
    return tuple(max(-LIFT, min(LIFT, lift)) for lift in found)


def _too_many(wanted: Wanted, many: int, metres: int) -> str:
    wide, deep = wanted.size
    return (
        f"houses: {many} fit on this ground, not {wanted.houses}; the limit is level ground along the "
        f"{metres} cells of lane on a map of {wide}x{deep}; fewer houses or a larger map would work"
    )


def build(
    site: Site, *, processes: int | None = None, engine: str = "pool", kept: Made | None = None
) -> Village:
    """Houses on their plots, set on the ground, with all that grows about them."""
    wanted, draw = site.wanted, site.draw
    houses, likeness = build_houses(
        site.plots,
        wanted.customs,
        draw.at("houses"),
        processes=processes,
        engine=engine,
        kept=kept,
    )
    settled = settle(site.surface, site.before.ground, (*site.places, *houses))
    backs = lay_back_lanes(settled.surface, site.plots)
    parcels = lay_fields(settled.surface, site.plots, draw.at("grown"))
    settled = recounted(settled, site.before.ground)
    surface = settled.surface
    grown = grow(
        surface, site.lanes, site.greens, site.plots, site.places, parcels, draw.at("grown")
    )
    stuff = matter(
        sorted({house.recipe.brief.tradition for house in houses}),
        (house.voxels for house in houses),
    )
    high = int(surface.top.max()) // 2 + SKY
    world = World(
        surface=surface,
        skin=skin(surface, parcels, stuff, draw.at("skin")),
        stands=grown.stands,
        houses=houses,
        levels=settled.levels[len(site.places) :],
        matter=stuff,
        height=-(-high // LAYERS) * LAYERS,
    )
    # As it was before its houses its ground is of no more use: a large map has the memory back.
    site = replace(site, surface=surface)
    return Village(
        site=site,
        houses=houses,
        likeness=likeness,
        settled=settled,
        backs=backs,
        parcels=parcels,
        grown=grown,
        world=world,
    )


def _shut(wanted: Wanted) -> Mask:
    if wanted.keep_out is None:
        return np.zeros(wanted.size, dtype=bool)
    return wanted.keep_out


def _on_lattice(field: np.ndarray[Any, Any]) -> Mask:
    """Whether any cell of each lattice place is so."""
    n, m = (size // PITCH for size in field.shape)
    return np.asarray(field.reshape(n, PITCH, m, PITCH).any(axis=(1, 3)))
