"""What a sheet shows of one house: its picture, its plans and its room graph."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from genhouse.house import House
from genhouse.ideas.gather import Idea, cores, spread_out
from genhouse.outputs.figures._tables import Figures
from genhouse.outputs.pictures import picture
from genhouse.outputs.plans._justified import justified
from genhouse.outputs.plans._sketch import Sketch
from genhouse.outputs.plans.diagram import small_plans

PICTURE = (600, 480)
GRAPH = (290, 300)
"""Pixels of a picture, and units of a graph."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """picture: PNG.  plans: from the lowest storey up."""

    picture: bytes
    plans: tuple[Sketch, ...]
    graph: Sketch


def cards(ideas: Sequence[Idea], *, processes: int | None = None) -> list[Card]:
    """A card for each idea, in their order."""
    return spread_out(card, ideas, processes or cores(), 1)


def card(idea: Idea) -> Card:
    return drawn(idea.house(), idea.figures)


def drawn(house: House, measured: Figures) -> Card:
    """The card of a house."""
    return Card(
        picture=picture.png(house.picture("outside", size=PICTURE)),
        plans=small_plans(house.plan, measured),
        graph=justified(house.plan, measured, *GRAPH),
    )
