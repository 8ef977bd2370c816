"""What stands on a contact sheet for one house: its picture, and below it a plan and its room graph."""

from __future__ import annotations

from typing import TYPE_CHECKING

from genhouse.outputs.plans._pen import CARD, FAINT
from genhouse.outputs.plans._sketch import Sketch, painted

if TYPE_CHECKING:
    from PIL.Image import Image

PICTURE = (460, 368)
DRAWING = 250
"""Height of the plan and the graph below a picture."""
WORDS = 84
"""Height left free below them, for a heading and lines."""
SIZE = (PICTURE[0], PICTURE[1] + DRAWING + WORDS)


def tile(picture: Image, plan: Sketch, graph: Sketch) -> Image:
    """A framed card of ``SIZE``, its words still to come; the frame takes one pixel more each way."""
    from PIL import Image as Images
    from PIL import ImageDraw

    width, height = PICTURE
    card = Images.new("RGB", (SIZE[0] + 1, SIZE[1] + 1), CARD)
    ImageDraw.Draw(card).rectangle((0, 0, *SIZE), CARD, FAINT)
    card.paste(picture.resize((width - 1, height - 1), Images.Resampling.LANCZOS), (1, 1))
    left = _fitted(plan, 200, DRAWING)
    card.paste(left, (10, height + (DRAWING - left.height) // 2))
    right = _fitted(graph, width - left.width - 26, DRAWING - 16)
    middle = 10 + left.width + (width - left.width - 20 - right.width) // 2
    card.paste(right, (middle, height + (DRAWING - right.height) // 2))
    return card


def _fitted(sketch: Sketch, width: float, height: float) -> Image:
    scale = min(width / sketch.width, height / sketch.height)
    return painted(sketch, scale, CARD)
