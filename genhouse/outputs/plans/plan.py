"""Dimensioned floor plans, one a storey, as drawings in SVG."""

from __future__ import annotations

from genhouse.model.design import Design
from genhouse.outputs.plans._dimensions import draw_dimensions, margin
from genhouse.outputs.plans._fittings import draw_fittings, draw_lamps, draw_stair
from genhouse.outputs.plans._garden import draw_garden
from genhouse.outputs.plans._ground import draw_eaves, draw_floors, draw_plot, draw_void
from genhouse.outputs.plans._labels import draw_entrances, draw_labels
from genhouse.outputs.plans._pen import CELL, PAPER, Frame, Grid, drawing, group, tag, together
from genhouse.outputs.plans._sheet import COLUMN, column_height, draw_column, numbered
from genhouse.outputs.plans._walls import draw_roof_timbers, draw_walls
from genhouse.outputs.plans._yards import draw_yards
from genhouse.outputs.storeys import Storey, storeys

EDGE = 22
"""Free paper round the drawing."""


def plans(design: Design) -> tuple[str, ...]:
    """One SVG document a storey, from below; north is up, a cell is 20 user units."""
    return tuple(_plan(design, storey) for storey in storeys(design))


def plan(design: Design, level: int) -> str:
    """The plan of one storey, from 1.  Raises ValueError where there is none."""
    for storey in storeys(design):
        if storey.level == level:
            return _plan(design, storey)
    raise ValueError(f"level: the house has no storey {level}")


def _plan(design: Design, storey: Storey) -> str:
    width, depth = (CELL * n for n in design.plot)
    chains = margin(design)
    grid = Grid(EDGE + chains, EDGE + chains, design.plot[1])
    high = max(depth + 2 * chains, column_height(design, storey))
    column = Frame(EDGE + width + 2 * chains + 14, EDGE, COLUMN, high)
    page = Frame(0, 0, column.x + COLUMN + EDGE, high + 2 * EDGE)
    return _document(
        design, storey, page, _drawing(design, storey, grid), draw_column(design, storey, column)
    )


def _drawing(design: Design, storey: Storey, grid: Grid) -> str:
    """From the ground up, so that what is cut lies over what is seen."""
    return together(
        draw_plot(design, storey, grid),
        draw_garden(design, grid) if storey.lowest else draw_void(design, grid),
        draw_yards(design, grid) if storey.lowest else "",
        draw_floors(design, storey, grid),
        draw_eaves(design, grid),
        draw_fittings(design, storey, grid),
        draw_roof_timbers(design, storey, grid),
        draw_stair(design, storey, grid),
        draw_walls(design, storey, grid),
        draw_lamps(design, storey, grid),
        draw_entrances(design, grid) if storey.lowest else "",
        draw_labels(design, storey, grid),
        draw_dimensions(design, storey, grid),
    )


def _document(design: Design, storey: Storey, page: Frame, *inside: str) -> str:
    title = f"House {design.recipe.seed}: {numbered(storey)}"
    rooms = sum(r.indoor for r in storey.rooms)
    width, depth = design.plot
    words = f"Dimensioned floor plan with {rooms} rooms; the plot is {width} by {depth} cells."
    return (
        drawing(
            title,
            (page.w, page.h),
            tag("desc", words),
            page.draw(fill=PAPER),
            group(*inside, font_family="sans-serif"),
            scale=1.4,
        )
        + "\n"
    )
