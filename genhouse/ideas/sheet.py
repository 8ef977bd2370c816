"""A contact sheet: one picture of many houses, each with its plan and room graph below it."""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from genhouse.ideas.cards import Card
from genhouse.outputs.plans._pen import CARD, FAINT, INK, PAPER, SOFT
from genhouse.outputs.plans._sketch import Sketch, font, painted

if TYPE_CHECKING:
    from PIL.Image import Image

COLUMNS = 4
EDGE, GAP, HEAD = 56, 28, 110
PICTURE = (460, 368)
DRAWING = 250
"""Height of the plan and the graph below a picture."""
WORDS = 84
"""Height of the lines below them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """A house on the sheet: its heading, a line or two of figures, and its drawings."""

    heading: str
    lines: tuple[str, ...]
    card: Card


def sheet(title: str, line: str, entries: Sequence[Entry]) -> bytes:
    """The sheet as a PNG, three or four houses in a row."""
    from PIL import Image as Images
    from PIL import ImageDraw

    columns = 3 if len(entries) in (3, 5, 6, 9) else min(COLUMNS, max(1, len(entries)))
    rows = -(-len(entries) // columns)
    wide, high = PICTURE[0] + GAP, PICTURE[1] + DRAWING + WORDS + GAP
    size = (2 * EDGE - GAP + max(2, columns) * wide, 2 * EDGE - GAP + HEAD + rows * high)
    page = Images.new("RGB", size, PAPER)
    pen = ImageDraw.Draw(page)
    pen.text((EDGE, EDGE), title, INK, font(38), anchor="lt")
    pen.text((EDGE, EDGE + 54), line, SOFT, font(19), anchor="lt")
    for n, entry in enumerate(entries):
        row, column = divmod(n, columns)
        _draw(page, pen, entry, EDGE + column * wide, EDGE + HEAD + row * high)
    return _png(page)


def _draw(page: Image, pen: Any, entry: Entry, x: int, y: int) -> None:
    """One card, its upper left corner at (x, y)."""
    from PIL import Image as Images

    width, height = PICTURE
    pen.rectangle((x, y, x + width, y + height + DRAWING + WORDS), CARD, FAINT)
    shown = Images.open(io.BytesIO(entry.card.picture)).convert("RGB")
    page.paste(shown.resize((width - 1, height - 1), Images.Resampling.LANCZOS), (x + 1, y + 1))
    top = y + height
    plan = _fitted(entry.card.plans[0], 200, DRAWING)
    page.paste(plan, (x + 10, top + (DRAWING - plan.height) // 2))
    graph = _fitted(entry.card.graph, width - plan.width - 26, DRAWING - 16)
    left = x + 10 + plan.width + (width - plan.width - 20 - graph.width) // 2
    page.paste(graph, (left, top + (DRAWING - graph.height) // 2))
    pen.text((x + 20, top + DRAWING + 6), entry.heading, INK, font(21), anchor="lt")
    for n, line in enumerate(entry.lines):
        pen.text((x + 20, top + DRAWING + 36 + 20 * n), line, SOFT, font(14.5), anchor="lt")


def _fitted(sketch: Sketch, width: float, height: float) -> Image:
    scale = min(width / sketch.width, height / sketch.height)
    return painted(sketch, scale, CARD)


def _png(page: Image) -> bytes:
    file = io.BytesIO()
    page.save(file, "PNG", compress_level=1)
    return file.getvalue()
