"""What a plan cuts through: posts, infill, windows, lattice, screens and doors."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from genhouse.core.axes import ALONG, CROSS, Axis
from genhouse.core.box import Rect
from genhouse.model.design import Design
from genhouse.model.elements import Wall
from genhouse.model.palette import Duty, Material
from genhouse.model.part import Part
from genhouse.outputs.plans._pen import (
    BRICK,
    CARD,
    INK,
    POCHE,
    SOFT,
    TIMBER,
    Frame,
    Grid,
    group,
    num,
    tag,
    together,
)
from genhouse.outputs.storeys import Storey

THIN = 0.25
"""From a wall line's face to the face of its infill, in cells; infill is half a cell thick."""
FACES = (THIN, 1 - THIN)
TRACKS = {"leaf near": (0.375,), "leaf far": (0.625,), "leaf pair": (0.375, 0.625)}
"""Where the leaves of each form run across a wall line."""


def draw_walls(design: Design, storey: Storey, grid: Grid) -> str:
    """Everything that a storey's plan cuts, heavy before light."""
    parts = [p for p in design.parts if storey.cuts(p)]
    flues = design.palette.having("flues")
    solid = [
        p
        for p in parts
        if p.stage in ("frame", "walls", "roof")
        and (storey.lowest or p.role in flues or storey.about(p))
    ]

    def cut(duty: Duty) -> list[Part]:
        return [p for p in solid if p.role in design.palette.having(duty)]

    filled = list(_filled(design, parts))
    gates = [p for p in design.parts if storey.lowest and p.stage == "court"]
    return together(
        group(*_infill(filled, grid), fill=POCHE, stroke=INK, stroke_width=0.8),
        group(
            *(grid.frame(p.box.rect).draw() for p in cut("bounds")),
            fill=POCHE,
            stroke=INK,
            stroke_width=1.1,
        ),
        group(*_windows(filled, grid), stroke=INK, stroke_width=0.7),
        group(*_lattice(filled, grid), stroke=INK, stroke_width=0.6),
        group(*_posts(cut("stands"), grid), fill=INK, stroke=INK, stroke_width=0.6),
        group(*_flues(cut("flues"), grid), stroke=INK, stroke_width=1),
        group(*_screens(design, parts, storey, grid), stroke=INK, stroke_width=0.6),
        group(*_passages(design, storey, grid), stroke=SOFT, stroke_width=0.7),
        group(
            *_doors(design, [*parts, *gates], storey, grid),
            stroke=INK,
            stroke_width=0.8,
            fill="none",
        ),
    )


def _thin(rect: Rect, axis: Axis, grid: Grid, margin: float = THIN) -> Frame:
    """A stretch of wall line less a margin on both faces."""
    r = rect.lie(axis)
    return grid.along(axis).frame((r.x0, r.y0 + margin, r.x1, r.y1 - margin))


def axis_of(form: str) -> Axis:
    """Along which axis a part lies whose form ends in its name."""
    return "x" if form.endswith("x") else "y"


Filled = tuple[Part, Axis, Material]
"""What fills a wall, the way that this runs, and what it is of."""


def _filled(design: Design, parts: Iterable[Part]) -> Iterator[Filled]:
    axes = {cell: wall.axis for wall in design.segments for cell in wall.cells.cells()}
    stuff = dict(design.palette.roles)
    for p in parts:
        if p.stage == "walls" and p.box[:2] in axes:
            yield p, axes[p.box[:2]], stuff[p.role]


def _infill(filled: Sequence[Filled], grid: Grid) -> Iterator[str]:
    for p, axis, stuff in filled:
        if not stuff.clear:
            thin = _thin(p.box.rect, axis, grid)
            yield (grid.frame(p.box.rect) if p.form == "whole" else thin).draw()


def draw_roof_timbers(design: Design, storey: Storey, grid: Grid) -> str:
    """The beams right over a storey under the roof, dashed: ridge beams, purlins and collars."""
    beams = {*design.palette.having("spans")} & {*design.palette.having("void")}
    return group(
        *(
            _thin(p.box.rect, p.box.rect.longer, grid).draw()
            for p in design.parts
            if p.role in beams and storey.has(p) and storey.about(p) and storey.under_roof_at(p)
        ),
        fill="none",
        stroke=SOFT,
        stroke_width=0.5,
        stroke_dasharray="3 2.5",
    )


def _posts(parts: list[Part], grid: Grid) -> Iterator[str]:
    for p in parts:
        if p.form == "whole":
            yield from (grid.frame((x, y, x + 1, y + 1)).draw() for x, y in p.box.rect.cells())
        else:
            yield grid.frame(p.box.rect).inset(5).draw()


def _windows(filled: Sequence[Filled], grid: Grid) -> Iterator[str]:
    """The usual double line for the glass, between the two faces of the wall."""
    for p, axis, stuff in filled:
        if stuff.clear and stuff.finish == "paper":
            yield _thin(p.box.rect, axis, grid).draw(fill=CARD)
            yield _thin(p.box.rect, axis, grid, 0.43).draw(fill="none")


def _lattice(filled: Sequence[Filled], grid: Grid) -> Iterator[str]:
    for p, axis, stuff in filled:
        if stuff.clear and stuff.finish != "paper":
            r, flat = p.box.rect.lie(axis), grid.along(axis)
            yield _thin(p.box.rect, axis, grid).draw(fill=CARD)
            for k in range(1, 4 * r.width):
                at = r.x0 + k / 4
                yield flat.line(at, r.y0 + THIN, at, r.y1 - THIN)


def _flues(parts: list[Part], grid: Grid) -> Iterator[str]:
    for p in parts:
        frame = grid.frame(p.box.rect)
        yield frame.inset(1).draw(fill=BRICK)
        yield frame.inset(5.5).draw(fill=INK)


def _screens(design: Design, parts: list[Part], storey: Storey, grid: Grid) -> Iterator[str]:
    """Two tracks the length of the opening, and each leaf where it stands."""
    for s in design.segments:
        if s.level == storey.level and s.opening == "screens" and s.way:
            yield _thin(s.way, s.axis, grid).draw(fill=CARD, stroke="none")
            yield from _lines(s.way, s.axis, (0.375, 0.625), grid, stroke=SOFT)
    for p in parts:
        form, _, axis = p.form.rpartition(" ")
        if p.stage == "screens" and form in TRACKS:
            for at in TRACKS[form]:
                yield _leaf(p.box.rect, axis_of(axis), at, grid)


def _lines(
    way: Rect, axis: Axis, off: tuple[float, ...], grid: Grid, **attributes: object
) -> Iterator[str]:
    """Lines along a stretch of wall, each so far off its low face."""
    r = way.lie(axis)
    return (grid.along(axis).line(r.x0, r.y0 + at, r.x1, r.y0 + at, **attributes) for at in off)


def _leaf(cell: Rect, axis: Axis, at: float, grid: Grid) -> str:
    r, half, end = cell.lie(axis), 0.075, 0.03
    box = (r.x0 + end, r.y0 + at - half, r.x1 - end, r.y0 + at + half)
    return grid.along(axis).frame(box).draw(fill=TIMBER)


def _passages(design: Design, storey: Storey, grid: Grid) -> Iterator[str]:
    """A bare opening: the edges of what bridges it, dashed."""
    for s in design.segments:
        if s.level == storey.level and s.opening == "passage" and s.way:
            yield from _lines(s.way, s.axis, FACES, grid, stroke_dasharray="2.5 2")


def _doors(design: Design, parts: list[Part], storey: Storey, grid: Grid) -> Iterator[str]:
    """Leaves drawn open with the arc they sweep; two leaves where the way is two cells wide."""
    by_way = {s.way: s for s in design.segments if s.level == storey.level and s.way}
    for p in parts:
        if p.form.startswith("door leaf"):
            axis, segment = axis_of(p.form), by_way.get(p.box.rect)
            yield from _lines(p.box.rect, axis, FACES, grid, stroke=SOFT, stroke_width=0.6)
            way, inward = p.box.rect.lie(axis), _inward(design, p.box.rect, segment, axis)
            whole = segment.cells.lie(axis) if segment else way
            for hinge, jamb in _hinges(way, whole):
                yield _swing(hinge, jamb, way.y0, inward, grid.along(axis))


def _inward(design: Design, way: Rect, segment: Wall | None, axis: Axis) -> int:
    """Toward which side a door opens: in from outdoors, else into the larger room."""
    if segment is None:
        return 1 if 2 * way.lie(axis).y0 < design.plot[ALONG[CROSS[axis]]] else -1
    area = {r.id: r.area for r in design.rooms if r.indoor}
    return 1 if area.get(segment.high, 0) >= area.get(segment.low, 0) else -1


def _hinges(way: Rect, whole: Rect) -> Iterator[tuple[int, int]]:
    """Hinge and meeting end of each leaf along the wall; one leaf hangs by the nearer post.

    way, whole: what the leaves close, and the wall between two posts, as they lie.
    """
    if way.width > 1:
        middle = (way.x0 + way.x1) // 2
        yield from ((way.x0, middle), (way.x1, middle))
    elif way.x0 - whole.x0 <= whole.x1 - way.x1:
        yield way.x0, way.x1
    else:
        yield way.x1, way.x0


def _swing(hinge: int, jamb: int, line: int, inward: int, grid: Grid) -> str:
    face = line + 0.5 + inward * THIN
    length = abs(jamb - hinge)
    root, end, closed = (
        grid.at(*p) for p in ((hinge, face), (hinge, face + inward * length), (jamb, face))
    )
    cross = (end[0] - root[0]) * (closed[1] - root[1]) - (end[1] - root[1]) * (closed[0] - root[0])
    radius = num(20 * length)
    arc = f"M{_xy(end)} A{radius} {radius} 0 0 {int(cross > 0)} {_xy(closed)}"
    leaf = tag("path", d=f"M{_xy(root)} L{_xy(end)}", stroke_width=2)
    return leaf + tag("path", d=arc, stroke_width=0.6, stroke=SOFT)


def _xy(point: tuple[float, float]) -> str:
    return f"{num(point[0])} {num(point[1])}"
