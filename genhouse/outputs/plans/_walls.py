"""What a plan cuts through: posts, infill, windows, lattice, screens and doors."""

from __future__ import annotations

from collections.abc import Iterator

from genhouse.core.axes import Axis
from genhouse.core.box import Rect
from genhouse.model.design import Design
from genhouse.model.elements import Wall
from genhouse.model.part import Part
from genhouse.outputs.plans._pen import BRICK, CARD, INK, POCHE, SOFT, TIMBER, Grid, group, num, tag

THIN = 0.25
"""From a wall line's face to the face of its infill, in cells; infill is half a cell thick."""
TRACKS = {"leaf near": (0.375,), "leaf far": (0.625,), "leaf pair": (0.375, 0.625)}
"""Where the leaves of each form run across a wall line."""


OVERHEAD = ("ridge-beam", "purlin", "collar")
"""Roles of the timbers in the roof void that are drawn as beams."""


def cut(design: Design, z: int) -> tuple[Part, ...]:
    """The parts that stand in a layer."""
    return tuple(p for p in design.parts if p.box.z0 <= z < p.box.z1)


def draw_walls(design: Design, level: int, z: int, grid: Grid) -> str:
    """Everything cut at layer z, heavy before light."""
    parts = cut(design, z)
    solid = [p for p in parts if p.stage in ("frame", "walls", "roof")]
    return "\n".join(
        (
            group(*_infill(solid, grid), fill=POCHE, stroke=INK, stroke_width=0.8),
            group(*_garden_walls(solid, grid), fill=POCHE, stroke=INK, stroke_width=1.1),
            group(*_windows(solid, grid), stroke=INK, stroke_width=0.7),
            group(*_lattice(solid, grid), stroke=INK, stroke_width=0.6),
            group(*_posts(solid, grid), fill=INK, stroke=INK, stroke_width=0.6),
            group(*_flues(solid, grid), stroke=INK, stroke_width=1),
            group(*_screens(design, parts, level, grid), stroke=INK, stroke_width=0.6),
            group(*_passages(design, level, grid), stroke=SOFT, stroke_width=0.7),
            group(*_doors(design, parts, grid), stroke=INK, stroke_width=0.8, fill="none"),
        )
    )


def thinned(rect: Rect, axis: str, margin: float = THIN) -> tuple[float, float, float, float]:
    """A stretch of wall line less a margin on both faces."""
    if axis == "x":
        return (rect.x0, rect.y0 + margin, rect.x1, rect.y1 - margin)
    return (rect.x0 + margin, rect.y0, rect.x1 - margin, rect.y1)


def _infill(parts: list[Part], grid: Grid) -> Iterator[str]:
    for p in parts:
        if p.form.startswith("infill"):
            yield grid.frame(thinned(p.box.rect, p.form[-1])).draw()
        elif p.role == "infill":
            yield grid.frame(p.box.rect).draw()


def draw_roof_timbers(design: Design, grid: Grid) -> str:
    """The beams over an upper storey, dashed: ridge beams, purlins and collars."""
    return group(
        *(
            grid.frame(
                thinned(p.box.rect, "x" if p.box.rect.width > p.box.rect.depth else "y")
            ).draw()
            for p in design.parts
            if p.role in OVERHEAD
        ),
        fill="none",
        stroke=SOFT,
        stroke_width=0.5,
        stroke_dasharray="3 2.5",
    )


def _garden_walls(parts: list[Part], grid: Grid) -> Iterator[str]:
    return (grid.frame(p.box.rect).draw() for p in parts if p.role == "garden-wall")


def _posts(parts: list[Part], grid: Grid) -> Iterator[str]:
    for p in parts:
        if p.role in ("post", "roof-post"):
            yield from (grid.frame((x, y, x + 1, y + 1)).draw() for x, y in p.box.rect.cells())
        elif p.role == "porch-post":
            yield grid.frame(p.box.rect).inset(5).draw()


def _windows(parts: list[Part], grid: Grid) -> Iterator[str]:
    """The usual double line for the glass, between the two faces of the wall."""
    for p in parts:
        if p.role == "window":
            axis = p.form[-1]
            yield grid.frame(thinned(p.box.rect, axis)).draw(fill=CARD)
            yield grid.frame(thinned(p.box.rect, axis, 0.43)).draw(fill="none")


def _lattice(parts: list[Part], grid: Grid) -> Iterator[str]:
    for p in parts:
        if p.role == "lattice":
            axis: Axis = "x" if p.form.split()[1] in ("east", "west") else "y"
            rect = p.box.rect
            yield grid.frame(thinned(rect, axis)).draw(fill=CARD)
            low, high = (rect.x0, rect.x1) if axis == "x" else (rect.y0, rect.y1)
            for k in range(1, 4 * (high - low)):
                at = low + k / 4
                yield (
                    grid.line(at, rect.y0 + THIN, at, rect.y1 - THIN)
                    if axis == "x"
                    else grid.line(rect.x0 + THIN, at, rect.x1 - THIN, at)
                )


def _flues(parts: list[Part], grid: Grid) -> Iterator[str]:
    for p in parts:
        if p.role == "flue":
            frame = grid.frame(p.box.rect)
            yield frame.inset(1).draw(fill=BRICK)
            yield frame.inset(5.5).draw(fill=INK)


def _screens(design: Design, parts: tuple[Part, ...], level: int, grid: Grid) -> Iterator[str]:
    """Two tracks the length of the opening, and each leaf where it stands."""
    for s in design.segments:
        if s.level == level and s.opening == "screens" and s.way:
            yield grid.frame(thinned(s.way, s.axis)).draw(fill=CARD, stroke="none")
            for at in (0.375, 0.625):
                yield _track(s.way, s.axis, at, grid)
    for p in parts:
        form, _, axis = p.form.rpartition(" ")
        if p.stage == "screens" and form in TRACKS:
            for at in TRACKS[form]:
                yield _leaf(p.box.rect, axis, at, grid)


def _track(way: Rect, axis: str, at: float, grid: Grid) -> str:
    if axis == "x":
        return grid.line(way.x0, way.y0 + at, way.x1, way.y0 + at, stroke=SOFT)
    return grid.line(way.x0 + at, way.y0, way.x0 + at, way.y1, stroke=SOFT)


def _leaf(cell: Rect, axis: str, at: float, grid: Grid) -> str:
    half, end = 0.075, 0.03
    if axis == "x":
        y = cell.y0 + at
        box = (cell.x0 + end, y - half, cell.x1 - end, y + half)
    else:
        x = cell.x0 + at
        box = (x - half, cell.y0 + end, x + half, cell.y1 - end)
    return grid.frame(box).draw(fill=TIMBER)


def _passages(design: Design, level: int, grid: Grid) -> Iterator[str]:
    """A bare opening: the edges of what bridges it, dashed."""
    for s in design.segments:
        if s.level == level and s.opening == "passage" and s.way:
            yield from _faces(s.way, s.axis, grid, stroke_dasharray="2.5 2")


def _faces(way: Rect, axis: str, grid: Grid, **attributes: object) -> Iterator[str]:
    for at in (THIN, 1 - THIN):
        if axis == "x":
            yield grid.line(way.x0, way.y0 + at, way.x1, way.y0 + at, **attributes)
        else:
            yield grid.line(way.x0 + at, way.y0, way.x0 + at, way.y1, **attributes)


def _doors(design: Design, parts: tuple[Part, ...], grid: Grid) -> Iterator[str]:
    """Leaves drawn open with the arc they sweep; two leaves where the way is two cells wide."""
    by_way = {s.way: s for s in design.segments if s.level == 1 and s.way}
    for p in parts:
        if p.form.startswith("door leaf"):
            way, axis = p.box.rect, p.form[-1]
            yield from _faces(way, axis, grid, stroke=SOFT, stroke_width=0.6)
            inward = _inward(design, way, by_way.get(way), axis)
            for hinge, jamb in _hinges(way, axis, by_way.get(way)):
                yield _swing(hinge, jamb, way, axis, inward, grid)


def _inward(design: Design, way: Rect, segment: Wall | None, axis: str) -> int:
    """Toward which side a door opens: in from outdoors, else into the larger room."""
    if segment is None:
        low, high = (way.y0, design.plot[1]) if axis == "x" else (way.x0, design.plot[0])
        return 1 if 2 * low < high else -1
    area = {r.id: r.area for r in design.rooms if r.indoor}
    return 1 if area.get(segment.high, 0) >= area.get(segment.low, 0) else -1


def _hinges(way: Rect, axis: str, segment: Wall | None) -> Iterator[tuple[int, int]]:
    """Hinge and meeting end of each leaf along the wall; one leaf hangs by the nearer post."""
    low, high = (way.x0, way.x1) if axis == "x" else (way.y0, way.y1)
    if high - low > 1:
        middle = (low + high) // 2
        yield from ((low, middle), (high, middle))
        return
    whole = segment.cells if segment else way
    first, last = (whole.x0, whole.x1) if axis == "x" else (whole.y0, whole.y1)
    yield (low, high) if low - first <= last - high else (high, low)


def _swing(hinge: int, jamb: int, way: Rect, axis: str, inward: int, grid: Grid) -> str:
    face = (way.y0 if axis == "x" else way.x0) + 0.5 + inward * THIN
    length = abs(jamb - hinge)
    tip = face + inward * length
    points = [(hinge, face), (hinge, tip), (jamb, face)]
    root, end, closed = (grid.at(*(p if axis == "x" else p[::-1])) for p in points)
    cross = (end[0] - root[0]) * (closed[1] - root[1]) - (end[1] - root[1]) * (closed[0] - root[0])
    radius = num(20 * length)
    arc = f"M{_xy(end)} A{radius} {radius} 0 0 {int(cross > 0)} {_xy(closed)}"
    leaf = tag("path", d=f"M{_xy(root)} L{_xy(end)}", stroke_width=2)
    return leaf + tag("path", d=arc, stroke_width=0.6, stroke=SOFT)


def _xy(point: tuple[float, float]) -> str:
    return f"{num(point[0])} {num(point[1])}"
