"""The yards of a plan: what bounds them, what stands in them, and what they are for."""

from __future__ import annotations

from collections.abc import Iterator

from genhouse.model.design import Design
from genhouse.model.palette import Duty
from genhouse.outputs.plans._ground import Cell, cells_of, outline, parts_of
from genhouse.outputs.plans._pen import CARD, INK, POCHE, SOFT, STONE, Grid, group, together

FENCE = "#c4a981"


def draw_yards(design: Design, grid: Grid) -> str:
    """Boundary and gates, sheds and stacked wood, washing and what else stands about."""
    if not design.yards:
        return ""

    def cells(*duties: Duty) -> set[Cell]:
        return cells_of(parts_of(design, "court", *duties))

    leaves = cells_of(p for p in design.parts if p.stage == "court" and p.form.startswith("door"))
    walls, fences, stakes, sheds = cells("bounds"), cells("fences"), cells("stakes"), cells("sheds")
    bound = fences | leaves | stakes
    return together(
        group(*(grid.frame((x, y, x + 1, y + 1)).draw() for x, y in sorted(walls)), fill=POCHE),
        group(*(grid.line(*edge) for edge in outline(walls)), stroke=INK, stroke_width=0.9),
        group(*(_thin(c, bound, grid) for c in sorted(fences)), fill=FENCE),
        group(*(_thin(c, sheds, grid) for c in sorted(sheds)), fill=FENCE),
        group(*(_ends(c, grid) for c in sorted(cells("fuel"))), fill=CARD, stroke=SOFT),
        group(*_lines(cells("lines"), cells("hung"), grid), stroke=SOFT, stroke_width=1.4),
        group(*(_thing(c, grid) for c in sorted(cells("wares"))), fill=STONE, stroke=SOFT),
        group(
            *(grid.frame((x, y, x + 1, y + 1)).inset(6).draw() for x, y in sorted(stakes)), fill=INK
        ),
    )


def _thin(cell: Cell, bound: set[Cell], grid: Grid) -> str:
    """What is thin and bounds, along the cells beside it that bound too."""
    x, y = cell
    level = (x - 1, y) in bound or (x + 1, y) in bound
    ends = (x, y + 0.38, x + 1, y + 0.62) if level else (x + 0.38, y, x + 0.62, y + 1)
    return grid.frame(ends).draw(stroke=INK, stroke_width=0.6)


def _ends(cell: Cell, grid: Grid) -> str:
    """Split wood, seen on end."""
    x, y = cell
    spots = ((0.27, 0.3), (0.73, 0.3), (0.5, 0.7))
    return "".join(grid.circle(x + a, y + b, 0.2) for a, b in spots)


def _lines(poles: set[Cell], cloth: set[Cell], grid: Grid) -> Iterator[str]:
    """A line of washing as it runs, with a stroke across wherever something hangs."""
    for x, y in sorted(poles | cloth):
        level = not {(x - 1, y), (x + 1, y)}.isdisjoint(poles | cloth)
        a, b = x + 0.5, y + 0.5
        yield grid.line(x, b, x + 1, b) if level else grid.line(a, y, a, y + 1)
        if (x, y) in cloth:
            yield grid.line(a, b - 0.3, a, b + 0.3) if level else grid.line(a - 0.3, b, a + 0.3, b)


def _thing(cell: Cell, grid: Grid) -> str:
    x, y = cell
    return grid.circle(x + 0.5, y + 0.5, 0.3, stroke_width=0.7)
