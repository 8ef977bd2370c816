"""What a sheet shows of one house: its picture, its plans and its room graph."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from genhouse.core.workers import spread_out
from genhouse.house import House, make
from genhouse.many._tile import tile
from genhouse.model.brief import Recipe
from genhouse.outputs.figures._tables import Figures
from genhouse.outputs.pictures import picture
from genhouse.outputs.plans._justified import justified
from genhouse.outputs.plans._sketch import svg
from genhouse.outputs.plans.diagram import small_plans

if TYPE_CHECKING:
    from PIL.Image import Image

PICTURE = (600, 480)
GRAPH = (290, 300)
"""Pixels of a picture, and units of a graph."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """figures: of the finished house.  picture: PNG, in some view.  plans: SVG, from the lowest storey up.
    graph: SVG.  tile: all of them as they stand on a sheet.
    """

    figures: Figures
    picture: bytes
    plans: tuple[str, ...]
    graph: str
    tile: Image


def cards(recipes: Sequence[Recipe], *, processes: int | None = None) -> list[Card]:
    """A card for the house of each recipe, in their order."""
    import PIL.Image

    PIL.Image.preinit()  # before forking, or each process reads its formats anew

    return spread_out(_card, recipes, processes, what="pictures")


def _card(recipe: Recipe) -> Card:
    return drawn(make(recipe))


def drawn(house: House, view: str = "outside") -> Card:
    """The card of a house.  view: what its picture shows, ``outside``, ``inside`` or ``court``."""
    measured = house.figures()
    shown = house.picture(view, size=PICTURE)
    plans = small_plans(house.plan, measured)
    graph = justified(house.plan, measured, *GRAPH)
    return Card(
        figures=measured,
        picture=picture.png(shown),
        plans=tuple(map(svg, plans)),
        graph=svg(graph),
        tile=tile(shown, plans[0], graph),
    )
