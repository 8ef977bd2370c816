"""Who lives where, and what they ask of their house: a brief for each plot."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from genhouse.core.draw import Draw
from genhouse.model.brief import Brief, Sides
from genhouse.model.shapes import SHAPES
from genhouse.traditions.shelf import tables
from genhouse.village.lanes import Lane
from genhouse.village.offers import SIZES, Sizes, sizes_for, sizes_of
from genhouse.village.plots import QUARTERS, Plot

TRADES: Mapping[str, tuple[str, ...]] = {
    "green": ("physician", "teacher", "priest", "musician", "baker"),
    "stream": ("dyer", "smith", "weaver", "baker"),
    "slope": ("joiner", "weaver", "farmer"),
    "road": ("carter", "smith", "joiner"),
    "fields": ("farmer", "farmer", "carter", "weaver"),
    "inn": ("innkeeper",),
}
"""Trades by quarter: water for the dyer, the road for the carter (common practice)."""
WHY: Mapping[str, str] = {
    "green": "by the green",
    "stream": "near water",
    "slope": "up the slope",
    "road": "on the road",
    "fields": "among the fields",
    "inn": "an inn, which one comes to first by the gate road",
}
PEOPLE: Mapping[str, tuple[int, int]] = {"large": (6, 9), "middling": (4, 6), "small": (2, 3)}
"""How many live in a house of each size."""
GIVEN = (
    "Orla", "Hesper", "Tam", "Wren", "Corin", "Isolt", "Bram", "Marden", "Sunniva", "Perrin", "Edda",
    "Lowen", "Ansel", "Thessaly", "Joris", "Maren", "Odo", "Linnet", "Garrick", "Ysolde",
)  # fmt: skip
FAMILY = (
    "Wick", "Fennimore", "Alder", "Holt", "Sedge", "Thackeray", "Byre", "Quillon", "Marsh", "Tolliver",
    "Underhill", "Croft", "Penhallow", "Lathe", "Rushby", "Garth",
)  # fmt: skip
TO_AN_INN = 50
"""Houses to an inn."""
OTHERWISE = 4
"""One house in so many has another palette than its quarter."""
SHAPED = 3
"""Tries after which a plot is taken whole."""
WALLED = 3
"""Tries after which a house keeps clear of its neighbour, though that may stand against it."""
COUNTED = 3
"""One household in so many says how many it is; the others leave it to the house."""


ALL_LEFT = Brief()
"""A brief that leaves all to the seed."""


USUAL = ((20, 26), 4, (115, 150))
"""What a plot measures where a way of building says no more."""
SAME = 2
"""Tries with one way of building before another of the village's has its turn."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Customs:
    """What the people of a village have in common.

    base: what every brief starts from.  traditions: with their weights; none for that of the base.
    """

    base: Brief = ALL_LEFT
    traditions: tuple[tuple[str, int], ...] = ()

    @property
    def ways(self) -> dict[str, int]:
        """The ways of building, with their weights."""
        return dict(self.traditions) or {self.base.tradition: 1}


def with_inns(plots: Sequence[Plot], lanes: Sequence[Lane]) -> tuple[Plot, ...]:
    """The same plots; those on roads that lie farthest out keep an inn, rather a roomy one."""
    roads = [plot for plot in plots if lanes[plot.lane].kind == "road" and plot.quarter != "green"]
    order = sorted(roads, key=lambda plot: (plot.size == "small", -plot.far, plot.number))
    inns = {plot.number for plot in order[: -(-len(plots) // TO_AN_INN)]}
    return tuple(replace(p, quarter="inn") if p.number in inns else p for p in plots)


def sizes(customs: Customs) -> Sizes:
    """How large the plots are."""
    return sizes_for([(_sizes(tables(n)["plan"]), weight) for n, weight in customs.ways.items()])


def _sizes(plan: Mapping[str, Any]) -> Sizes:
    if _usual(plan):
        return SIZES
    width, depth, within = (tuple(plan[name]) for name in ("width", "depth", "within"))
    return sizes_of(width, plan["wider"], depth, within)


def _usual(plan: Mapping[str, Any]) -> bool:
    return (tuple(plan["width"]), plan["wider"], tuple(plan["depth"])) == USUAL


def brief_for(plot: Plot, customs: Customs, draw: Draw, tries: int) -> Brief:
    """What those on a plot ask for; with more tries they ask for less."""
    here = draw.at("household", plot.number)
    x0, y0, x1, y1 = plot.rect
    trade = here.choice(TRADES[plot.quarter], "trade")
    tradition = _tradition(plot, customs, here, tries)
    name = f"{here.choice(GIVEN, 'given')} {here.choice(FAMILY, 'family')}, {trade}"
    inn = plot.quarter == "inn"
    many = here.between(*PEOPLE["large" if inn else plot.size], "people")
    people = many if inn or here.chance(1, COUNTED, "counted") else None
    asked = replace(
        customs.base, client=name, plot=(x1 - x0, y1 - y0), gate=plot.gate, tradition=tradition
    )
    palettes = sorted(tables(tradition)["palette"])
    if customs.base.palette is None and palettes:
        asked = replace(asked, palette=_palette(plot, palettes, draw))
    if customs.base.rooms or customs.base.trade or customs.base.people:
        return asked
    if _walled(plot, customs, tradition, tries):
        walls: dict[str, Any] = dict.fromkeys(plot.party, "party")
        asked = replace(asked, sides=Sides(**walls))
    shaped = plot.size != "small" and tries < SHAPED and here.chance(1, 2, "shaped")
    shaped = shaped and not plot.party
    shapes = [shape for shape in SHAPES if shape in tables(tradition)["plan"]["outlines"]]
    if shaped and shapes and customs.base.outline is None:
        asked = replace(asked, outline=here.choice(shapes, "outline"))
    return replace(
        asked,
        trade=trade if tries < 4 and trade in tables(tradition).get("trade", {}) else None,
        people=people if tries < 2 else None,
    )


def _walled(plot: Plot, customs: Customs, tradition: str, tries: int) -> bool:
    """Whether a house stands against its neighbour: where nothing else is asked, and its way allows."""
    able = tables(tradition)["plan"]["neighbours"] and not customs.base.sides.party
    return bool(able and plot.party and tries < WALLED)


def _tradition(plot: Plot, customs: Customs, here: Draw, tries: int) -> str:
    """As the weights of those have it for whose houses the plot is large enough; where nothing comes of
    it, others in turn, the least in size first.
    """
    weights = customs.ways
    order = sorted(
        here.shuffled([*weights], "order"), key=lambda name: tables(name)["plan"]["width"]
    )
    able = [name for name in order if _holds(plot, name)] or order[:1]
    first = here.choice(able, "tradition", [weights[name] for name in able])
    return [first, *(name for name in order if name != first)][tries // SAME % len(order)]


def _holds(plot: Plot, name: str) -> bool:
    """Whether a plot is as large as the least of a way of building."""
    (front, deep), (width, depth) = plot.measures, _sizes(tables(name)["plan"])["small"]
    return front >= width[0] and deep >= depth[0]


def _palette(plot: Plot, palettes: Sequence[str], draw: Draw) -> str:
    """That of the quarter, but for a house here and there: a family likeness."""
    own = draw.at("palettes").shuffled(palettes, "quarters")
    usual = own[list(QUARTERS).index(plot.quarter) % len(own)]
    here = draw.at("palette", plot.number)
    return here.choice(palettes, "other") if here.chance(1, OTHERWISE, "otherwise") else usual
