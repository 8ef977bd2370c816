"""A contact sheet: one picture of many houses, each with its plan and room graph below it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from genhouse.many._tile import DRAWING, PICTURE, SIZE
from genhouse.many.cards import Card
from genhouse.outputs.pictures.picture import png
from genhouse.outputs.plans._pen import INK, PAPER, SOFT
from genhouse.outputs.plans._sketch import font

if TYPE_CHECKING:
    from PIL.Image import Image

COLUMNS = 4
EDGE, GAP, HEAD = 56, 28, 110


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """A house on the sheet: its heading, a line or two of figures, and its drawings.

    command: what makes it.  note: how it stands among the others.
    """

    heading: str
    lines: tuple[str, ...]
    card: Card
    command: str
    note: str = ""


def sheet(title: str, line: str, entries: Sequence[Entry]) -> bytes:
    """The sheet as a PNG, three or four houses in a row."""
    from PIL import Image as Images
    from PIL import ImageDraw

    columns = 3 if len(entries) in (3, 5, 6, 9) else min(COLUMNS, max(1, len(entries)))
    rows = -(-len(entries) // columns)
    wide, high = SIZE[0] + GAP, SIZE[1] + GAP
    size = (2 * EDGE - GAP + max(2, columns) * wide, 2 * EDGE - GAP + HEAD + rows * high)
    page = Images.new("RGB", size, PAPER)
    pen = ImageDraw.Draw(page)
    pen.text((EDGE, EDGE), title, INK, font(38), anchor="lt")
    pen.text((EDGE, EDGE + 54), line, SOFT, font(19), anchor="lt")
    for n, entry in enumerate(entries):
        row, column = divmod(n, columns)
        _draw(page, pen, entry, EDGE + column * wide, EDGE + HEAD + row * high)
    return png(page)


def _draw(page: Image, pen: Any, entry: Entry, x: int, y: int) -> None:
    """One card and its words, its upper left corner at (x, y)."""
    page.paste(entry.card.tile, (x, y))
    low = y + PICTURE[1] + DRAWING
    pen.text((x + 20, low + 6), entry.heading, INK, font(21), anchor="lt")
    for n, line in enumerate(entry.lines):
        pen.text((x + 20, low + 36 + 20 * n), line, SOFT, font(14.5), anchor="lt")
