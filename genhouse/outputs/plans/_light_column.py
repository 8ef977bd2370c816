"""Beside the light plan: its key, and the figures of each room."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from genhouse.core.box import Rect
from genhouse.model.design import Design
from genhouse.model.room import Room
from genhouse.outputs.plans._pen import FAINT, INK, SOFT, Frame, Grid, group, letters, tag
from genhouse.outputs.plans.light_field import RoomLight
from genhouse.outputs.setting_out import room_name
from genhouse.outputs.storeys import Storey

LUX = (0, 1, 2, 5, 10, 20, 40, 80)
"""Where one band of the plan ends and the next begins."""
TONES = (
    "#a9adb8",
    "#bdbcba",
    "#d2ccbb",
    "#e6dab6",
    "#f4e1a3",
    "#f8d57c",
    "#f6c253",
    "#eea93a",
)
FLAME, GLASS = "#b4621f", "#fff6da"
COLUMN, ROW = 262, 13


def column(
    design: Design, storeys: Sequence[Storey], found: dict[int, RoomLight], x: float, y: float
) -> Iterator[str]:
    """Title, key, and the figures of each room."""
    brief = design.recipe.brief
    yield letters(x, y + 16, f"House {design.recipe.seed}", 19, font_weight="600")
    yield letters(x, y + 36, "Light at night, by lamps alone", 12, fill=SOFT)
    yield from _key(x, y + 58, brief.light)
    y += 132
    for storey in storeys:
        yield from _heading(x, y, storey.name)
        for room in storey.rooms:
            y += ROW
            yield from _row(x, y + 6, room, room_name(design, room), found[room.id])
        y += 2 * ROW + 4
    for n, line in enumerate(_words(design, found)):
        yield letters(x, y + 2 + 11 * n, line, 8, fill=SOFT)


def _words(design: Design, found: dict[int, RoomLight]) -> tuple[str, ...]:
    lumens = {role: material.lumens for role, material in design.palette.roles}
    placed = sum(p.stage == "lamps" and lumens[p.role] > 0 for p in design.parts)
    others = sum(light.lamps for light in found.values()) - placed
    fewest = sum(n for _, n in design.fewest_lamps)
    return (
        f"{placed} lamps hung and bracketed for light, where at least",
        f"{fewest} are needed, beside {others} that furnish rooms and gardens.",
        "Straight light on the level of one's feet in the middle of",
        "each cell, a cell for a metre; what walls throw back",
        "comes on top.",
    )


def _key(x: float, y: float, least: int) -> Iterator[str]:
    step = COLUMN / len(LUX)
    for n, (low, tone) in enumerate(zip(LUX, TONES, strict=True)):
        yield Frame(x + n * step, y, step, 14).draw(fill=tone, stroke=INK, stroke_width=0.35)
        yield letters(x + n * step, y + 25, str(low), 8, fill=SOFT, text_anchor="middle")
    yield letters(x + COLUMN, y + 25, "lux", 8, fill=SOFT, text_anchor="end")
    flame = tag("line", x1=x, y1=y + 38, x2=x + 20, y2=y + 38, stroke=FLAME, stroke_width=1.1)
    yield flame + letters(x + 26, y + 41, f"{least} lux, which the brief asks for", 8, fill=SOFT)
    yield group(
        mark(Rect(0, 0, 1, 1), Grid(x + 164, y + 28, 1)),
        stroke=FLAME,
        stroke_width=0.8,
        fill=GLASS,
    )
    yield letters(x + 188, y + 41, "lamp", 8, fill=SOFT)


def _heading(x: float, y: float, word: str) -> Iterator[str]:
    yield letters(x, y, word, 10.5, font_weight="600")
    for text, right in (("lamps", 138), ("least", 178), ("mean", 218), ("most lx", COLUMN)):
        yield letters(x + right, y, text, 8, text_anchor="end", fill=SOFT)
    yield tag("line", x1=x, y1=y + 5, x2=x + COLUMN, y2=y + 5, stroke=FAINT, stroke_width=0.8)


def _row(x: float, y: float, room: Room, name: str, light: RoomLight) -> Iterator[str]:
    yield letters(x + 10, y, str(room.id), 8.5, text_anchor="end", fill=SOFT)
    yield letters(x + 18, y, name, 8.5)
    lux = light.lux if light.lux.size else np.zeros(1)
    figures = (str(light.lamps), *(f"{v:.1f}" for v in (lux.min(), lux.mean(), lux.max())))
    for text, right in zip(figures, (138, 178, 218, COLUMN), strict=True):
        yield letters(x + right, y, text, 8.5, text_anchor="end")


def mark(cell: Rect, grid: Grid) -> str:
    """A round flame with four short rays."""
    x, y = cell.x0 + 0.5, cell.y0 + 0.5
    rays = (
        grid.line(x + a * 0.24, y + b * 0.24, x + a * 0.36, y + b * 0.36)
        for a, b in ((1, 0), (-1, 0), (0, 1), (0, -1))
    )
    return grid.circle(x, y, 0.16) + "".join(rays)
