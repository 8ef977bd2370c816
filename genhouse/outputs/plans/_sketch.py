"""Small drawings as plain shapes, which come out as SVG or as a picture alike."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from msgspec import Struct

from genhouse.outputs.plans._pen import drawing, group, letters, num, tag

if TYPE_CHECKING:
    from PIL.Image import Image

FINE = 3
"""A picture is drawn this many times as large and brought down, so that its lines are smooth."""


class Patch(Struct, frozen=True):
    """A polygon."""

    points: tuple[tuple[float, float], ...]
    fill: str
    ink: str = ""
    weight: float = 0


class Stroke(Struct, frozen=True):
    """A line through points."""

    points: tuple[tuple[float, float], ...]
    ink: str
    weight: float


class Dot(Struct, frozen=True):
    """A circle."""

    x: float
    y: float
    radius: float
    fill: str
    ink: str
    weight: float


class Word(Struct, frozen=True):
    """A short word, its middle at (x, y)."""

    x: float
    y: float
    text: str
    size: float
    ink: str


Shape = Patch | Stroke | Dot | Word


class Sketch(Struct, frozen=True):
    """Shapes on a sheet, the first lowest; x to the right, y down.  title: what it shows."""

    width: float
    height: float
    title: str
    shapes: tuple[Shape, ...]


def block(x0: float, y0: float, x1: float, y1: float, fill: str) -> Patch:
    """A rectangle."""
    return Patch(((x0, y0), (x1, y0), (x1, y1), (x0, y1)), fill)


def svg(sketch: Sketch, **attributes: float) -> str:
    """An SVG element."""
    shapes = group(
        *map(_element, sketch.shapes), font_family="system-ui, sans-serif", stroke_linejoin="round"
    )
    return drawing(sketch.title, (sketch.width, sketch.height), shapes, **attributes)


def _element(shape: Shape) -> str:
    match shape:
        case Patch(points, fill, ink, weight):
            edge = {"stroke": ink, "stroke_width": weight} if ink else {}
            return tag("polygon", points=_joined(points), fill=fill, **edge)
        case Stroke(points, ink, weight):
            return tag(
                "polyline", points=_joined(points), fill="none", stroke=ink, stroke_width=weight
            )
        case Dot(x, y, radius, fill, ink, weight):
            return tag("circle", cx=x, cy=y, r=radius, fill=fill, stroke=ink, stroke_width=weight)
        case Word(x, y, text, size, ink):
            return letters(x, y + 0.35 * size, text, size, fill=ink, text_anchor="middle")


def _joined(points: Sequence[tuple[float, float]]) -> str:
    return " ".join(f"{num(x)},{num(y)}" for x, y in points)


def painted(sketch: Sketch, scale: float, paper: str) -> Image:
    """A picture, RGB; scale: pixels for one unit."""
    from PIL import Image as Images
    from PIL import ImageDraw

    size = (round(sketch.width * scale), round(sketch.height * scale))
    large = Images.new("RGB", (FINE * size[0], FINE * size[1]), paper)
    pen = ImageDraw.Draw(large)
    for shape in sketch.shapes:
        _paint(pen, shape, FINE * scale)
    return large.resize(size, Images.Resampling.BOX)


def _paint(pen: Any, shape: Shape, s: float) -> None:
    match shape:
        case Patch(points, fill, ink, weight):
            pen.polygon([(s * x, s * y) for x, y in points], fill=fill)
            if ink:
                ring = [(s * x, s * y) for x, y in (*points, points[0])]
                pen.line(ring, fill=ink, width=_width(weight, s))
        case Stroke(points, ink, weight):
            pen.line([(s * x, s * y) for x, y in points], fill=ink, width=_width(weight, s))
        case Dot(x, y, radius, fill, ink, weight):
            pen.circle((s * x, s * y), s * radius, fill, ink, _width(weight, s))
        case Word(x, y, text, size, ink):
            pen.text((s * x, s * y), text, ink, font(s * size), anchor="mm")


def _width(weight: float, s: float) -> int:
    return max(1, round(weight * s))


@lru_cache(maxsize=64)
def font(size: float) -> Any:
    """The typeface that Pillow brings along, so that a sheet needs none of the machine's."""
    from PIL import ImageFont

    return ImageFont.load_default(size)
