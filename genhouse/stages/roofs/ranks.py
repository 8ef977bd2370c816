"""Ranks: how high the walls of a house stand over their beams, and what is behind an atrium."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from typing import NamedTuple

from genhouse.core.draw import Draw
from genhouse.stages._wings import Wing
from genhouse.stages.roofs.ends import Joints, Style, Styles
from genhouse.stages.roofs.raised import TIER
from genhouse.traditions.roofs import Rank
from genhouse.traditions.tradition import Tradition

HIGH = 2
"""Half cells by which a high hall stands above the others, and ranks above one another."""


class Way(NamedTuple):
    """How high one stands behind the first court.

    form: of the roofs there, empty where it is that of all.  lifts: half cells by which each wall is
    higher than its beams.  proud: whether a hall may stand higher still, or a tier be raised.
    """

    form: str
    lifts: Mapping[Wing, int]
    proud: bool


def ways(joints: Joints, tradition: Tradition, behind: str, draw: Draw) -> Iterator[Way]:
    """Each lower than the one before it, which is by the rank of the house.  An atrium is as high as its
    length tells where its rank has it so, or rooms behind it have others over them."""
    site, ranks = joints.site, tradition.roof.ranks or (Rank(weight=1),)
    rank = draw.choice(ranks, "rank", [r.weight for r in ranks])
    court, upper = site.courts[0], any(wing.storeys > 1 for wing in site.wings)
    about = 0
    if tradition.atrium is not None and (rank.long or upper):
        about = tradition.atrium.higher(max(court.width, court.depth))
    lower = [(behind, high, False) for high in range(rank.behind, -1, -HIGH)]
    last = ("gable" if behind else "", 0, False)
    for form, high, proud in ((behind, rank.behind, True), *lower, last):
        lifts = {
            wing: rank.all
            + (about if wing.rect.adjoins(court) else high)
            + dict(rank.wings).get(wing.name, 0)
            for wing in site.wings
        }
        yield Way(form=form, lifts=lifts, proud=proud)


def lowest(made: Iterable[Styles], first: Collection[Wing]) -> Styles:
    """The first roof of which nothing stands higher than what is about an atrium, else the last."""
    chosen: Styles = {}
    for chosen in made:
        tops = {wing: _top(style) for wing, style in chosen.items()}
        if max(tops.values()) == max(tops[wing] for wing in first):
            break
    return chosen


def _top(style: Style) -> int:
    """Its ridge, half cells; with the walls of a raised tier."""
    return style.base + style.courses[-1][1] + TIER * (style.form == "two-tier")
