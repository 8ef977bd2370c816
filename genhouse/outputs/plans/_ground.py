"""What lies underfoot in a plan: floors, mats, verandas, and the void over the court."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from genhouse.core.axes import ALONG, SIDES, Axis
from genhouse.core.box import Rect
from genhouse.model.design import Design
from genhouse.model.palette import Duty
from genhouse.model.part import Part
from genhouse.model.room import COURTS, TERRACE
from genhouse.outputs.plans._pen import (
    CARD,
    EARTH,
    FAINT,
    GRAVEL,
    INK,
    POCHE,
    SOFT,
    STONE,
    STRAW,
    STRAW_EDGE,
    Grid,
    ground,
    group,
    together,
)
from genhouse.outputs.storeys import Storey

Cell = tuple[int, int]
VOID, ROOF = "#f3eee1", "#e9e2d4"


def parts_of(design: Design, stage: str, *duties: Duty) -> list[Part]:
    """What a stage sets that has some duty."""
    roles = design.palette.having(*duties)
    return [p for p in design.parts if p.stage == stage and p.role in roles]


def guards(part: Part) -> bool:
    """Whether it is a piece of a balustrade."""
    return part.stage in ("floors", "stair") and part.form.startswith("rail ")


def cells_of(parts: Iterable[Part]) -> set[Cell]:
    return {c for p in parts for c in p.box.rect.cells()}


def outline(cells: set[Cell]) -> list[tuple[int, int, int, int]]:
    """The edges of a set of cells as straight lines (x0, y0, x1, y1), each as long as it runs."""
    level = {(x, y + up) for x, y in cells for up in (0, 1) if (x, y - 1 + 2 * up) not in cells}
    plumb = {(y, x + on) for x, y in cells for on in (0, 1) if (x - 1 + 2 * on, y) not in cells}
    lines = [(a, at, b, at) for at, a, b in _merged(level)]
    return lines + [(at, a, at, b) for at, a, b in _merged(plumb)]


def _merged(edges: set[Cell]) -> Iterator[tuple[int, int, int]]:
    """Unit edges (along, across) joined end to end: (across, first, last)."""
    run: list[int] = []
    for across, along in sorted((across, along) for along, across in edges):
        if run and run[0] == across and run[2] == along:
            run[2] = along + 1
            continue
        if run:
            yield (run[0], run[1], run[2])
        run = [across, along, along + 1]
    if run:
        yield (run[0], run[1], run[2])


def draw_plot(design: Design, storey: Storey, grid: Grid) -> str:
    """The plot, its strip of gravel under the eaves, and the ground the house stands on."""
    if not storey.lowest:
        return group(*(grid.frame(w).draw(fill=CARD) for w in design.wings))
    drip = parts_of(design, "site", "loose")
    return group(
        ground(design.land, grid, fill=EARTH),
        *(grid.frame(p.box.rect).draw(fill=GRAVEL) for p in drip),
        *(dots(c, grid) for c in sorted(cells_of(drip))),
        *(grid.frame(w).draw(fill=CARD) for w in design.wings),
    )


def dots(cell: Cell, grid: Grid) -> str:
    x, y = cell
    spots = ((0.22, 0.3), (0.7, 0.62)) if (x + y) % 2 else ((0.34, 0.74), (0.78, 0.2))
    return "".join(grid.circle(x + a, y + b, 0.03, fill=FAINT) for a, b in spots)


def draw_floors(design: Design, storey: Storey, grid: Grid) -> str:
    """Lower roofs beside a storey, its boards, flags and mats, and what bounds them."""

    def laid(*duties: Duty) -> list[Part]:
        return [p for p in parts_of(design, "floors", *duties) if storey.has(p)]

    rails = (p for p in design.parts if p.stage == "floors" and guards(p) and storey.has(p))
    boards = [p for p in laid("boards") if p.box.z1 == storey.floor_at(p)]
    fine = {"stroke": FAINT, "stroke_width": 0.4}
    return together(
        group(*_lower_roofs(design, storey, grid), stroke=FAINT, stroke_width=0.6),
        group(*_sunken(storey, grid), fill=EARTH),
        group(*_boarding(storey, cells_of(boards), grid), **fine),
        group(*_flags(laid("flags"), grid), stroke=FAINT),
        group(*_parapets(design, storey, grid), stroke=INK, stroke_width=0.6),
        group(*stones(laid("steps"), grid)),
        group(*_mats(design, storey, grid), fill=STRAW, stroke=STRAW_EDGE, stroke_width=0.6),
        group(*_walks(laid("walks"), grid), **fine),
        group(*_beams(design, storey, grid), stroke=SOFT, stroke_width=0.5),
        group(*_rails(rails, grid), stroke=INK, stroke_width=0.7),
    )


def _boarding(storey: Storey, cells: set[Cell], grid: Grid) -> Iterator[str]:
    """Boards along the longer way of each room, where it has them."""
    for room in storey.rooms:
        if room.indoor:
            mine = {c for c in room.rect.cells() if c in cells}
            yield from _lines(mine, room.rect.longer, 2, grid)


def _lines(cells: set[Cell], axis: Axis, each: int, grid: Grid) -> Iterator[str]:
    """Joints along an axis over a set of cells, ``each`` to a cell, each as long as it runs."""
    flat, n = grid.along(axis), ALONG[axis]
    for across, first, last in _merged({(c[n], c[1 - n]) for c in cells}):
        for k in range(each):
            at = across + (k + 0.5) / each
            yield flat.line(first, at, last, at)


def _beams(design: Design, storey: Storey, grid: Grid) -> Iterator[str]:
    """The beam over each open side within a room, where no roof is seen in its place."""
    for s in design.segments:
        if s.level == storey.level and s.boundary == "open" and not storey.under_roof:
            c = s.cells.lie(s.axis)
            for at in (0.25, 0.75):
                ends = (c.x0, c.y0 + at, c.x1, c.y0 + at)
                yield grid.along(s.axis).line(*ends, stroke_dasharray="3 2.5")


def _sunken(storey: Storey, grid: Grid) -> Iterator[str]:
    for r in (r for room in storey.rooms for r in room.sunken):
        yield grid.frame(r).draw()
    for room in storey.rooms:
        if room.sunken:
            floor = {c for r in room.sunken for c in r.cells()}
            inside = {c for r in room.rects for c in r.cells()}
            edge = [e for e in outline(floor) if e not in outline(inside)]
            yield from (grid.line(*e, stroke=INK, stroke_width=0.9) for e in edge)


def _flags(parts: Iterable[Part], grid: Grid) -> Iterator[str]:
    for x, y in sorted(cells_of(parts)):
        yield grid.frame((x, y, x + 1, y + 1)).draw(fill="none", stroke_width=0.5)


def stones(parts: Iterable[Part], grid: Grid) -> Iterator[str]:
    for x, y in sorted(cells_of(parts)):
        frame = grid.frame((x, y, x + 1, y + 1)).inset(1.5)
        yield frame.draw(rx=3, fill=STONE, stroke=SOFT, stroke_width=0.6)


MATS: dict[str, Axis] = {"mat east": "x", "mat north": "y"}
"""Along which axis a whole mat lies, by the form of its first half."""


def _mats(design: Design, storey: Storey, grid: Grid) -> Iterator[str]:
    """Whole mats with the bound edges along their length; half mats square."""
    for p in (p for p in design.parts if p.stage == "mats" and storey.has(p)):
        if p.form == "half mat":
            yield grid.frame(p.box.rect).draw()
        elif p.form in MATS:
            r, flat = p.box.rect.lie(MATS[p.form]), grid.along(MATS[p.form])
            yield flat.frame((r.x0, r.y0, r.x1 + 1, r.y1)).draw()
            for at in (r.y0 + 0.09, r.y1 - 0.09):
                yield flat.line(r.x0, at, r.x0 + 2, at, stroke_width=0.35)


def _walks(boards: Iterable[Part], grid: Grid) -> Iterator[str]:
    """The boards of verandas or galleries."""
    rects = [p.box.rect for p in boards]
    yield from (grid.frame(r).draw(fill=CARD, stroke=SOFT, stroke_width=0.8) for r in rects)
    for r in rects:
        yield from _lines(set(r.cells()), r.longer, 4, grid)


def _parapets(design: Design, storey: Storey, grid: Grid) -> Iterator[str]:
    """Round the terraces; a roof higher up has parapets that this plan does not show."""
    decks = [r.grown(1) for room in storey.rooms if room.kind == TERRACE for r in room.rects]
    walls = cells_of(parts_of(design, "roof", "kerbs"))
    round_decks = {c for c in walls if any(r.has(*c) for r in decks)}
    for x, y in sorted(round_decks):
        yield grid.frame((x, y, x + 1, y + 1)).draw(fill=POCHE, stroke="none")
    yield from (grid.line(*edge) for edge in outline(round_decks))


def _lower_roofs(design: Design, storey: Storey, grid: Grid) -> Iterator[str]:
    """The slopes over lower wings, seen from above: their courses, and the ridge between them."""
    for cover in design.covers:
        if cover.storeys < storey.level and cover.form != "flat":
            yield grid.frame(cover.rect).draw(fill=ROOF, stroke=SOFT)
            yield from _lines(set(cover.rect.cells()), cover.axis, 2, grid)
            if cover.form != "lean-to":
                r = cover.rect.lie(cover.axis)
                ridge = (r.x0, (r.y0 + r.y1) / 2, r.x1, (r.y0 + r.y1) / 2)
                yield grid.along(cover.axis).line(*ridge, stroke=INK, stroke_width=1.2)


def _rails(rails: Iterable[Part], grid: Grid) -> Iterator[str]:
    """A gallery's balustrade: two lines along the edge of the cell that it stands in."""
    for p in rails:
        x, y = p.box.x0, p.box.y0
        for side in SIDES:
            if side in p.form:
                for off in (0.0, 0.2):
                    edge = {"west": x, "south": y, "east": x + 1, "north": y + 1}[side]
                    at = edge + (off if side in ("west", "south") else -off)
                    ends = (at, y, at, y + 1) if side in ("west", "east") else (x, at, x + 1, at)
                    yield grid.line(*ends)


def draw_void(design: Design, grid: Grid) -> str:
    """Above a court there is nothing: its edges and diagonals, dashed."""
    lines = []
    for court in design.courts:
        lines.append(grid.frame(court).draw(fill=VOID, stroke=SOFT))
        lines.append(grid.line(court.x0, court.y0, court.x1, court.y1))
        lines.append(grid.line(court.x0, court.y1, court.x1, court.y0))
    for r in _garden_rects(design):
        lines.append(grid.frame(r).draw(fill="none"))
    return group(*lines, stroke=FAINT, stroke_width=0.8, stroke_dasharray="7 4")


def _garden_rects(design: Design) -> Iterator[Rect]:
    """The edge of the verandas below."""
    return (r for room in design.rooms if room.kind in COURTS for r in room.rects)


def draw_eaves(design: Design, grid: Grid) -> str:
    """The edge of the roof above, and the plot's edge."""
    covered = cells_of(parts_of(design, "roof", "covers", "shelters"))
    lines = (grid.line(*edge) for edge in outline(covered))
    return group(
        ground(design.land, grid, fill="none", stroke=FAINT, stroke_width=0.8),
        group(*lines, stroke=SOFT, stroke_width=0.8, stroke_dasharray="9 4"),
    )
