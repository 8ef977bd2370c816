"""Dimensioned floor plans, one a storey, as drawings in SVG."""

from __future__ import annotations

from genhouse.model.design import Design
from genhouse.outputs.plans._dimensions import MARGIN, draw_dimensions
from genhouse.outputs.plans._fittings import draw_fittings, draw_lamps, draw_stair
from genhouse.outputs.plans._garden import draw_garden
from genhouse.outputs.plans._ground import draw_eaves, draw_floors, draw_plot, draw_void
from genhouse.outputs.plans._labels import draw_entrances, draw_labels
from genhouse.outputs.plans._pen import CELL, PAPER, Frame, Grid, group, num, tag
from genhouse.outputs.plans._sheet import COLUMN, column_height, draw_column, storey_name
from genhouse.outputs.plans._walls import draw_roof_timbers, draw_walls
from genhouse.outputs.setting_out import floor_of, levels

EDGE = 22
"""Free paper round the drawing."""


def plans(design: Design) -> tuple[str, ...]:
    """One SVG document a storey, from below; north is up, a cell is 20 user units."""
    return tuple(plan(design, level) for level in levels(design))


def plan(design: Design, level: int) -> str:
    """The plan of one storey (1 below, 2 above).  Raises ValueError where there is none."""
    if level not in levels(design):
        raise ValueError(f"level: the house has no storey {level}")
    width, depth = (CELL * n for n in design.plot)
    grid = Grid(EDGE + MARGIN, EDGE + MARGIN, design.plot[1])
    high = max(depth + 2 * MARGIN, column_height(design, level))
    column = Frame(EDGE + width + 2 * MARGIN + 14, EDGE, COLUMN, high)
    page = Frame(0, 0, column.x + COLUMN + EDGE, high + 2 * EDGE)
    return _document(
        design, level, page, _drawing(design, level, grid), draw_column(design, level, column)
    )


def _drawing(design: Design, level: int, grid: Grid) -> str:
    """From the ground up, so that what is cut lies over what is seen."""
    # The upper storey is cut through its low outer walls, the lower one through its windows.
    z = floor_of(design, level) + (1 if level == 1 else 0)
    ground = draw_garden(design, grid) if level == 1 else draw_void(design, grid)
    return "\n".join(
        (
            draw_plot(design, level, grid),
            ground,
            draw_floors(design, level, grid),
            draw_eaves(design, grid),
            draw_fittings(design, level, grid),
            draw_roof_timbers(design, grid) if level > 1 else "",
            draw_stair(design, level, grid),
            draw_walls(design, level, z, grid),
            draw_lamps(design, level, grid),
            draw_entrances(design, grid) if level == 1 else "",
            draw_labels(design, level, grid),
            draw_dimensions(design, level, grid),
        )
    )


def _document(design: Design, level: int, page: Frame, *inside: str) -> str:
    title = f"House {design.recipe.seed}: {storey_name(design, level)}"
    rooms = sum(r.level == level and r.indoor for r in design.rooms)
    width, depth = design.plot
    words = f"Dimensioned floor plan with {rooms} rooms; the plot is {width} by {depth} cells."
    drawing = group(*inside, font_family="sans-serif")
    return (
        tag(
            "svg",
            "\n".join((tag("title", title), tag("desc", words), page.draw(fill=PAPER), drawing)),
            xmlns="http://www.w3.org/2000/svg",
            viewBox=f"0 0 {num(page.w)} {num(page.h)}",
            width=num(1.4 * page.w),
            height=num(1.4 * page.h),
            role="img",
        )
        + "\n"
    )
