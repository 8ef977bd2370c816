"""A village on the desk: its map, the house on each plot, and what becomes of it when a plot is moved.

Land, water, lanes and greens stay where they are, and so do all plots that are not moved; every house is
then set on the ground again, since what is cut for one is filled for another.
"""

from __future__ import annotations

import base64
import re
from dataclasses import replace
from typing import Any

from genhouse.core.errors import InfeasibleError
from genhouse.core.sentences import quoted
from genhouse.desk.address import query
from genhouse.desk.task import WRONG, Answer, sentence, told, whole
from genhouse.model.brief import Recipe
from genhouse.outputs.pictures.picture import jpeg
from genhouse.traditions.shelf import ALL, check_name, names, weighed
from genhouse.village.layout import Site, Village, build
from genhouse.village.plan import MARGIN
from genhouse.village.plots import APRON, BORDER, Plot, taken_by
from genhouse.village.public import MadeVillage, site
from genhouse.village.surface import OPEN, PLOT

SIZES = (192, 320)
MOST_HOUSES = 16
FARTHEST = 96
"""Cells along a map's side, houses on it, cells that a plot is moved: no more, for a page waits."""
MOVE = re.compile(r"([0-9]{1,9}):(-?[0-9]{1,9}):(-?[0-9]{1,9})")


def mapped(
    recipe: Recipe, size: str = "192", houses: str = "6", moves: str = "", ways: str = ""
) -> Answer:
    """The map as a picture, and each house: where it lies, and its address.

    recipe: its seed, and what all houses ask for.  moves: ``2:4:-8 5:0:12``, plots with the cells that they
    are moved east and north.  ways: of building, a name or all; as the recipe has it, if not given.
    Raises BriefError, and InfeasibleError where the ground does not bear it.
    """
    found, side, many = _moves(moves), whole(size), whole(houses)
    if found is None or side is None or many is None:
        return sentence("village: it wants a size, a number of houses, and moves", WRONG)
    if not (SIZES[0] <= side <= SIZES[1] and side % 16 == 0 and 1 <= many <= MOST_HOUSES):
        return sentence(
            f"village: it is from {SIZES[0]} to {SIZES[1]} cells wide, a multiple of 16, with 1 to "
            f"{MOST_HOUSES} houses",
            WRONG,
        )
    own = ways or recipe.brief.tradition
    if own != ALL:
        check_name("tradition", own, names(), where="ways")
    customs = weighed(dict.fromkeys(names() if own == ALL else [own], 1))
    ground = site(recipe.seed, (side, side), many, recipe.brief, traditions=customs)
    for number, east, north in found:
        ground = moved(ground, number, east, north)
    return told(_shown(build(ground, engine="here")))


def _shown(village: Village) -> dict[str, Any]:
    picture = MadeVillage(village).picture("plan")
    wide, deep = village.site.wanted.size
    data = base64.b64encode(jpeg(picture)).decode()
    return {
        "picture": f"data:image/jpeg;base64,{data}",
        "size": [wide, deep],
        "wide": picture.width,
        "high": picture.height,
        "left": MARGIN,
        "scale": (picture.width - 2 * MARGIN) // wide,
        "cut": village.settled.cut // 2,
        "fill": village.settled.fill // 2,
        "houses": [
            {
                "number": house.plot.number,
                "client": house.recipe.brief.client,
                "query": query(house.recipe),
                "rect": house.plot.rect,
                "gate": house.plot.gate,
                "rooms": house.rooms,
                "storeys": house.storeys,
                "quarter": house.plot.quarter,
            }
            for house in village.houses
        ],
    }


def moved(ground: Site, number: int, east: int, north: int) -> Site:
    """The same with one plot elsewhere; those that stood wall to wall with it stand alone.  Raises
    InfeasibleError where it cannot lie there."""
    plot = next((plot for plot in ground.plots if plot.number == number), None)
    if plot is None:
        raise InfeasibleError(f"plot: there is none of number {number}", stage="site")
    x0, y0, x1, y1 = plot.rect
    use = ground.surface.use.copy()
    use[x0:x1, y0:y1] = OPEN
    other = replace(plot, rect=(x0 + east, y0 + north, x1 + east, y1 + north))
    _check(ground, use, other)
    x0, y0, x1, y1 = other.rect
    use[x0:x1, y0:y1] = PLOT
    plots = tuple(
        replace(other if p.number == number else p, row=p.number, party=())
        if p.row == plot.row
        else p
        for p in ground.plots
    )
    return replace(ground, plots=plots, surface=replace(ground.surface, use=use))


def _check(ground: Site, use: Any, plot: Plot) -> None:
    """Raises InfeasibleError where a plot lies off the map, or where none is laid out: on what is not open
    ground, or too close to it."""
    x0, y0, x1, y1 = plot.rect
    wide, deep = ground.wanted.size
    if min(x0, y0) < BORDER or x1 > wide - BORDER or y1 > deep - BORDER:
        raise InfeasibleError(
            f"plot {plot.number}: it would lie within {BORDER} cells of the map's edge",
            stage="site",
        )
    others = use[x0 - APRON : x1 + APRON, y0 - APRON : y1 + APRON] == PLOT
    if others.any() or taken_by(replace(ground.surface, use=use))[x0:x1, y0:y1].any():
        raise InfeasibleError(
            f"plot {plot.number}: water, a lane or another plot lies there; a few cells aside may work",
            stage="site",
        )


def _moves(text: str) -> list[tuple[int, int, int]] | None:
    """Numbers of plots with the way that each is moved; None where the words are none."""
    found = []
    for words in text.split()[:MOST_HOUSES]:
        said = MOVE.fullmatch(words)
        if said is None:
            return None
        number, east, north = map(int, said.groups())
        if max(abs(east), abs(north)) > FARTHEST:
            raise InfeasibleError(
                f"plot {number}: {quoted(words)} is farther than {FARTHEST} cells", stage="site"
            )
        found.append((number, east, north))
    return found
