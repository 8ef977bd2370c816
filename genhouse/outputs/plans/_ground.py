"""What lies underfoot in a plan: floors, mats, verandas, and the void over the court."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from genhouse.core.axes import SIDES
from genhouse.core.box import Rect
from genhouse.model.design import Design
from genhouse.model.part import ROOF_COVER, Part
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
    group,
)

Cell = tuple[int, int]
VOID, ROOF = "#f3eee1", "#e9e2d4"
ROOF_ROLES = (*ROOF_COVER, "porch-tile")


def parts_of(design: Design, stage: str, *roles: str) -> list[Part]:
    return [p for p in design.parts if p.stage == stage and p.role in roles]


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


def draw_plot(design: Design, level: int, grid: Grid) -> str:
    """The plot, its strip of gravel under the eaves, and the ground the house stands on."""
    whole = Rect(0, 0, *design.plot)
    if level > 1:
        return group(*(grid.frame(w).draw(fill=CARD) for w in design.wings))
    drip = parts_of(design, "site", "drip")
    return group(
        grid.frame(whole).draw(fill=EARTH),
        *(grid.frame(p.box.rect).draw(fill=GRAVEL) for p in drip),
        *(dots(c, grid) for c in sorted(cells_of(drip))),
        *(grid.frame(w).draw(fill=CARD) for w in design.wings),
    )


def dots(cell: Cell, grid: Grid) -> str:
    x, y = cell
    spots = ((0.22, 0.3), (0.7, 0.62)) if (x + y) % 2 else ((0.34, 0.74), (0.78, 0.2))
    return "".join(grid.circle(x + a, y + b, 0.03, fill=FAINT) for a, b in spots)


def draw_floors(design: Design, level: int, grid: Grid) -> str:
    """Boards, flags and mats of a storey."""
    if level > 1:
        boards = cells_of(parts_of(design, "floors", "upper-board"))
        deck = parts_of(design, "floors", "deck")
        return "\n".join(
            (
                group(*_lower_roofs(design, grid), stroke=FAINT, stroke_width=0.6),
                group(*_flags(deck, grid), stroke=FAINT),
                group(*_parapets(design, grid), stroke=INK, stroke_width=0.6),
                group(*_boarding(design, level, boards, grid), stroke=FAINT, stroke_width=0.4),
                group(*_walks(design, "gallery", grid), stroke=FAINT, stroke_width=0.4),
                group(*_rails(design, grid), stroke=INK, stroke_width=0.7),
            )
        )
    boards = cells_of(parts_of(design, "floors", "board"))
    return "\n".join(
        (
            group(*_sunken(design, grid), fill=EARTH),
            group(*_boarding(design, level, boards, grid), stroke=FAINT, stroke_width=0.4),
            group(*_flags(parts_of(design, "floors", "flag", "hearth-slab"), grid), stroke=FAINT),
            group(*stones(parts_of(design, "floors", "shoe-stone"), grid)),
            group(*_mats(design, grid), fill=STRAW, stroke=STRAW_EDGE, stroke_width=0.6),
            group(*_walks(design, "veranda", grid), stroke=FAINT, stroke_width=0.4),
            group(*_beams(design, level, grid), stroke=SOFT, stroke_width=0.5),
        )
    )


def _boarding(design: Design, level: int, cells: set[Cell], grid: Grid) -> Iterator[str]:
    """Boards along the longer way of each room, where it has them."""
    for room in design.rooms:
        if room.level == level and room.indoor:
            mine = {c for c in room.rect.cells() if c in cells}
            yield from _lines(mine, room.rect.width >= room.rect.depth, 2, grid)


def _lines(cells: set[Cell], along_x: bool, each: int, grid: Grid) -> Iterator[str]:
    """Joints across a set of cells, ``each`` to a cell, each as long as it runs."""
    turned = cells if along_x else {(y, x) for x, y in cells}
    for across, first, last in _merged(turned):
        for k in range(each):
            at = across + (k + 0.5) / each
            yield grid.line(*((first, at, last, at) if along_x else (at, first, at, last)))


def _beams(design: Design, level: int, grid: Grid) -> Iterator[str]:
    """The beam over each open side within a room."""
    for s in design.segments:
        if s.level == level and s.boundary == "open":
            for at in (0.25, 0.75):
                x0, y0, x1, y1 = s.cells
                ends = (x0, y0 + at, x1, y0 + at) if s.axis == "x" else (x0 + at, y0, x0 + at, y1)
                yield grid.line(*ends, stroke_dasharray="3 2.5")


def _sunken(design: Design, grid: Grid) -> Iterator[str]:
    for r in (r for room in design.rooms for r in room.sunken):
        yield grid.frame(r).draw()
    for room in design.rooms:
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


def _mats(design: Design, grid: Grid) -> Iterator[str]:
    """Whole mats with the bound edges along their length; half mats square."""
    for p in parts_of(design, "mats", "mat"):
        r = p.box.rect
        if p.form == "half mat":
            yield grid.frame(r).draw()
        elif p.form == "mat east":
            yield grid.frame((r.x0, r.y0, r.x1 + 1, r.y1)).draw()
            yield from (_edge(r.x0, at, r.x0 + 2, at, grid) for at in (r.y0 + 0.09, r.y1 - 0.09))
        elif p.form == "mat north":
            yield grid.frame((r.x0, r.y0, r.x1, r.y1 + 1)).draw()
            yield from (_edge(at, r.y0, at, r.y0 + 2, grid) for at in (r.x0 + 0.09, r.x1 - 0.09))


def _edge(x0: float, y0: float, x1: float, y1: float, grid: Grid) -> str:
    return grid.line(x0, y0, x1, y1, stroke_width=0.35)


def _walks(design: Design, role: str, grid: Grid) -> Iterator[str]:
    """The boards of verandas or galleries."""
    for p in parts_of(design, "floors", role):
        yield grid.frame(p.box.rect).draw(fill=CARD, stroke=SOFT, stroke_width=0.8)
    for p in parts_of(design, "floors", role):
        r = p.box.rect
        yield from _lines(set(r.cells()), r.width >= r.depth, 4, grid)


def _parapets(design: Design, grid: Grid) -> Iterator[str]:
    """Round the terraces; a roof higher up has parapets that this plan does not show."""
    decks = [r.grown(1) for room in design.rooms if room.kind == TERRACE for r in room.rects]
    walls = cells_of(parts_of(design, "roof", "parapet"))
    round_decks = {c for c in walls if any(r.has(*c) for r in decks)}
    for x, y in sorted(round_decks):
        yield grid.frame((x, y, x + 1, y + 1)).draw(fill=POCHE, stroke="none")
    yield from (grid.line(*edge) for edge in outline(round_decks))


def _lower_roofs(design: Design, grid: Grid) -> Iterator[str]:
    """The slopes over lower wings, seen from above: their courses, and the ridge between them."""
    for cover in (c for c in design.lower_covers if c.form != "flat"):
        r, along_x = cover.rect, cover.axis == "x"
        yield grid.frame(r).draw(fill=ROOF, stroke=SOFT)
        yield from _lines(set(r.cells()), along_x, 2, grid)
        if cover.form != "lean-to":
            x, y = (r.x0 + r.x1) / 2, (r.y0 + r.y1) / 2
            ends = (r.x0, y, r.x1, y) if along_x else (x, r.y0, x, r.y1)
            yield grid.line(*ends, stroke=INK, stroke_width=1.2)


def _rails(design: Design, grid: Grid) -> Iterator[str]:
    """A gallery's balustrade: two lines along the edge of the cell that it stands in."""
    for p in parts_of(design, "floors", "rail"):
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
    covered = cells_of(parts_of(design, "roof", *ROOF_ROLES))
    lines = (grid.line(*edge) for edge in outline(covered))
    return group(
        grid.frame(Rect(0, 0, *design.plot)).draw(fill="none", stroke=FAINT, stroke_width=0.8),
        group(*lines, stroke=SOFT, stroke_width=0.8, stroke_dasharray="9 4"),
    )
