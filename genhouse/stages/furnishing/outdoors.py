"""Where one sits out of doors: boards let out from a veranda over the garden; its walk stays free."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

from genhouse.core.axes import SIDES, STEP, Side, opposite
from genhouse.core.box import Rect
from genhouse.core.draw import Draw
from genhouse.model.laid import Laid
from genhouse.model.room import Room
from genhouse.stages.court import Court
from genhouse.traditions.tradition import Tradition

HEAD = 4
"""Layers over a garden's ground that boards and who sits there take."""


def seats(
    rooms: Sequence[Room],
    courts: Sequence[Court],
    laid: Laid,
    tradition: Tradition,
    draw: Draw,
) -> Iterator[tuple[str, Room, Rect, Side]]:
    """For each court for the house its seat, where there is room: fitting, court, ground, the way it looks.

    laid: all that stands there, the garden too.  It stands on bare ground by the middle of a veranda's
    side, on no walk, and before no step; where it finds no place, a smaller one does.
    """
    fittings = dict(tradition.fittings)
    outside = [name for name, fitting in fittings.items() if fitting.against == "veranda"]
    lesser = {fittings[name].smaller for name in outside}
    names = [name for name in outside if name not in lesser]
    gardens = [room for room in rooms if room.kind in ("court", "service court")]
    verandas = [room for room in rooms if room.kind == "veranda"]
    wet = tradition.wet
    for n, (garden, veranda, court) in enumerate(zip(gardens, verandas, courts, strict=True)):
        if garden.kind != "court" or not names:
            continue
        bare = _bare(garden, court, laid, wet)
        name = draw.at(n).choice(names, "seat")
        while name:
            if best := _places(garden.rect, veranda, fittings[name].size, bare):
                rect, side = draw.at(n).choice(best, "side")
                yield name, garden, rect, opposite(side)
                break
            name = fittings[name].smaller


def _places(
    garden: Rect, veranda: Room, size: tuple[int, int], bare: Collection[tuple[int, int]]
) -> list[tuple[Rect, Side]]:
    """Where a seat of a size has bare ground by the veranda, near the middle of a side; how it lies."""
    found = [
        (off, rect, side)
        for side in SIDES
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


def _bare(garden: Room, court: Court, laid: Laid, wet: Collection[str]) -> set[tuple[int, int]]:
    """Cells of a garden with dry ground, and nothing on it, that no walk crosses or step looks on."""
    _, deep, high = laid.size
    x, rest = laid.cell // (deep * high), laid.cell % (deep * high)
    y, z = rest // high, rest % high
    r = garden.rect
    near = (x >= r.x0) & (x < r.x1) & (y >= r.y0) & (y < r.y1) & (z >= garden.floor - 1)
    near &= z < garden.floor + HEAD
    water = {n for n, part in enumerate(laid.parts) if part.role in wet}
    taken = {
        (i, j)
        for i, j, k, part in zip(*(a[near].tolist() for a in (x, y, z, laid.part)), strict=True)
        if k >= garden.floor or part in water
    }
    kept = {*court.walk, *court.steps}
    kept |= {(i + dx, j + dy) for i, j in court.steps for dx, dy in STEP.values()}
    return set(r.cells()) - taken - kept
