"""The room graph beside the plan, as one drawing in SVG."""

from __future__ import annotations

from genhouse.model.design import Design
from genhouse.outputs.figures._tables import Figures
from genhouse.outputs.plans._justified import justified
from genhouse.outputs.plans._pen import CARD, INK, SOFT, Frame, drawing, group, letters
from genhouse.outputs.plans._sketch import svg
from genhouse.outputs.plans.diagram import small_plans, tint
from genhouse.outputs.storeys import storeys

GRAPH, LEAST, GAP, HEAD, FOOT = 440, 300, 24, 64, 56
STEPS = 6
"""Tints in the key."""


def room_diagram(design: Design, figures: Figures) -> str:
    """Small plans from the lower storey up, then the graph, which shares their numbers and tints."""
    plans = small_plans(design, figures)
    high = max(LEAST, *(plan.height for plan in plans))
    drawings = (*plans, justified(design, figures, GRAPH, high))
    titles = (*(storey.name for storey in storeys(design)), "Room graph")
    inside, x = [], float(GAP)
    for title, shown in zip(titles, drawings, strict=True):
        inside.append(letters(x, HEAD - 8, title, 11, fill=SOFT))
        inside.append(svg(shown, x=x, y=HEAD))
        x += shown.width + GAP
    return _sheet(design, x, HEAD + high + FOOT, inside)


def _sheet(design: Design, width: float, height: float, inside: list[str]) -> str:
    name = f"House {design.recipe.seed}: rooms"
    paper = Frame(0, 0, width, height).draw(fill=CARD)
    head = letters(GAP, 30, name, 19, fill=INK, font_weight="600")
    font = "system-ui, sans-serif"
    parts = (paper, head, *inside, _key(GAP, height - 26))
    return drawing(name, (width, height), *parts, font_family=font) + "\n"


def _key(x: float, y: float) -> str:
    words = "the darker a room, the more rooms one has come through from outside; a ring more: a storey up"
    boxes = (
        Frame(x + 18 * n, y - 9, 18, 11).draw(fill=tint(n / (STEPS - 1))) for n in range(STEPS)
    )
    return group(*boxes, letters(x + 18 * STEPS + 10, y, words, 11, fill=SOFT))
