"""plan.png: the village from straight above, with a scale, the north, and every house's number."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from genhouse.outputs.pictures.landscape import Stuff
from genhouse.village.gather import Glimpse
from genhouse.village.layout import Village
from genhouse.village.spans import mean

if TYPE_CHECKING:
    from PIL.Image import Image

HOLLOW = 4
"""Cells about each that it lies in a hollow of."""
INK, PAPER = (52, 46, 42), (243, 239, 231)
MARGIN, FOOT = 36, 84
"""Pixels of paper about the map, and below it."""
WIDE = 1536
"""Pixels across the map, at least where it is small."""
STRIP = 64
"""Rows of the map that are drawn at a time."""


def draw_plan(village: Village, stuff: Stuff, above: Above) -> Image:
    """The picture.  above: what is seen from there."""
    from PIL import Image as Images

    n, m = above.top.shape
    scale = max(1, -(-WIDE // max(n, m)))
    sheet = Images.new("RGB", (n * scale + 2 * MARGIN, m * scale + MARGIN + FOOT), PAPER)
    for x in range(0, n, STRIP):
        ground = _shaded(above, stuff, x, min(n, x + STRIP))
        flat = Images.fromarray(np.ascontiguousarray(ground.transpose(1, 0, 2)[::-1]))
        flat = flat.resize((len(ground) * scale, m * scale), Images.Resampling.NEAREST)
        sheet.paste(flat, (MARGIN + x * scale, MARGIN))
    _lettered(sheet, village, scale)
    return sheet


class Above:
    """What is seen from above: of each column the height of its top, in layers, and its material."""

    def __init__(self, shape: tuple[int, int]) -> None:
        self.top = np.zeros(shape, dtype=np.int16)
        self.stuff = np.zeros(shape, dtype=np.uint8)

    def add(self, glimpse: Glimpse) -> None:
        """A piece more."""
        x0, y0, x1, y1 = glimpse.box
        self.top[x0:x1, y0:y1], self.stuff[x0:x1, y0:y1] = glimpse.top, glimpse.stuff


def _shaded(above: Above, stuff: Stuff, west: int, east: int) -> npt.NDArray[np.uint8]:
    """Colours [X, Y, 3] of some rows: light from the north-west, hollows a little darker."""
    low = max(0, west - HOLLOW - 1)
    rows = np.s_[low : east + HOLLOW + 1]
    high = above.top[rows].astype(np.int32) * 8
    wide = np.pad(high, 1, mode="edge")
    slope = (wide[2:, 1:-1] - wide[:-2, 1:-1]) - (wide[1:-1, 2:] - wide[1:-1, :-2])
    hollow = np.clip(mean(high, HOLLOW) - high, 0, 40)
    light = np.clip(256 + np.clip(slope, -24, 24) * 3 - hollow, 120, 330).astype(np.int32)
    own = np.s_[west - low : east - low]
    colour = stuff.colour[above.stuff[west:east]] * light[own][:, :, None] >> 8
    return np.asarray(np.clip(colour, 0, 255).astype(np.uint8))


def _lettered(sheet: Image, village: Village, scale: int) -> None:
    from PIL import ImageDraw, ImageFont

    pen = ImageDraw.Draw(sheet)
    small, large = (ImageFont.load_default(size) for size in (15, 22))
    n, m = village.site.wanted.size
    foot = MARGIN + m * scale
    for house in village.houses:
        x0, y0, x1, y1 = house.rect
        at = (MARGIN + (x0 + x1) * scale // 2, foot - (y0 + y1) * scale // 2)
        text = str(house.plot.number)
        pen.text(at, text, fill=INK, font=small, anchor="mm", stroke_width=3, stroke_fill=PAPER)
    lengths = sum(lane.length for lane in village.site.lanes.lanes)
    title = f"Village {village.site.wanted.seed}"
    told = (
        f"{n} x {m} cells, {len(village.houses)} houses, {lengths} cells of lane; "
        f"cut {village.settled.cut // 2}, filled {village.settled.fill // 2} cells"
    )
    pen.text((MARGIN, foot + 14), title, fill=INK, font=large)
    pen.text((MARGIN, foot + 46), told, fill=INK, font=small)
    bar = 50 * scale
    right = MARGIN + n * scale
    pen.line([(right - bar, foot + 34), (right, foot + 34)], fill=INK, width=2)
    for end in (right - bar, right):
        pen.line([(end, foot + 28), (end, foot + 40)], fill=INK, width=2)
    pen.text((right - bar // 2, foot + 50), "50 cells", fill=INK, font=small, anchor="mm")
    tip = (right - bar - 40, foot + 14)
    pen.polygon([tip, (tip[0] - 7, tip[1] + 24), (tip[0] + 7, tip[1] + 24)], fill=INK)
    pen.text((tip[0], tip[1] + 36), "N", fill=INK, font=small, anchor="mm")
