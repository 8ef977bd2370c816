"""The light plan: how bright the floors are at night, in contours, with every lamp marked."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from genhouse.core.box import Rect
from genhouse.model.design import Design
from genhouse.model.part import Part
from genhouse.model.room import Room
from genhouse.outputs.plans._fittings import standing
from genhouse.outputs.plans._light_column import COLUMN, FLAME, GLASS, LUX, ROW, TONES, column, mark
from genhouse.outputs.plans._light_contours import Floats, Loop, Loops, Point, bands
from genhouse.outputs.plans._pen import (
    CARD,
    CELL,
    FAINT,
    INK,
    PAPER,
    SOFT,
    Frame,
    Grid,
    drawing,
    ground,
    group,
    halo,
    letters,
    num,
    tag,
    upright,
    width_of,
)
from genhouse.outputs.plans._walls import draw_walls
from genhouse.outputs.plans.light_field import RoomLight
from genhouse.outputs.storeys import Storey, storeys

EDGE, GAP = 26, 34
HEAD = 30


def light_plan(design: Design, field: Sequence[RoomLight]) -> str:
    """All storeys side by side, one SVG document; north is up, a cell is 20 user units.

    field: as of ``house_light``.
    """
    found = {light.room: light for light in field}
    width, depth = (CELL * n for n in design.plot)
    all_storeys = storeys(design)
    sheets = []
    for n, storey in enumerate(all_storeys):
        grid = Grid(EDGE + n * (width + GAP), EDGE + HEAD, design.plot[1])
        sheets.append(_storey(design, storey, grid, found))
    x = EDGE + len(all_storeys) * (width + GAP)
    high = max(HEAD + depth, 190 + ROW * (len(design.rooms) + 2 * len(all_storeys)))
    beside = group(*column(design, all_storeys, found, x, EDGE), fill=INK)
    page = Frame(0, 0, x + COLUMN + EDGE, high + 2 * EDGE)
    return _document(design, page, *sheets, beside)


def _document(design: Design, page: Frame, *inside: str) -> str:
    below = len(storeys(design)[0].rooms)
    words = (
        f"Light by lamps on the floors of {below} rooms and courts below and "
        f"{len(design.rooms) - below} above, in contours of equal lux."
    )
    return (
        drawing(
            f"House {design.recipe.seed}: light at night",
            (page.w, page.h),
            tag("desc", words),
            page.draw(fill=PAPER),
            group(*inside, font_family="sans-serif"),
            scale=1.2,
        )
        + "\n"
    )


def _storey(design: Design, storey: Storey, grid: Grid, found: dict[int, RoomLight]) -> str:
    rooms = storey.rooms
    least, lamps = design.recipe.brief.light, _lamps(design, storey)
    marks = [(p.box.rect, grid.frame(p.box.rect).inset(3)) for p in lamps]
    marks += [(p.box.rect, grid.frame(p.box.rect)) for p in standing(design, storey)]
    return group(
        letters(grid.left, grid.top - 14, storey.name, 12, fill=INK),
        ground(design.land, grid, fill="none", stroke=FAINT, stroke_width=0.8),
        group(*(part for room in rooms for part in _floor(room, found[room.id], least, grid))),
        draw_walls(design, storey, grid),
        group(*(mark(p.box.rect, grid) for p in lamps), stroke=FLAME, stroke_width=0.8, fill=GLASS),
        group(
            *(_label(room, found[room.id], marks, grid) for room in rooms),
            fill=INK,
            text_anchor="middle",
            **halo(CARD),
        ),
    )


def _floor(room: Room, light: RoomLight, least: int, grid: Grid) -> Iterator[str]:
    """Bands from the darkest up, each with a fine line, and a strong one at what the brief asks for."""
    for rect in room.rects:
        field = _finer(_field(rect, light))
        drawn = [(tone, bands(field, low)) for low, tone in zip(LUX[1:], TONES[1:], strict=True)]
        yield grid.frame(rect).draw(fill=TONES[0])
        for tone, loops in drawn:
            if loops:
                yield tag("path", d=_area(loops, rect, grid), fill=tone, fill_rule="evenodd")
        if lines := "".join(_lines(loops, rect, grid) for _, loops in drawn):
            yield tag("path", d=lines, fill="none", stroke=INK, stroke_width=0.4, opacity=0.4)
        if not room.indoor:
            yield grid.frame(rect).draw(fill="none", stroke=SOFT, stroke_width=0.5)
        elif line := _lines(bands(field, least), rect, grid):
            yield tag("path", d=line, fill="none", stroke=FLAME, stroke_width=0.9)


def _field(rect: Rect, light: RoomLight) -> Floats:
    """Lux by cell [W, D]; where one cannot stand, carried over from beside."""
    amount = np.full((rect.width, rect.depth), np.nan)
    for (x, y, _), lux in zip(light.cells.tolist(), light.lux.tolist(), strict=True):
        if rect.has(x, y):
            amount[x - rect.x0, y - rect.y0] = lux
    if np.isnan(amount).all():
        return np.zeros_like(amount)
    while np.isnan(amount).any():
        amount = _carried(amount)
    return amount


def _carried(amount: Floats) -> Floats:
    """One step further: the mean of the neighbours that are known."""
    wide = np.pad(amount, 1, constant_values=np.nan)
    beside = np.stack((wide[2:, 1:-1], wide[:-2, 1:-1], wide[1:-1, 2:], wide[1:-1, :-2]))
    known = ~np.isnan(beside)
    number = known.sum(axis=0)
    mean = np.where(known, beside, 0).sum(axis=0) / np.maximum(number, 1)
    return np.asarray(np.where(np.isnan(amount) & (number > 0), mean, amount))


def _finer(field: Floats) -> Floats:
    """Values in the quarters of each cell, between those in the middles: [2 W, 2 D]."""
    for axis in (0, 1):
        wide = np.moveaxis(field, axis, 0)
        low, high = np.concatenate((wide[:1], wide[:-1])), np.concatenate((wide[1:], wide[-1:]))
        both = np.stack((3 * wide + low, 3 * wide + high), axis=1) / 4
        field = np.moveaxis(both.reshape(-1, *wide.shape[1:]), 0, axis)
    return np.asarray(field)


def _area(loops: Loops, rect: Rect, grid: Grid) -> str:
    return "".join("M" + "L".join(_places(loop, rect, grid)) + "Z" for loop in loops)


def _lines(loops: Loops, rect: Rect, grid: Grid) -> str:
    """The loops without what runs along the rectangle's edge."""
    size, drawn = (2 * rect.width, 2 * rect.depth), []
    for loop in loops:
        places = _places(loop, rect, grid)
        down = False
        for n, point in enumerate(loop):
            before = loop[n - 1]
            if not _edge(before, point, size):
                drawn.append(("L" if down else f"M{places[n - 1]}L") + places[n])
            down = not _edge(before, point, size)
    return "".join(drawn)


def _places(loop: Loop, rect: Rect, grid: Grid) -> list[str]:
    places = (grid.at(rect.x0 + x / 2, rect.y0 + y / 2) for x, y in loop)
    return [f"{num(x)} {num(y)}" for x, y in places]


def _edge(a: Point, b: Point, size: tuple[int, int]) -> bool:
    """Whether a step runs along the rectangle's edge."""
    return any(a[n] == b[n] and a[n] in (0, size[n]) for n in (0, 1))


def _lamps(design: Design, storey: Storey) -> list[Part]:
    """Whatever gives light between a storey's floor and the next."""
    shine = design.palette.made("lumens")
    return [p for p in design.parts if p.role in shine and storey.has(p)]


def _label(room: Room, light: RoomLight, marks: list[tuple[Rect, Frame]], grid: Grid) -> str:
    """Its number, and the least light on its floor; beside lamps and posts, not over them."""
    rect = max(room.rects, key=lambda r: r.area)
    frame = grid.frame(rect)
    least = f"{light.lux.min():.1f}" if light.lux.size else "–"
    text = f"{room.id} · {least} lx"
    here = [mark for (x, y, _, _), mark in marks if rect.has(x, y)]
    long = width_of(text, 8)
    lies = frame.w >= long + 6
    w, h = (long, 9.0) if lies else (9.0, long)
    across, down = _clear(frame, w, h, here).middle
    return letters(across, down + 3, text, 8) if lies else upright(across + 3, down, text, 8)


def _clear(frame: Frame, w: float, h: float, marks: list[Frame]) -> Frame:
    """A box in the frame that covers no mark, as near to the middle as may be; else its middle."""
    x, y = frame.middle
    across, down = max(0, int(frame.w - w) // 6), max(0, int(frame.h - h) // 6)
    moves = sorted(
        (
            (i, j)
            for i in range(-across // 2, across // 2 + 1)
            for j in range(-down // 2, down // 2 + 1)
        ),
        key=lambda m: (m[0] * m[0] + m[1] * m[1], m),
    )
    boxes = [Frame(x - w / 2 + 6 * i, y - h / 2 + 6 * j, w, h) for i, j in moves]
    bare = (box for box in boxes if not any(box.over(mark) for mark in marks))
    return next(bare, boxes[0])
