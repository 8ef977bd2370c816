"""The pen of a plan: elements of SVG (version 1.1, W3C 2011), inks and lettering."""

from __future__ import annotations

from functools import lru_cache
from html import escape
from typing import NamedTuple

from msgspec import Struct

from genhouse.core.axes import ALONG, Axis
from genhouse.core.box import Rect
from genhouse.core.region import Region

CELL = 20
"""User units along the edge of a cell."""

PAPER, CARD = "#f7f2e7", "#fdfbf5"
INK, SOFT, FAINT = "#2c2622", "#6d6257", "#b5a995"
POCHE, STONE, TIMBER = "#b7a68f", "#d5cfc2", "#a98a63"
STRAW, STRAW_EDGE = "#efe8cb", "#a89b6a"
EARTH, GRAVEL, MOSS, WATER = "#e2d7c2", "#ece6d8", "#d3d9b9", "#c5d9d8"
LEAF, BRICK, DIMENSION = "#7f8f63", "#a8644a", "#7a4a35"

LETTER = 0.62
"""Estimated width of a letter, in parts of its size; wide sans-serif faces keep within it."""


def num(value: float) -> str:
    """At most two decimals, without trailing noughts."""
    whole = int(value)
    return str(whole) if whole == value else f"{value:.2f}".rstrip("0").rstrip(".")


def tag(name: str, inside: str = "", /, **attributes: object) -> str:
    """One element; underscores in attribute names stand for hyphens."""
    words = "".join([_word(*item) for item in attributes.items() if item[1] is not None])
    return f"<{name}{words}>{inside}</{name}>" if inside else f"<{name}{words}/>"


@lru_cache(maxsize=4096)  # the same few inks, weights and lines, over and over
def _word(key: str, value: object) -> str:
    """One attribute."""
    text = num(value) if isinstance(value, (int, float)) else escape(str(value))
    return f' {key.strip("_").replace("_", "-")}="{text}"'


def group(*inside: str, **attributes: object) -> str:
    return tag("g", together(*inside), **attributes) if any(inside) else ""


def together(*inside: str) -> str:
    """One after the other, what is not empty."""
    return "\n".join(filter(None, inside))


def drawing(
    title: str, size: tuple[float, float], *inside: str, scale: float = 1, **attributes: object
) -> str:
    """A drawing by itself.  size: in user units.  scale: pixels for one of them."""
    wide, high = size
    return tag(
        "svg",
        together(tag("title", title), *inside),
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {num(wide)} {num(high)}",
        width=num(scale * wide),
        height=num(scale * high),
        **attributes,
        role="img",
    )


class Frame(NamedTuple):
    """A rectangle on the sheet: x to the right, y down."""

    x: float
    y: float
    w: float
    h: float

    def inset(self, n: float) -> Frame:
        return Frame(self.x + n, self.y + n, self.w - 2 * n, self.h - 2 * n)

    def over(self, other: Frame) -> float:
        """Area in common."""
        wide = min(self.x + self.w, other.x + other.w) - max(self.x, other.x)
        high = min(self.y + self.h, other.y + other.h) - max(self.y, other.y)
        return max(0.0, wide) * max(0.0, high)

    @property
    def middle(self) -> tuple[float, float]:
        return (self.x + self.w / 2, self.y + self.h / 2)

    def draw(self, **attributes: object) -> str:
        return tag("rect", x=self.x, y=self.y, width=self.w, height=self.h, **attributes)


class Grid(Struct, frozen=True):
    """Where the plot lies on the sheet; north is up.  depth: of the plot, in cells.

    axis: of what is drawn on it, whose places are given as along and across; "x": as x and y.
    """

    left: float
    top: float
    depth: int
    axis: Axis = "x"

    def along(self, axis: Axis) -> Grid:
        """The same sheet for what runs along an axis."""
        return Grid(self.left, self.top, self.depth, axis)

    def at(self, x: float, y: float) -> tuple[float, float]:
        """A point of the plot, in cells, on the sheet."""
        place = (x, y)
        east, north = place[ALONG[self.axis]], place[1 - ALONG[self.axis]]
        return (self.left + CELL * east, self.top + CELL * (self.depth - north))

    def frame(self, r: Rect | tuple[float, float, float, float]) -> Frame:
        (left, foot), (right, top) = self.at(r[0], r[1]), self.at(r[2], r[3])
        return Frame(left, top, right - left, foot - top)

    def line(self, x0: float, y0: float, x1: float, y1: float, **attributes: object) -> str:
        (a, b), (c, d) = self.at(x0, y0), self.at(x1, y1)
        return tag("line", x1=a, y1=b, x2=c, y2=d, **attributes)

    def circle(self, x: float, y: float, radius: float, **attributes: object) -> str:
        """radius: in cells."""
        cx, cy = self.at(x, y)
        return tag("circle", cx=cx, cy=cy, r=CELL * radius, **attributes)

    def polygon(self, points: list[tuple[float, float]], **attributes: object) -> str:
        corners = (self.at(x, y) for x, y in points)
        return tag(
            "polygon", points=" ".join(f"{num(x)},{num(y)}" for x, y in corners), **attributes
        )


def ground(land: Region, grid: Grid, **attributes: object) -> str:
    """The ground of a plot: a rectangle, or what its outline bounds."""
    if land.whole:
        return grid.frame(land.bounds).draw(**attributes)
    return grid.polygon([*land.corners], **attributes)


def width_of(text: str, size: float) -> float:
    """Estimated width of a line of lettering."""
    return LETTER * size * len(text)


def letters(x: float, y: float, text: str, size: float, **attributes: object) -> str:
    """One line; y is its baseline."""
    return tag("text", escape(text), x=x, y=y, font_size=size, **attributes)


def halo(ground: str) -> dict[str, object]:
    """What keeps lettering clear of the lines that it stands on: a rim of the colour of its ground."""
    return {
        "style": "paint-order: stroke",
        "stroke": ground,
        "stroke_width": 2.6,
        "stroke_linejoin": "round",
    }


def upright(x: float, y: float, text: str, size: float, **attributes: object) -> str:
    """One line that reads from below, its baseline through (x, y)."""
    turn = f"rotate(-90 {num(x)} {num(y)})"
    return letters(x, y, text, size, transform=turn, **attributes)
