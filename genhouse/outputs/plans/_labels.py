"""Lettering inside a plan: the number of each fitting where it stands, then the name and area of each room,
where they cover least; else its number."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from genhouse.core.axes import FLANKS, STEP, Side, opposite
from genhouse.core.box import Rect
from genhouse.model.design import Design
from genhouse.model.room import OUTER, OUTSIDE, Room
from genhouse.model.yard import Yard
from genhouse.outputs.plans._fittings import lamps_on, obstacles
from genhouse.outputs.plans._numbers import Number, extent, numbers_of
from genhouse.outputs.plans._pen import (
    CARD,
    CELL,
    DIMENSION,
    INK,
    SOFT,
    Frame,
    Grid,
    group,
    halo,
    letters,
    upright,
    width_of,
)
from genhouse.outputs.setting_out import room_name
from genhouse.outputs.storeys import Storey

SIZES = (9.5, 8.5, 7.5)
LINE = 1.15
"""Line to line, in parts of the size."""
BADGE = 7.5
"""Radius of a room's number."""
FINE = 8
"""Places for lettering are tried on a raster of so many to a cell."""

Option = tuple[tuple[str, ...], float, bool]
"""Lines, their size, and whether they are a number in a circle."""
Counts = npt.NDArray[np.int64]
Mask = npt.NDArray[np.bool_]


class Label(Struct, frozen=True, kw_only=True):
    """Lines of lettering set in a box; where ``badge``, a number in a circle."""

    lines: tuple[str, ...]
    size: float
    box: Frame
    badge: bool = False


class Cover(Struct, frozen=True):
    """Running sums of what lettering must not cover and of what it should rather not."""

    hard: Counts
    soft: Counts


def draw_labels(design: Design, storey: Storey, grid: Grid) -> str:
    """The lettering of every room of a storey."""
    hard, soft = (_marked(design.plot, rects) for rects in obstacles(design, storey))
    numbers, taken = _numbered(design, storey, grid)
    cover = Cover(_sums(hard | taken), _sums(soft))
    last = Cover(_sums(taken), _sums(hard | soft))
    drawn = [
        _along(room, room_name(design, room), grid, last)
        if room.kind in ("veranda", OUTER, "gallery")
        else _set(
            place(room.rect, _options(room, room_name(design, room), storey), grid, cover)
            or place(room.rect, [_badge(room)], grid, last)
            or _number(room, grid)
        )
        for room in storey.rooms
    ]
    drawn += [number.draw() for number in numbers]
    if storey.lowest:
        put = (place(yard.rects[0], _words(yard), grid, cover) for yard in design.yards)
        drawn += [_set(label) for label in put if label]
    if not storey.lowest:
        drawn += [_below(court, grid) for court in design.courts]
    return group(*drawn, fill=INK, text_anchor="middle", **halo(CARD))


def _numbered(design: Design, storey: Storey, grid: Grid) -> tuple[list[Number], Mask]:
    """The number of each fitting, in its middle unless a lamp hangs or another stands there; and where they
    stand."""
    here, known = {room.id for room in storey.rooms}, numbers_of(design)
    taken = _marked(design.plot, ())
    cover = Cover(_sums(taken), _sums(_marked(design.plot, lamps_on(design, storey))))
    found: list[Number] = []
    for placed in design.placed:
        if placed.room in here:
            text = str(known[placed.name])
            w, h = extent(text)
            beside = (p.cells for p in design.placed if p.room == placed.room)
            inner = next((c for c in beside if c != placed.cells and placed.cells.holds(c)), None)
            own = max(placed.cells.less(inner), key=lambda r: r.area, default=placed.cells)
            spot = _spot(own, w, h, cover)
            assert spot, "a number is smaller than a cell"
            _, x, y = spot
            found.append(Number(text, *Frame(*grid.at(x, y), w, -h).middle))
            (i, j), (m, n) = (int(FINE * x), int(FINE * y)), (w * FINE / CELL, h * FINE / CELL)
            taken[i : i + int(m) + 2, j : j + int(n) + 2] = True
    return found, taken


def _marked(plot: tuple[int, int], rects: Iterable[Rect]) -> Mask:
    """The places of the raster that some rectangles take, and those next to them."""
    marked = np.zeros((FINE * plot[0], FINE * plot[1]), dtype=bool)
    for x0, y0, x1, y1 in rects:
        marked[max(0, FINE * x0 - 1) : FINE * x1 + 1, max(0, FINE * y0 - 1) : FINE * y1 + 1] = True
    return marked


def _sums(marked: Mask) -> Counts:
    """sums[i, j]: marked places of the raster with x < i and y < j (a summed-area table)."""
    sums = np.zeros((marked.shape[0] + 1, marked.shape[1] + 1), dtype=np.int64)
    sums[1:, 1:] = marked.cumsum(axis=0, dtype=np.int64).cumsum(axis=1)
    return sums


def place(ground: Rect, options: Iterable[Option], grid: Grid, cover: Cover) -> Label | None:
    """Full lettering clear of everything, smaller lettering, a number clear of everything; last,
    whatever covers least; None where none of them finds a place."""
    best: tuple[int, Label] | None = None
    for lines, size, badge in options:
        w, h = _extent(lines, size, badge)
        found = _spot(ground, w, h, cover)
        if found is None:
            continue
        covered, x, y = found
        left, top = grid.at(x, y)
        label = Label(lines=lines, size=size, box=Frame(left, top - h, w, h), badge=badge)
        if not covered:
            return label
        if best is None or covered < best[0]:
            best = (covered, label)
    return best[1] if best is not None else None


def _number(room: Room, grid: Grid) -> Label:
    x, y = grid.frame(room.rect).middle
    box = Frame(x - BADGE, y - BADGE, 2 * BADGE, 2 * BADGE)
    return Label(lines=(str(room.id),), size=SIZES[1], box=box, badge=True)


def _options(room: Room, name: str, storey: Storey) -> Iterator[Option]:
    """A name over its area, with how far its floor lies from that of most of the storey."""
    off = room.floor - storey.floor if room.indoor else 0
    yield from _told(name, room.area, f", {'+' if off > 0 else '−'}{abs(off)}" if off else "")
    yield _badge(room)


def _badge(room: Room) -> Option:
    return (str(room.id),), SIZES[1], True


def _words(yard: Yard) -> Iterator[Option]:
    return _told(yard.use.title(), yard.area)


def _told(name: str, area: int, level: str = "") -> Iterator[Option]:
    """A name over its area, ever smaller."""
    for size in SIZES:
        yield (name, f"{area} cells{level}"), size, False
        if " " in name:
            yield (*name.split(" "), f"{area} cells{level}"), size, False


def _extent(lines: tuple[str, ...], size: float, badge: bool) -> tuple[float, float]:
    if badge:
        return (2 * BADGE + 1, 2 * BADGE + 1)
    return (max(width_of(line, size) for line in lines), size * LINE * len(lines))


def _spot(rect: Rect, w: float, h: float, cover: Cover) -> tuple[int, float, float] | None:
    """Where a box covers least, and of such places the one nearest the room's middle: how much it
    covers, and its south-west corner in cells."""
    wide, high = (-int(-n * FINE // CELL) for n in (w, h))
    xs = np.arange(FINE * rect.x0, FINE * rect.x1 - wide + 1)
    ys = np.arange(FINE * rect.y0, FINE * rect.y1 - high + 1)
    if not (xs.size and ys.size):
        return None

    def within(sums: Counts) -> Counts:
        near = sums[xs[0] : xs[-1] + wide + 1, ys[0] : ys[-1] + high + 1]
        strips = near[wide:] - near[:-wide]
        return strips[:, high:] - strips[:, :-high]

    off = np.add.outer(
        (2 * xs + wide - FINE * (rect.x0 + rect.x1)) ** 2,
        (2 * ys + high - FINE * (rect.y0 + rect.y1)) ** 2,
    )
    covered = within(cover.soft)
    cost = covered * (1 << 32) + off
    cost[within(cover.hard) > 0] = 1 << 62
    i, j = divmod(int(cost.argmin()), ys.size)
    if cost[i, j] == 1 << 62:
        return None
    # The box is centred in the raster places that it was tried on.
    x = (xs[i] + (wide - w * FINE / CELL) / 2) / FINE
    y = (ys[j] + (high - h * FINE / CELL) / 2) / FINE
    return int(covered[i, j]), float(x), float(y)


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
    rows = [
        letters(x, top + k * step, name, label.size, font_weight="600")
        for k, name in enumerate(names)
    ]
    rows.append(letters(x, top + len(names) * step, area, max(6.8, label.size - 1), fill=SOFT))
    return "".join(rows)


def _along(room: Room, name: str, grid: Grid, cover: Cover) -> str:
    """A veranda's or a gallery's name runs along its longest strip, clear of what stands there."""
    strip = max(room.rects, key=lambda r: (r.area, r))
    flat = strip.width >= strip.depth
    x, y = grid.frame(strip).middle
    text = name
    for line in (f"{name}, {room.area} cells", name):
        extents = (width_of(line, 7.5), 9.0)
        w, h = extents if flat else extents[::-1]
        if spot := _spot(strip, w, h, cover):
            text = line
            x, y = Frame(*grid.at(*spot[1:]), w, -h).middle
            break
    if flat:
        return letters(x, y + 2.7, text, 7.5)
    return upright(x + 2.7, y, text, 7.5)


def _below(court: Rect, grid: Grid) -> str:
    x, y = grid.frame(court).middle
    name = letters(x, y - 3, "Court Below", 9.5, font_weight="600")
    return name + letters(x, y + 9, "open to the sky", 8.5, fill=SOFT)


def draw_entrances(design: Design, grid: Grid) -> str:
    """An arrow where a visitor comes in and at the second door, and the words beside them."""
    gx, gy, _ = design.gate
    arrows = [_arrow(gx, gy, opposite(design.gate_side), "Gate", design.plot, grid)]
    for s in design.segments:
        if s.opening == "entrance" and s.way and s.boundary == "outer":
            side = FLANKS[s.axis][s.low == OUTSIDE]
            dx, dy = STEP[opposite(side)]
            x, y = s.way.x0 + 2 * dx, s.way.y0 + 2 * dy
            if abs(x - gx) + abs(y - gy) > 2:
                arrows.append(_arrow(x, y, side, "Back Door", design.plot, grid))
    return group(*arrows, fill=DIMENSION, font_weight="600")


def _arrow(x: int, y: int, inward: Side, word: str, plot: tuple[int, int], grid: Grid) -> str:
    """An arrowhead in a cell, pointing into the house; the word on whichever side has room."""
    dx, dy = STEP[inward]
    mx, my = x + 0.5, y + 0.5
    back = (mx - 0.3 * dx, my - 0.3 * dy)
    head = [
        (mx + 0.4 * dx, my + 0.4 * dy),
        (back[0] - 0.3 * dy, back[1] + 0.3 * dx),
        (back[0] + 0.3 * dy, back[1] - 0.3 * dx),
    ]
    along, length = (mx, plot[0]) if dy else (my, plot[1])
    reach = 1.8 + width_of(word, 8.5) / CELL / 2
    reach = reach if along + 2 * reach < length else -reach
    px, py = grid.at(mx + reach * abs(dy), my + reach * abs(dx))
    put = (
        letters(px, py + 3, word, 8.5, text_anchor="middle")
        if dy
        else upright(px + 3, py, word, 8.5, text_anchor="middle")
    )
    return grid.polygon(head) + put
