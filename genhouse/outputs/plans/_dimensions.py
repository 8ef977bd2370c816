"""Dimension chains round a plan: overall, wall to wall, and the clear gaps between posts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from genhouse.core.axes import SIDES, Side
from genhouse.model.design import Design
from genhouse.outputs.plans._pen import (
    CELL,
    DIMENSION,
    FAINT,
    PAPER,
    Grid,
    group,
    halo,
    letters,
    tag,
    upright,
)
from genhouse.outputs.setting_out import Span, corners, gaps, house_rect, overall, walls
from genhouse.outputs.storeys import Storey

ROWS = (18, 38, 58, 78)
"""From the plot's edge to each chain, in user units: gaps, walls, overall, corners of an outline."""
MARGIN, ROW = 76, 20
"""What the chains take on each side of the plot, and how much more one that not every plot has."""


def margin(design: Design) -> int:
    """What the chains take on each side of the plot."""
    return MARGIN + ROW if design.outline else MARGIN


def draw_dimensions(design: Design, storey: Storey, grid: Grid) -> str:
    """All chains along all four sides."""
    return group(
        *(_side(design, side, storey, grid) for side in SIDES), stroke_width=0.7, fill=DIMENSION
    )


def _side(design: Design, side: Side, storey: Storey, grid: Grid) -> str:
    chains = (
        ("gaps", gaps(design, side, storey).clear),
        ("walls", walls(design, side).clear),
        ("overall", overall(design, side)),
        *((("corners", corners(design, side)),) if design.outline else ()),
    )
    drawn = (
        group(*_chain(design, side, row, spans, grid), data_chain=name, data_side=side)
        for row, (name, spans) in zip(ROWS, chains, strict=False)
    )
    captions = _captions(design, grid) if side == "south" else ()
    return group(*_extensions(design, side, grid), *drawn, *captions)


def _captions(design: Design, grid: Grid) -> Iterator[str]:
    """What each chain counts, beside its row in the corner of the sheet."""
    words = (
        "between posts",
        "between walls",
        "over all",
        *(("the plot",) if design.outline else ()),
    )
    for row, word in zip(ROWS, words, strict=False):
        x, y = _place(design, "south", design.plot[0], row, grid)
        yield letters(x + 8, y + 2.6, word, 7.5, font_style="italic")


def _place(design: Design, side: Side, along: float, out: float, grid: Grid) -> tuple[float, float]:
    """A point on the sheet: ``along`` in cells, ``out`` from the plot's edge in user units."""
    width, depth = design.plot
    off = out / CELL
    return {
        "south": grid.at(along, -off),
        "north": grid.at(along, depth + off),
        "west": grid.at(-off, along),
        "east": grid.at(width + off, along),
    }[side]


def _chain(
    design: Design, side: Side, row: float, spans: Sequence[Span], grid: Grid
) -> Iterator[str]:
    """A line from end to end, a slash at each face, a number over each clear span."""
    ends = (spans[0][0], spans[-1][1])
    yield _line(
        *_place(design, side, ends[0], row, grid), *_place(design, side, ends[1], row, grid)
    )
    for at in sorted({n for span in spans for n in span}):
        x, y = _place(design, side, at, row, grid)
        yield _line(x - 2.6, y + 2.6, x + 2.6, y - 2.6, 1.1)
    for a, b in spans:
        x, y = _place(design, side, (a + b) / 2, row, grid)
        yield _number(x, y, side, b - a)


def _number(x: float, y: float, side: Side, length: int) -> str:
    style = {"text_anchor": "middle", "font_weight": "600"} | halo(PAPER)
    if side in ("south", "north"):
        return letters(x, y - 3, str(length), 9, **style)
    return upright(x - 3, y, str(length), 9, **style)


def _line(x0: float, y0: float, x1: float, y1: float, width: float | None = None) -> str:
    return tag("line", x1=x0, y1=y0, x2=x1, y2=y1, stroke=DIMENSION, stroke_width=width)


def _extensions(design: Design, side: Side, grid: Grid) -> Iterator[str]:
    """Thin lines from the outer faces and the walls of the court out to the chains."""
    house = house_rect(design)
    start = (
        CELL
        * {
            "south": -house.y0,
            "north": house.y1 - design.plot[1],
            "west": -house.x0,
            "east": house.x1 - design.plot[0],
        }[side]
    )
    for at in sorted(
        {n for span in walls(design, side).clear for n in span} | set(_ends(design, side))
    ):
        a = _place(design, side, at, start + 3, grid)
        b = _place(design, side, at, ROWS[1] + 4, grid)
        yield tag("line", x1=a[0], y1=a[1], x2=b[0], y2=b[1], stroke=FAINT, stroke_width=0.5)


def _ends(design: Design, side: Side) -> Span:
    spans = overall(design, side)
    return spans[0][0], spans[-1][1]
