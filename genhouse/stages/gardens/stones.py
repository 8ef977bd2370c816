"""Stones in groups with one that leads, the gravel raked round them, and lanterns."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from genhouse.core.draw import Draw
from genhouse.core.forms import FORMS, NUMBER
from genhouse.core.noise import UNIT
from genhouse.stages.gardens.lot import (
    Cell,
    Lot,
    Pieces,
    around,
    away_from,
    mixed,
    moves,
    near,
    ring,
)

GROUPS: dict[int, tuple[str, ...]] = {
    1: ("dome",),
    2: ("rock", "flat rock"),
    3: ("rock", "dome", "flat rock"),
    5: ("rock", "dome", "flat rock", "rock", "flat rock"),
}
"""Forms of the stones of a group, the leading one first."""

KNEE = 2
"""Quarters of a cell up to which what one stands on helps nobody onto a lantern."""


def group(lead: Cell, count: int, free: Collection[Cell], draw: Draw) -> Pieces:
    """A leading stone and those that lean to it; a group of five has its leader raised.

    free: cells that stones may take; where they do not suffice, the group is smaller.
    """
    cells = [lead]
    for n in range(count - 1):
        near = [c for c in around(lead) if c in free and c not in cells]
        if not near:
            break
        cells.append(mixed(near, draw, f"stone {n}")[0])
    forms = GROUPS[count]
    stones = {(x, y, 0): ("boulder", form) for (x, y), form in zip(cells, forms, strict=False)}
    if count == 5:
        stones[lead[0], lead[1], 0] = ("boulder", "whole")
        stones[lead[0], lead[1], 1] = ("boulder", "dome")
    return stones


def farthest(cells: Iterable[Cell], taken: Collection[Cell], draw: Draw) -> Cell | None:
    """The cell that lies farthest from all that is taken; ties by draw."""
    order = mixed(cells, draw, "far")
    far = moves(order, taken)
    return order[far.index(max(far))] if order else None


def raked(lot: Lot, gravel: Collection[Cell], stones: Collection[Cell]) -> Pieces:
    """Gravel in bands of two tones, ridge and furrow, that run round the stones as contours do.

    A contour is where twice the distance to the nearest stone (by side 2, by corner 3), bent by
    noise, passes a multiple of two.
    """
    found: Pieces = {}
    for x, y in gravel:
        apart = [(abs(x - i), abs(y - j)) for i, j in stones]
        bare = 2 * (y - lot.ground.y0)
        far = min([a + b + (a if a > b else b) for a, b in apart], default=bare)
        band = (far * UNIT + 3 * lot.noise[x, y]) // (2 * UNIT)
        found[x, y, -1] = ("raked-gravel" if band % 2 else "garden-gravel", "whole")
    return found


def lantern(cell: Cell) -> Pieces:
    """A stone lamp on its post."""
    x, y = cell
    return {(x, y, 0): ("basin", "post"), (x, y, 1): ("garden-lamp", "lamp head")}


def lanterns(
    lot: Lot, free: Collection[Cell], centre: Collection[Cell], way: Collection[Cell]
) -> Pieces:
    """One by what the garden is about, one by a step where the garden is large; both off the walk."""
    wanted = [centre or way]
    if lot.ground.area >= 80 and lot.steps:
        wanted.append((max(lot.steps, key=lambda s: (away_from(s, centre), s)),))
    lit: Pieces = {}
    for n, about in enumerate(wanted):
        close = ring(about) & set(free) - near(((x, y) for x, y, _ in lit), 4)
        spots = mixed(close & ring(way) or close, lot.draw, f"lantern {n}")
        lit |= lantern(spots[0]) if spots else {}
    return lit


def unclimbed(pieces: Pieces, fenced: Collection[Cell]) -> Pieces:
    """Some pieces without a lantern from which one could climb a boundary or a shed, from what stands low
    beside it.

    fenced: cells beside these.
    """
    lit = {(x, y) for (x, y, _), (role, _) in pieces.items() if role == "garden-lamp"}
    high = {
        (x, y)
        for (x, y, z), (_, form) in pieces.items()
        if z == 0 and (x, y, 1) not in pieces and _mounted(form)
    }
    left_out = {c for c in lit.intersection(fenced) if not high.isdisjoint(around(c))}
    return {spot: look for spot, look in pieces.items() if spot[:2] not in left_out or spot[2] < 0}


def _mounted(form: str) -> bool:
    """Whether one who stands on it is as high as the head of a lantern."""
    return bool(FORMS[NUMBER[form]].shape[:, :, KNEE:].any())
