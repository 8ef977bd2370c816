"""The garden of a plan: ground, water, walk, stones and planting."""

from __future__ import annotations

from collections.abc import Iterator

from genhouse.model.design import Design
from genhouse.model.palette import Duty
from genhouse.outputs.plans._ground import Cell, cells_of, dots, outline, parts_of, stones
from genhouse.outputs.plans._pen import (
    CARD,
    CELL,
    EARTH,
    FAINT,
    GRAVEL,
    INK,
    LEAF,
    MOSS,
    SOFT,
    STONE,
    WATER,
    Grid,
    group,
    num,
    tag,
    together,
)

BOULDERS: tuple[tuple[tuple[float, float], ...], ...] = (
    (
        (0.15, 0.42),
        (0.28, 0.2),
        (0.58, 0.14),
        (0.86, 0.36),
        (0.84, 0.66),
        (0.6, 0.85),
        (0.26, 0.78),
    ),
    ((0.22, 0.3), (0.52, 0.2), (0.8, 0.28), (0.78, 0.6), (0.5, 0.76), (0.24, 0.66)),
    ((0.12, 0.55), (0.3, 0.24), (0.68, 0.26), (0.9, 0.5), (0.7, 0.7), (0.36, 0.76)),
)
"""Outlines of stones, in parts of a cell."""


def draw_garden(design: Design, grid: Grid) -> str:
    """Ground, moss, water, the walk, stones and planting."""

    def cells(*duties: Duty) -> list[Cell]:
        return sorted(cells_of(parts_of(design, "court", *duties)))

    def made(flag: str) -> set[Cell]:
        roles = design.palette.made(flag)
        return cells_of(p for p in design.parts if p.stage == "court" and p.role in roles)

    water = made("liquid")
    return together(
        group(*(_square(c, grid) for c in cells("gravel")), fill=GRAVEL),
        group(*(dots(c, grid) for c in cells("loose"))),
        group(*(_furrow(c, grid) for c in cells("raked")), stroke=FAINT),
        group(*(_square(c, grid) for c in cells("soil")), fill=EARTH),
        group(*(_square(c, grid) for c in cells("mossy")), fill=MOSS),
        group(*(_tufts(c, grid) for c in cells("mossy")), stroke=LEAF, stroke_width=0.6),
        group(*(_rim(c, grid) for c in cells("rims")), fill=GRAVEL),
        group(*(_square(c, grid) for c in sorted(water)), fill=WATER),
        group(*(_ripple(c, grid) for c in sorted(water)), stroke="#7ea3a3", stroke_width=0.5),
        group(*(grid.line(*e) for e in outline(water)), stroke="#55797a", stroke_width=1.1),
        group(*(_square(c, grid) for c in cells("paved")), fill=STONE, stroke=SOFT),
        group(*(_square(c, grid) for c in cells("hedges")), fill=LEAF, fill_opacity=0.5),
        group(*(grid.line(*e) for e in outline(set(cells("hedges")))), stroke=LEAF),
        group(*(_plank(c, grid) for c in cells("bridges")), fill=CARD, stroke=SOFT),
        group(*stones(parts_of(design, "court", "steps"), grid)),
        group(*(_square(c, grid) for c in cells("wells")), fill=STONE, stroke=INK),
        group(*(_plank(c, grid) for c in cells("benches")), fill=CARD, stroke=SOFT),
        group(
            *(_boulder(c, grid) for c in cells("boulders")),
            fill=STONE,
            stroke=SOFT,
            stroke_linejoin="round",
        ),
        group(*(_shrub(c, grid) for c in cells("shrubs")), fill=MOSS, stroke=LEAF),
        group(*(_sprig(c, grid) for c in cells("sprigs")), stroke=LEAF),
        group(
            *(grid.line(*e) for e in outline(set(cells("shelters")))),
            stroke=SOFT,
            stroke_dasharray="4 3",
        ),
        group(*(_lantern(c, grid) for c in sorted(made("lumens"))), fill=CARD, stroke=INK),
        group(*_trees(design, grid)),
    )


def _square(cell: Cell, grid: Grid) -> str:
    x, y = cell
    return grid.frame((x, y, x + 1, y + 1)).draw()


def _tufts(cell: Cell, grid: Grid) -> str:
    x, y = cell
    a = 0.3 if (x + y) % 2 else 0.62
    return "".join(grid.line(x + a, y + 0.4, x + a + dx, y + 0.62) for dx in (-0.1, 0, 0.1))


def _rim(cell: Cell, grid: Grid) -> str:
    x, y = cell
    stone = grid.frame((x, y, x + 1, y + 1))
    return stone.draw() + stone.inset(2).draw(rx=6, fill=STONE, stroke=SOFT, stroke_width=0.5)


def _ripple(cell: Cell, grid: Grid) -> str:
    x, y = cell
    start = 0.15 if (x + y) % 2 else 0.4
    return grid.line(x + start, y + 0.35, x + start + 0.45, y + 0.35)


def _boulder(cell: Cell, grid: Grid) -> str:
    x, y = cell
    shape = BOULDERS[(3 * x + 5 * y) % len(BOULDERS)]
    if (x + y) % 2:
        shape = tuple((1 - a, b) for a, b in shape)
    return grid.polygon([(x + a, y + b) for a, b in shape], stroke_width=0.8)


def _shrub(cell: Cell, grid: Grid) -> str:
    x, y = cell
    ring = ((0.3, 0.5), (0.5, 0.3), (0.7, 0.5), (0.5, 0.7))
    leaves = (grid.circle(x + a, y + b, 0.22, stroke_width=0.6) for a, b in ring)
    return "".join(leaves) + grid.circle(x + 0.5, y + 0.5, 0.2, stroke="none")


def _lantern(cell: Cell, grid: Grid) -> str:
    x, y = cell
    stand = grid.frame((x, y, x + 1, y + 1)).inset(5).draw(stroke_width=0.8)
    return stand + grid.circle(x + 0.5, y + 0.5, 0.12, stroke_width=0.6)


def _furrow(cell: Cell, grid: Grid) -> str:
    x, y = cell
    return "".join(
        grid.line(x, y + at, x + 1, y + at, stroke_width=0.5) for at in (0.25, 0.5, 0.75)
    )


def _plank(cell: Cell, grid: Grid) -> str:
    x, y = cell
    return grid.frame((x, y, x + 1, y + 1)).inset(1).draw(stroke_width=0.7)


def _sprig(cell: Cell, grid: Grid) -> str:
    """Leaves seen from above: three short strokes through the middle."""
    x, y = cell[0] + 0.5, cell[1] + 0.5
    ends = ((0.3, 0.0), (0.15, 0.26), (-0.15, 0.26))
    return "".join(grid.line(x - a, y - b, x + a, y + b, stroke_width=0.9) for a, b in ends)


def _trees(design: Design, grid: Grid) -> Iterator[str]:
    """Crowns as wide as their leaves reach, see-through, over their trunks."""
    leaves = cells_of(parts_of(design, "court", "leaves"))
    for p in parts_of(design, "court", "trunks"):
        i, j = p.box.x0, p.box.y0
        wide = all(c in leaves for c in ((i + 2, j), (i - 2, j), (i, j + 2), (i, j - 2)))
        yield _crown(i + 0.5, j + 0.5, 5 if wide else 3, grid)
        yield grid.circle(i + 0.5, j + 0.5, 0.16, fill=SOFT, stroke=INK, stroke_width=0.6)


def _crown(x: float, y: float, across: int, grid: Grid) -> str:
    """A scalloped circle."""
    reach, n = across / 2, across * 0.353
    ring = [
        *((reach, 0), (n, n), (0, reach), (-n, n)),
        *((-reach, 0), (-n, -n), (0, -reach), (n, -n), (reach, 0)),
    ]
    points = [grid.at(x + a, y + b) for a, b in ring]
    radius = num(0.413 * reach * CELL)
    start = f"M{num(points[0][0])} {num(points[0][1])}"
    arcs = (f"A{radius} {radius} 0 0 0 {num(a)} {num(b)}" for a, b in points[1:])
    shape = " ".join((start, *arcs))
    return tag("path", d=shape, fill=LEAF, fill_opacity=0.22, stroke=LEAF, stroke_width=0.9)
