"""Where one sits out of doors: boards let out from a veranda over the garden; its walk stays free."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence

from genhouse.core.axes import FLANKS, SIDES, STEP, Side, opposite
from genhouse.core.box import Rect
from genhouse.core.draw import Draw
from genhouse.core.region import Cell
from genhouse.model.laid import Laid
from genhouse.model.room import OUTER, Room
from genhouse.stages.court import Court
from genhouse.stages.gardens.lot import near
from genhouse.traditions.tradition import LEAF, Tradition

HEAD = 4
"""Layers over a garden's ground that boards and who sits there take."""


def seats(
    rooms: Sequence[Room],
    courts: Sequence[Court],
    laid: Laid,
    tradition: Tradition,
    draw: Draw,
) -> Iterator[tuple[str, Room, Rect, Side]]:
    """For each court for the house and each outer veranda its seat, where there is room: fitting, court or
    veranda, ground, the way it looks.

    laid: all that stands there, the garden too.  It stands on bare ground by the middle of a veranda's
    side, on no walk, and before no step; where it finds no place, a smaller one does.
    """
    fittings = dict(tradition.fittings)
    outside = [name for name, fitting in fittings.items() if fitting.against == "veranda"]
    lesser = {fittings[name].smaller for name in outside}
    names = [name for name in outside if name not in lesser]
    if not names:
        return
    for n, room, ground, veranda, sides, bare in _grounds(rooms, courts, laid, tradition.wet):
        name = draw.at(n).choice(names, "seat")
        while name:
            if best := _places(ground, veranda, sides, fittings[name].size, bare):
                rect, side = draw.at(n).choice(best, "side")
                yield name, room, rect, opposite(side)
                break
            name = fittings[name].smaller


def _grounds(
    rooms: Sequence[Room], courts: Sequence[Court], laid: Laid, wet: Collection[str]
) -> Iterator[tuple[int, Room, Rect, Room, tuple[Side, ...], set[Cell]]]:
    """Where there may be a seat: a number, whose it is, the ground, the veranda along some of its sides,
    and cells that are bare: of the courts for the house, and before outer verandas."""
    gardens = [room for room in rooms if room.kind in ("court", "service court")]
    verandas = [room for room in rooms if room.kind == "veranda"]
    for n, (garden, veranda, court) in enumerate(zip(gardens, verandas, courts, strict=False)):
        if garden.kind == "court" and veranda.floor == garden.floor + 1:
            bare = _bare(garden.rect, garden.floor, laid, wet) - _kept(court)
            yield n, garden, garden.rect, veranda, SIDES, bare
    for walk in (room for room in rooms if room.kind == OUTER):
        (ground,) = walk.sunken
        bare = _bare(ground, walk.floor - 1, laid, wet)
        tall = _taken(ground.grown(1), walk.floor, laid, (), LEAF)
        bare -= near(tall)  # so that one climbs on no fence from it
        yield walk.id, walk, ground, walk, FLANKS[ground.longer], bare


def _places(
    garden: Rect,
    veranda: Room,
    sides: Iterable[Side],
    size: tuple[int, int],
    bare: Collection[Cell],
) -> list[tuple[Rect, Side]]:
    """Where a seat of a size has bare ground by the veranda, near the middle of a side; how it lies."""
    found = [
        (off, rect, side)
        for side in sides
        for off, rect in _along(garden, veranda, side, size)
        if all(cell in bare for cell in rect.cells())
    ]
    least = min((off for off, *_ in found), default=0)
    return [(rect, side) for off, rect, side in found if off <= least + 2]


def _along(
    garden: Rect, veranda: Room, side: Side, size: tuple[int, int]
) -> Iterator[tuple[int, Rect]]:
    """Places by a veranda on one side of a garden, each with how far it is from the middle, doubled."""
    (long, deep), (dx, dy) = size, STEP[side]
    width, depth = (long, deep) if dx == 0 else (deep, long)
    x0 = garden.x1 - width if dx > 0 else garden.x0
    y0 = garden.y1 - depth if dy > 0 else garden.y0
    for n in range((garden.width - width if dx == 0 else garden.depth - depth) + 1):
        rect = Rect(x0, y0, x0 + width, y0 + depth)
        rect = (
            Rect(rect.x0 + n, y0, rect.x1 + n, y0 + depth)
            if dx == 0
            else Rect(x0, y0 + n, x0 + width, y0 + depth + n)
        )
        edge = Rect(rect.x0 + dx, rect.y0 + dy, rect.x1 + dx, rect.y1 + dy)
        if all(veranda.has(*c) for c in edge.cells() if not rect.has(*c)):
            middle = (
                rect.x0 + rect.x1 - garden.x0 - garden.x1
                if dx == 0
                else rect.y0 + rect.y1 - garden.y0 - garden.y1
            )
            yield abs(middle), rect


def _kept(court: Court) -> set[Cell]:
    """Cells of a garden that its walk crosses or on which a step looks."""
    before = {(i + dx, j + dy) for i, j in court.steps for dx, dy in STEP.values()}
    return {*court.walk, *court.steps, *before}


def _bare(r: Rect, floor: int, laid: Laid, wet: Collection[str]) -> set[Cell]:
    """Cells of a garden with dry ground, and nothing on it.  floor: z of the layer over it."""
    return set(r.cells()) - _taken(r, floor, laid, wet)


def _taken(r: Rect, floor: int, laid: Laid, wet: Collection[str], layers: int = HEAD) -> set[Cell]:
    """Cells of some ground with water in it or something on it, in so many layers."""
    _, deep, high = laid.size
    x, rest = laid.cell // (deep * high), laid.cell % (deep * high)
    y, z = rest // high, rest % high
    here = (x >= r.x0) & (x < r.x1) & (y >= r.y0) & (y < r.y1) & (z >= floor - 1)
    here &= z < floor + layers
    water = {n for n, part in enumerate(laid.parts) if part.role in wet}
    return {
        (i, j)
        for i, j, k, part in zip(*(a[here].tolist() for a in (x, y, z, laid.part)), strict=True)
        if k >= floor or part in water
    }
