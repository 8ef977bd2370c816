"""What stands in the rooms of a plan, drawn lightly: fittings, hearth, stair, rails and lamps."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

from genhouse.core.axes import SIDES, STEP, Side
from genhouse.core.box import Rect, runs
from genhouse.core.forms import FORMS, NUMBER
from genhouse.model.design import Design
from genhouse.model.part import Part
from genhouse.model.room import Stair
from genhouse.outputs.plans._ground import guards, parts_of
from genhouse.outputs.plans._pen import BRICK, CARD, INK, SOFT, Grid, group, letters, together
from genhouse.outputs.setting_out import posts_of
from genhouse.outputs.storeys import Storey, flights

ROUND = {
    "jar": 0.32,
    "bowl": 0.24,
    "ball": 0.36,
    "dome": 0.36,
    "sack": 0.36,
    "tuft": 0.3,
    "standing lamp": 0.2,
}
"""Radius of the pieces that are round from above, in cells."""


STEPPED = "half course"
"""The form of a step of half a cell."""


def piece_of(part: Part) -> tuple[str, str]:
    """Family and facing of a part's form."""
    form = FORMS[NUMBER[part.form]]
    return form.piece, form.facing


def draw_fittings(design: Design, storey: Storey, grid: Grid) -> str:
    """Outlines of what stands on the floor of a storey."""
    low = _of_stage(design, "fittings", storey.carries)
    return group(
        *_merged(low, grid), *_singles(low, grid), fill=CARD, stroke=SOFT, stroke_width=0.7
    )


def _of_stage(design: Design, stage: str, chosen: Callable[[Part], bool]) -> list[Part]:
    return [p for p in design.parts if p.stage == stage and chosen(p)]


def _merged(parts: list[Part], grid: Grid) -> Iterator[str]:
    """Neighbouring pieces of one kind and role read as one thing."""
    kinds: dict[tuple[str, str, str], list[Part]] = {}
    for part in parts:
        kinds.setdefault((part.role, *piece_of(part)), []).append(part)
    for (_, piece, _), same in sorted(kinds.items(), key=lambda kind: kind[0]):
        if piece in ROUND or piece in ("cushion", "panel", "stove"):
            continue
        for box in runs([c for p in same for c in p.box.cells()]):
            yield _block(box.rect, piece, grid)


def _block(r: Rect, piece: str, grid: Grid) -> str:
    frame = grid.frame(r)
    match piece:
        case "shelf":
            corners = grid.line(r.x0 + 0.08, r.y0 + 0.08, r.x1 - 0.08, r.y1 - 0.08)
            return frame.inset(1.5).draw() + corners
        case "bed head":
            return frame.inset(1.5).draw() + frame.inset(5).draw(rx=3)
        case "tub":
            return frame.inset(1.5).draw() + frame.inset(4.5).draw(rx=5)
        case "low table" | "table":
            return frame.inset(3).draw()
        case "half course":
            return frame.inset(1.5).draw(rx=1.5)
        case "rail" | "bar":
            return frame.inset(7).draw()
    return frame.inset(1.5).draw()


def _singles(parts: list[Part], grid: Grid) -> Iterator[str]:
    for p in parts:
        piece, facing = piece_of(p)
        x, y = p.box.x0, p.box.y0
        if piece in ROUND:
            yield grid.circle(x + 0.5, y + 0.5, ROUND[piece])
        elif piece == "cushion":
            yield grid.frame(p.box.rect).inset(5.5).draw(rx=2)
        elif piece == "panel":
            yield _panel(p.box.rect, facing, grid)
        elif piece == "stove":
            yield grid.frame(p.box.rect).inset(0.8).draw(stroke=BRICK, stroke_width=1.2)


def _panel(r: Rect, facing: str, grid: Grid) -> str:
    """A thin upright board along one side of its cell."""
    return grid.frame(
        {
            "east": (r.x1 - 0.25, r.y0, r.x1, r.y1),
            "west": (r.x0, r.y0, r.x0 + 0.25, r.y1),
            "north": (r.x0, r.y1 - 0.25, r.x1, r.y1),
        }.get(facing, (r.x0, r.y0, r.x1, r.y0 + 0.25))
    ).draw()


def draw_lamps(design: Design, storey: Storey, grid: Grid) -> str:
    """A cross in a circle, where a lamp hangs or stands."""
    lamps = _of_stage(design, "lamps", storey.has)
    return group(*(_lamp(p.box.rect, grid) for p in lamps), stroke="#b07a2e", stroke_width=0.7)


def _lamp(r: Rect, grid: Grid) -> str:
    x, y, n = r.x0 + 0.5, r.y0 + 0.5, 0.13
    cross = grid.line(x - n, y - n, x + n, y + n) + grid.line(x - n, y + n, x + n, y - n)
    return grid.circle(x, y, 0.18, fill=CARD) + cross


def draw_stair(design: Design, storey: Storey, grid: Grid) -> str:
    """Treads, the way up or down, and above the well with its rails."""
    return group(
        *(_flight(flight, low == storey.level, grid) for flight, low in flights(design, storey)),
        *(_half_step(*step, grid) for step in half_steps(design, storey)),
        group(*_rails(design, storey, grid), stroke=INK, fill=INK),
    )


def _flight(stair: Stair, up: bool, grid: Grid) -> str:
    steps = stair.run if up else stair.run[1:]
    first, last = (steps[0], steps[-1]) if up else (steps[-1], steps[0])
    dash = {} if up else {"stroke_dasharray": "4 2.5"}
    treads = (grid.frame(step).draw(fill=CARD, **dash) for step in steps)
    return together(
        group(*treads, stroke=SOFT, stroke_width=0.8),
        _arrow(first, last, grid),
        _word("Up" if up else "Down", first, stair.rise, grid),
    )


def half_steps(design: Design, storey: Storey) -> Iterator[tuple[Rect, Side]]:
    """The steps within rooms before ways up to a higher floor, cell by cell, and the way up."""
    indoor = [room for room in storey.rooms if room.indoor]
    floors = {cell: room.floor for room in indoor for r in room.rects for cell in r.cells()}
    for part in design.parts:
        if (part.stage, part.form) == ("floors", STEPPED):
            for x, y in part.box.rect.cells():
                up = [s for s in SIDES if _past_wall(floors, (x, y), s) > part.box.z0]
                if floors.get((x, y)) == part.box.z0 and up:
                    yield Rect(x, y, x + 1, y + 1), up[0]


def _past_wall(floors: Mapping[tuple[int, int], int], cell: tuple[int, int], side: Side) -> int:
    """The floor past a wall beside a cell; 0 where no room is."""
    dx, dy = STEP[side]
    return floors.get((cell[0] + 2 * dx, cell[1] + 2 * dy), 0)


def _half_step(step: Rect, up: Side, grid: Grid) -> str:
    """A tread and a mark that points up."""
    (x, y), (dx, dy) = _middle(step), STEP[up]
    tip, foot = (x + 0.28 * dx, y + 0.28 * dy), (x - 0.2 * dx, y - 0.2 * dy)
    mark = [
        tip,
        (foot[0] - 0.24 * dy, foot[1] + 0.24 * dx),
        (foot[0] + 0.24 * dy, foot[1] - 0.24 * dx),
    ]
    return together(
        grid.frame(step).draw(fill=CARD, stroke=SOFT, stroke_width=0.8),
        grid.polygon(mark, fill=INK),
    )


def _middle(r: Rect) -> tuple[float, float]:
    return ((r.x0 + r.x1) / 2, (r.y0 + r.y1) / 2)


def _arrow(first: Rect, last: Rect, grid: Grid) -> str:
    (ax, ay), (bx, by) = _middle(first), _middle(last)
    length = max(abs(bx - ax), abs(by - ay))
    dx, dy = (bx - ax) / length, (by - ay) / length
    tip = (bx + 0.3 * dx, by + 0.3 * dy)
    back = (tip[0] - 0.45 * dx, tip[1] - 0.45 * dy)
    head = [
        tip,
        (back[0] - 0.17 * dy, back[1] + 0.17 * dx),
        (back[0] + 0.17 * dy, back[1] - 0.17 * dx),
    ]
    return (
        grid.circle(ax, ay, 0.08, fill=INK)
        + grid.line(ax, ay, *back, stroke=INK, stroke_width=0.9)
        + grid.polygon(head, fill=INK)
    )


def _word(text: str, step: Rect, rise: str, grid: Grid) -> str:
    """Beside the arrow, on the step it starts from."""
    mx, my = _middle(step)
    x, y = (mx, my - 0.55) if rise in ("east", "west") else (mx + 0.55, my)
    if rise in ("east", "west") and step.depth < 2:
        y = my
    px, py = grid.at(x, y)
    return letters(px, py + 2.2, text, 6.5, text_anchor="middle", fill=INK)


def _rails(design: Design, storey: Storey, grid: Grid) -> Iterator[str]:
    for p in _of_stage(design, "stair", storey.carries):
        if guards(p):
            yield from _rail(p.box.rect, p.form.split()[1], grid)  # type: ignore[arg-type]


def _rail(r: Rect, side: Side, grid: Grid) -> Iterator[str]:
    """A line along one side of a cell with a baluster at each end."""
    dx, dy = STEP[side]
    x, y = r.x0 + 0.5 + 0.4 * dx, r.y0 + 0.5 + 0.4 * dy
    ends = ((x - abs(dy) / 2, y - abs(dx) / 2), (x + abs(dy) / 2, y + abs(dx) / 2))
    yield grid.line(*ends[0], *ends[1], stroke_width=1.4)
    yield from (grid.circle(*end, 0.08) for end in ends)


def lamps_on(design: Design, storey: Storey) -> tuple[Rect, ...]:
    """The cells in which a lamp is drawn."""
    return tuple(p.box.rect for p in _of_stage(design, "lamps", storey.has))


def standing(design: Design, storey: Storey) -> list[Part]:
    """Posts and flues in its rooms."""
    flues = design.palette.having("flues")
    return [
        *(p for p in posts_of(design) if storey.pierces(p)),
        *(p for p in design.parts if p.role in flues and storey.pierces(p)),
    ]


def obstacles(design: Design, storey: Storey) -> tuple[tuple[Rect, ...], tuple[Rect, ...]]:
    """Rectangles that lettering must not cross, and those it should rather not."""
    hard = [p.box.rect for p in standing(design, storey)]
    for flight, low in flights(design, storey):
        hard += flight.run if low == storey.level else (flight.well, flight.run[0])
    soft = [
        *(p.box.rect for p in _of_stage(design, "fittings", storey.carries)),
        *lamps_on(design, storey),
        *(p.box.rect for p in parts_of(design, "court", "bold")),
        *(s.cells for s in design.segments if s.level == storey.level and s.boundary == "open"),
        *(p.box.rect.grown(1) for p in design.parts if p.form.startswith("door") and storey.has(p)),
    ]
    return tuple(hard), tuple(soft)
