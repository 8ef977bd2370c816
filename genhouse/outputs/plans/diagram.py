"""The room graph beside the plan: small drawings of a house that share their numbers and tints.

A tint says how deep a room lies: the darker, the more rooms one has come through from outside.
"""

from __future__ import annotations

from collections.abc import Iterator

from genhouse.core.axes import FLANKS, STEP, Axis, opposite
from genhouse.core.box import Rect
from genhouse.core.region import Region
from genhouse.model.design import Design
from genhouse.model.elements import Wall
from genhouse.model.room import COURTS, Room
from genhouse.outputs.figures._tables import Figures
from genhouse.outputs.plans._pen import BRICK, CARD, EARTH, INK, MOSS, PAPER, SOFT
from genhouse.outputs.plans._sketch import Patch, Shape, Sketch, Stroke, Word, block
from genhouse.outputs.setting_out import posts_of
from genhouse.outputs.storeys import Storey, flights, storeys

SIDE = 8
"""Units along the edge of a cell."""
MARGIN = 2
"""Free cells round the plot."""
SHALLOW, DEEP = (0xFB, 0xF2, 0xDC), (0xB8, 0x86, 0x5F)


def tints(figures: Figures) -> dict[int, str]:
    """A colour for each room by its id: gardens green, the rest the darker the deeper."""
    deepest = max(room.depth for room in figures.rooms)
    return {
        room.id: MOSS if room.kind in COURTS else tint((room.depth - 1) / max(1, deepest - 1))
        for room in figures.rooms
    }


def tint(part: float) -> str:
    """The colour of a depth; part: 0 at the gate, 1 in the deepest room."""
    mixed = (round(a + (b - a) * part) for a, b in zip(SHALLOW, DEEP, strict=True))
    return "#" + "".join(f"{n:02x}" for n in mixed)


def small_plans(design: Design, figures: Figures) -> tuple[Sketch, ...]:
    """A small plan for each storey, from below."""
    return tuple(small_plan(design, figures, storey) for storey in storeys(design))


def small_plan(design: Design, figures: Figures, storey: Storey) -> Sketch:
    """Rooms in their tints, walls and posts dark, with the rooms' numbers; north is up."""
    width, depth = (SIDE * (n + 2 * MARGIN) for n in design.plot)
    page = _Page(design.plot[1])
    colours = tints(figures)
    rooms = storey.rooms
    standing = _standing(design, storey)
    taken = frozenset(standing) | _stair_cells(design, storey)
    shapes = (
        page.ground(design.land, EARTH if storey.lowest else PAPER),
        *(page.block(w, CARD) for w in design.wings),
        *(page.block(r, colours[room.id]) for room in rooms for r in room.rects),
        *_walls(design, storey, page),
        *(page.block((x + 0.12, y + 0.12, x + 0.88, y + 0.88), INK) for x, y in standing),
        *_flights(design, storey, page),
        *(_number(room, taken, page) for room in rooms),
        *(_arrow(design, page) if storey.lowest else ()),
    )
    return Sketch(width, depth, f"Plan of storey {storey.level}", shapes)


class _Page:
    """Where cells lie on the sheet; north is up."""

    def __init__(self, depth: int) -> None:
        self.top = MARGIN + depth

    def at(self, x: float, y: float) -> tuple[float, float]:
        return (SIDE * (MARGIN + x), SIDE * (self.top - y))

    def ground(self, land: Region, fill: str) -> Patch:
        if land.whole:
            return self.block(land.bounds, fill)
        return Patch(tuple(self.at(*corner) for corner in land.corners), fill)

    def block(self, r: Rect | tuple[float, float, float, float], fill: str) -> Patch:
        (x0, y0), (x1, y1) = self.at(r[0], r[3]), self.at(r[2], r[1])
        return block(x0, y0, x1, y1, fill)


def _walls(design: Design, storey: Storey, page: _Page) -> Iterator[Shape]:
    bounds = design.palette.having("bounds")
    for part in design.parts:
        if storey.lowest and part.role in bounds and part.stage == "walls":
            yield page.block(_slim(part.box.rect, 0.25, part.box.rect.longer), SOFT)
    for segment in design.segments:
        if segment.level == storey.level and segment.boundary != "open":
            yield page.block(_slim(segment.cells, 0.25, segment.axis), INK)
            yield from _opening(segment, page)


def _standing(design: Design, storey: Storey) -> list[tuple[int, int]]:
    """Where posts stand."""
    here = (p for p in posts_of(design) if storey.cuts(p))
    return sorted({cell for part in here for cell in part.box.rect.cells()})


def _stair_cells(design: Design, storey: Storey) -> frozenset[tuple[int, int]]:
    found: set[tuple[int, int]] = set()
    for flight, low in flights(design, storey):
        for rect in flight.run if low == storey.level else (flight.well,):
            found.update(rect.cells())
    return frozenset(found)


def _slim(r: Rect, margin: float, axis: Axis) -> tuple[float, float, float, float]:
    """A wall line less a margin on both faces."""
    x, y = (margin * n for n in STEP[FLANKS[axis][1]])
    return (r.x0 + x, r.y0 + y, r.x1 - x, r.y1 - y)


def _opening(segment: Wall, page: _Page) -> Iterator[Shape]:
    """A gap with a thin line for what slides or lets light in; nothing where one walks through."""
    if not segment.way:
        return
    yield page.block(_slim(segment.way, 0.22, segment.axis), CARD)
    if segment.opening in ("screens", "window"):
        yield page.block(_slim(segment.way, 0.43, segment.axis), SOFT)


def _flights(design: Design, storey: Storey, page: _Page) -> Iterator[Shape]:
    """The steps of stairs that climb from here, and the wells of those that come up."""
    for flight, low in flights(design, storey):
        if low != storey.level:
            yield page.block(flight.well, PAPER)
            continue
        for step in flight.run:
            corners = (step.x0, step.y0), (step.x1, step.y0), (step.x1, step.y1), (step.x0, step.y1)
            ring = tuple(page.at(*corner) for corner in (*corners, corners[0]))
            yield Stroke(ring, SOFT, 0.8)


def _number(room: Room, taken: frozenset[tuple[int, int]], page: _Page) -> Word:
    """Near the middle of a room's largest rectangle, clear of posts and steps."""
    r = max(room.rects, key=lambda rect: rect.area)
    middle = ((r.x0 + r.x1) / 2, (r.y0 + r.y1) / 2)
    free = [(x + 0.5, y + 0.5) for x, y in r.cells() if (x, y) not in taken]
    here = {(int(middle[0] - n), int(middle[1] - m)) for n in (0, 0.5) for m in (0, 0.5)}
    x, y = (
        middle if here.isdisjoint(taken) or not free else min(free, key=lambda c: _away(c, middle))
    )
    return Word(*page.at(x, y), str(room.id), 11 if min(r.width, r.depth) > 1 else 8, INK)


def _away(a: tuple[float, float], b: tuple[float, float]) -> float:
    return (a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2


def _arrow(design: Design, page: _Page) -> Iterator[Shape]:
    """Where a visitor comes from."""
    dx, dy = STEP[opposite(design.gate_side)]
    x, y = design.gate[0] + 0.5 - 0.5 * dx, design.gate[1] + 0.5 - 0.5 * dy
    tip, left, right = (
        (x + dx, y + dy),
        (x - dx - 0.8 * dy, y - dy + 0.8 * dx),
        (x - dx + 0.8 * dy, y - dy - 0.8 * dx),
    )
    yield Patch(tuple(page.at(*p) for p in (tip, left, right)), BRICK)
