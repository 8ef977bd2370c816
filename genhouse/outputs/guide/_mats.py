"""The plan of mats, without furniture, numbered as they are laid."""

from __future__ import annotations

from collections.abc import Iterator

from genhouse.core.axes import STEP
from genhouse.core.box import Rect
from genhouse.model.design import Design
from genhouse.outputs.plans._pen import (
    CELL,
    INK,
    PAPER,
    SOFT,
    STRAW,
    STRAW_EDGE,
    Grid,
    drawing,
    group,
    letters,
    tag,
)
from genhouse.outputs.setting_out import room_name
from genhouse.outputs.storeys import Storey, storeys

EDGE = 24


def mats(design: Design) -> tuple[tuple[int, Rect], ...]:
    """Each mat, of two pieces or one, in the order of laying: z, and the cells that it covers.

    The form of a piece names the side on which the other half of its mat lies.
    """
    found: dict[tuple[int, Rect], None] = {}
    for part in design.parts:
        if part.stage == "mats":
            z, rect = part.box.z0, part.box.rect
            dx, dy = STEP.get(part.form.rpartition(" ")[2], (0, 0))  # type: ignore[call-overload]
            other = Rect(rect.x0 + dx, rect.y0 + dy, rect.x1 + dx, rect.y1 + dy)
            found.setdefault((z, rect.hull(other)))
    return tuple(found)


def mat_plans(design: Design) -> tuple[tuple[str, str], ...]:
    """A drawing for each storey with mats: its name, and SVG."""
    laid = mats(design)
    found = []
    for storey in storeys(design):
        rects = {room.id: room for room in storey.rooms if room.indoor}
        here = [
            (n, rect)
            for n, (z, rect) in enumerate(laid, 1)
            if abs(z + 1 - storey.floor) <= 1
            and any(room.has(rect.x0, rect.y0) for room in rects.values())
        ]
        if here:
            found.append((storey.name, _plan(design, storey, here)))
    return tuple(found)


def _plan(design: Design, storey: Storey, here: list[tuple[int, Rect]]) -> str:
    width, depth = design.plot
    grid = Grid(EDGE, EDGE, depth)
    size = (CELL * width + 2 * EDGE, CELL * depth + 2 * EDGE)
    title = f"{storey.name}: mats in the order of laying"
    return drawing(
        title,
        size,
        tag("rect", width=size[0], height=size[1], fill=PAPER),
        group(*_rooms(design, storey, grid), fill="none", stroke=INK, stroke_width=1.1),
        group(*_mats(here, grid), fill=STRAW, stroke=STRAW_EDGE),
        scale=1.2,
        font_family="sans-serif",
    )


def _rooms(design: Design, storey: Storey, grid: Grid) -> Iterator[str]:
    for room in storey.rooms:
        if room.indoor:
            for rect in room.rects:
                yield grid.frame(rect).draw()
            corner = grid.frame(room.rects[0])
            name = f"{room.id} {room_name(design, room)}"
            yield letters(corner.x + 2, corner.y - 4, name, 7.5, fill=SOFT, stroke="none")


def _mats(here: list[tuple[int, Rect]], grid: Grid) -> Iterator[str]:
    for n, rect in here:
        frame = grid.frame(rect).inset(0.8)
        x, y = frame.middle
        yield frame.draw()
        yield letters(x, y + 3, str(n), 8, text_anchor="middle", fill=INK, stroke="none")
