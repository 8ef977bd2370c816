"""Lettering inside a plan: the name and area of each room, where it covers least; else a number."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from genhouse.core.axes import STEP, opposite
from genhouse.core.box import Rect
from genhouse.model.design import Design
from genhouse.model.room import Room
from genhouse.outputs._plan_fittings import obstacles
from genhouse.outputs._plan_pen import CARD, DIMENSION, INK, SOFT, Frame, Grid, group, letters, upright, width_of
from genhouse.outputs._setting_out import on_level, room_name

SIZES = (9.5, 8.5, 7.5)
LINE = 1.15
"""Line to line, in parts of the size."""
BADGE = 7.5
"""Radius of a room's number."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """Lines of lettering set in a box; where ``badge``, a number in a circle."""

    lines: tuple[str, ...]
    size: float
    box: Frame
    badge: bool = False


def draw_labels(design: Design, level: int, grid: Grid) -> str:
    """The lettering of every room of a storey."""
    hard, soft = obstacles(design, level)
    hard_frames = tuple(grid.frame(r) for r in hard)
    soft_frames = tuple(grid.frame(r) for r in soft)
    drawn = []
    for room in on_level(design, level):
        if room.kind == "veranda":
            drawn.append(_along(room, grid))
        else:
            drawn.append(_set(place(room, grid, hard_frames, soft_frames)))
    if level > 1:
        drawn += [_below(court, grid) for court in design.courts]
    halo = {"paint_order": "stroke", "stroke": CARD, "stroke_width": 2.6, "stroke_linejoin": "round"}
    return group(*drawn, fill=INK, text_anchor="middle", **halo)


def place(room: Room, grid: Grid, hard: tuple[Frame, ...], soft: tuple[Frame, ...]) -> Label:
    """Full lettering clear of everything, smaller lettering, a number clear of everything; last,
    whatever covers least."""
    frame = grid.frame(room.rect)
    hard = tuple(f for f in hard if f.over(frame))
    soft = tuple(f for f in soft if f.over(frame))
    options = tuple(_options(room))
    best: tuple[float, Label] | None = None
    for lines, size, badge in options:
        for box in _spots(frame, *_extent(lines, size, badge)):
            if any(box.over(f) for f in hard):
                continue
            covered = sum(box.over(f) for f in soft)
            if not covered:
                return Label(lines=lines, size=size, box=box, badge=badge)
            if best is None or covered < best[0]:
                best = (covered, Label(lines=lines, size=size, box=box, badge=badge))
    if best is None:
        lines, size, badge = options[-1]
        return Label(lines=lines, size=size, box=_centred(frame, *_extent(lines, size, badge)), badge=badge)
    return best[1]


def _options(room: Room) -> Iterator[tuple[tuple[str, ...], float, bool]]:
    name = room_name(room)
    area = f"{room.area} cells"
    for size in SIZES:
        yield (name, area), size, False
        if " " in name:
            yield (*name.split(" "), area), size, False
    yield (str(room.id),), SIZES[1], True


def _extent(lines: tuple[str, ...], size: float, badge: bool) -> tuple[float, float]:
    if badge:
        return (2 * BADGE + 1, 2 * BADGE + 1)
    return (max(width_of(line, size) for line in lines), size * LINE * len(lines))


def _centred(frame: Frame, w: float, h: float) -> Frame:
    x, y = frame.middle
    return Frame(x - w / 2, y - h / 2, w, h)


def _spots(frame: Frame, w: float, h: float) -> Iterator[Frame]:
    """Boxes inside a room, those nearest its middle first."""
    inner = frame.inset(1)
    across, down = int((inner.w - w) // 2.5), int((inner.h - h) // 2.5)
    if inner.w < w or inner.h < h:
        return
    middle = _centred(frame, w, h)
    steps = [(i, j) for i in range(-(across // 2), across // 2 + 1) for j in range(-(down // 2), down // 2 + 1)]
    steps.sort(key=lambda s: (s[0] * s[0] + s[1] * s[1], s))
    for i, j in steps:
        yield Frame(middle.x + 2.5 * i, middle.y + 2.5 * j, w, h)


def _set(label: Label) -> str:
    x, y = label.box.middle
    if label.badge:
        ring = Frame(x - BADGE, y - BADGE, 2 * BADGE, 2 * BADGE).draw(
            rx=BADGE, fill=CARD, stroke=INK, stroke_width=0.8
        )
        return ring + letters(x, y + 0.36 * label.size, label.lines[0], label.size, stroke="none")
    step = LINE * label.size
    top = label.box.y + 0.8 * label.size
    *names, area = label.lines
    rows = [letters(x, top + k * step, n, label.size, font_weight="600") for k, n in enumerate(names)]
    rows.append(letters(x, top + len(names) * step, area, label.size - 1, fill=SOFT))
    return "".join(rows)


def _along(room: Room, grid: Grid) -> str:
    """A veranda's name runs along its longest strip."""
    strip = max(room.rects, key=lambda r: (r.area, r))
    x, y = grid.frame(strip).middle
    text = f"{room_name(room)}  {room.area} cells"
    if strip.width >= strip.depth:
        return letters(x, y + 2.7, text, 7.5)
    return upright(x + 2.7, y, text, 7.5)


def _below(court: Rect, grid: Grid) -> str:
    x, y = grid.frame(court).middle
    return letters(x, y - 3, "Court Below", 9.5, font_weight="600") + letters(x, y + 9, "open to the sky", 8.5, fill=SOFT)


def draw_gate(design: Design, grid: Grid) -> str:
    """An arrow into the house where a visitor stands, and the word beside it."""
    x, y, _ = design.gate
    dx, dy = STEP[opposite(design.gate_side)]
    mx, my = x + 0.5, y + 0.5
    tip = (mx + 0.4 * dx, my + 0.4 * dy)
    back = (mx - 0.3 * dx, my - 0.3 * dy)
    head = [tip, (back[0] - 0.3 * dy, back[1] + 0.3 * dx), (back[0] + 0.3 * dy, back[1] - 0.3 * dx)]
    arrow = grid.polygon(head, fill=DIMENSION)
    px, py = grid.at(mx + 1.9 * abs(dy), my + 1.9 * abs(dx))
    style = {"fill": DIMENSION, "font_weight": "600", "text_anchor": "middle"}
    word = letters(px, py + 3, "Gate", 8.5, **style) if dy else upright(px + 3, py, "Gate", 8.5, **style)
    return arrow + word
