"""How unlike two houses are, and a choice in which no two are alike, inside or outside.

The distance inside is 0 for the same house and at most 1: half of it is the ground plan, three tenths
the programme, two tenths the build.  How they look from outside has a distance of its own.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from operator import ne

from genhouse.many import outside
from genhouse.many.outside import Look, look
from genhouse.model.design import Design
from genhouse.model.voxels import Voxels
from genhouse.outputs.figures._tables import ShellFigures

GRID = 16
"""Points along each side of a plan at which its use is looked up."""
PLAN, PROGRAMME, BUILD = 0.5, 0.3, 0.2
ALIKE = 0.15
"""Houses nearer than this, or as near outside as ``outside.ALIKE``, are near-duplicates."""
Seen = tuple[float, float, float]
"""Distances outside: of heights, colours, and the rhythm of fronts."""
MANY = 4096
"""Plans that are kept at hand while houses are compared, each with every other."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Features:
    """uses: kind of room at each point of the lower storey, rows from the gate inward, '' elsewhere.

    areas: clear floor by kind of room, sorted.  build: plot across and along the gate's way, wings,
    courts, ridges, hips, valleys and the deepest room.  look: from outside.
    """

    uses: tuple[str, ...]
    areas: tuple[tuple[str, int], ...]
    build: tuple[int, ...]
    look: Look


def features(design: Design, voxels: Voxels, measured: ShellFigures) -> Features:
    """What is compared of a house.  voxels, measured: of its shell will do."""
    width, depth = design.plot
    along = design.gate_side in ("east", "west")
    roof = measured.roof
    return Features(
        uses=_uses(design),
        areas=tuple(sorted(measured.areas.items())),
        build=(
            *((depth, width) if along else (width, depth)),
            len(design.wings),
            len(design.courts),
            roof.ridges,
            roof.hips,
            roof.valleys,
            max(room.depth for room in measured.rooms),
        ),
        look=look(design, voxels),
    )


def _uses(design: Design) -> tuple[str, ...]:
    """From left to right for someone who comes in at the gate, then ahead."""
    width, depth = design.plot
    plan = [[""] * depth for _ in range(width)]
    lowest = min(room.level for room in design.rooms)
    for room in design.rooms:
        for x0, y0, x1, y1 in room.rects if room.level == lowest else ():
            for column in plan[x0:x1]:
                column[y0:y1] = [room.kind] * (y1 - y0)
    points = [_spread(n) for n in range(GRID)]
    cells = (_cell(design, across, ahead) for ahead in points for across in points)
    return tuple(plan[x][y] for x, y in cells)


def _spread(n: int) -> tuple[int, bool]:
    """A point's place in parts of 2 * GRID, from the nearer end; and whether that is the far end.

    Counting from the nearer end makes a mirrored plan the mirrored answer, cell for cell.
    """
    far = n >= GRID // 2
    return 2 * (GRID - 1 - n if far else n) + 1, far


def _cell(design: Design, across: tuple[int, bool], ahead: tuple[int, bool]) -> tuple[int, int]:
    width, depth = design.plot
    x, y, turn_x, turn_y = {
        "south": (across, ahead, False, False),
        "north": (across, ahead, True, True),
        "east": (ahead, across, True, False),
        "west": (ahead, across, False, True),
    }[design.gate_side]
    return _along(x, width, turn_x), _along(y, depth, turn_y)


def _along(place: tuple[int, bool], length: int, turned: bool) -> int:
    part, far = place
    cell = part * length // (2 * GRID)
    return length - 1 - cell if far != turned else cell


def distance(a: Features, b: Features) -> float:
    """0 to 1; a house and its mirror image are the same."""
    plan = min(_unlike(a.uses, b.uses), _unlike(a.uses, _mirrored(b.uses)))
    programme = _unshared(dict(a.areas), dict(b.areas))
    build = sum(_apart(m, n) for m, n in zip(a.build, b.build, strict=True)) / len(a.build)
    return PLAN * plan + PROGRAMME * programme + BUILD * build


def _unlike(a: tuple[str, ...], b: tuple[str, ...]) -> float:
    """The part of the points, in or about either house, whose use differs."""
    used = (_covered(a) | _covered(b)).bit_count()
    differ: int = sum(map(ne, a, b))
    return differ / max(1, used)


@lru_cache(maxsize=MANY)
def _covered(uses: tuple[str, ...]) -> int:
    """The points that are in or about the house, a bit each."""
    return int("".join("1" if use else "0" for use in uses), 2)


@lru_cache(maxsize=MANY)
def _mirrored(uses: tuple[str, ...]) -> tuple[str, ...]:
    rows = (uses[n : n + GRID] for n in range(0, len(uses), GRID))
    return tuple(use for row in rows for use in row[::-1])


def _unshared(a: dict[str, int], b: dict[str, int]) -> float:
    """The part of all floor that the two do not have in common (J. Bray and J. Curtis 1957)."""
    shared = sum(min(area, b.get(kind, 0)) for kind, area in a.items())
    return 1 - 2 * shared / max(1, sum(a.values()) + sum(b.values()))


def _apart(a: int, b: int) -> float:
    """The difference, to the greater."""
    return abs(a - b) / max(a, b, 1)


def alike(a: Features, b: Features) -> bool:
    """Whether they are near-duplicates: nearer than one of the two floors."""
    return distance(a, b) < ALIKE or outside.alike(a.look.heights, b.look.heights)


def seen(a: Features, b: Features) -> Seen:
    """How far apart they are outside: in their heights, their colours, the rhythm of their fronts."""
    one, other = a.look, b.look
    apart = outside.outside(one.heights, other.heights)
    return float(apart), float(outside.colours(one, other)), float(outside.rhythm(one, other))


def spread(a: Features, b: Features) -> float:
    """What a choice makes as great as it can: the distance inside, and the mean of those outside."""
    return distance(a, b) + sum(seen(a, b)) / 3


def told_apart(ranked: Sequence[Features]) -> tuple[list[int], list[int]]:
    """Numbers of those that no better one is alike, and of the near-duplicates that are dropped."""
    kept: list[int] = []
    dropped: list[int] = []
    for n, one in enumerate(ranked):
        near = any(alike(one, ranked[k]) for k in kept)
        (dropped if near else kept).append(n)
    return kept, dropped


def farthest(pool: Sequence[Features], most: int) -> list[int]:
    """A choice from the pool: its first, then each time the one farthest from all chosen, sorted.

    T. Gonzalez, "Clustering to minimize the maximum intercluster distance", Theoretical Computer
    Science 38 (1985) 293-306 (from memory).
    """
    chosen = [0] if pool else []
    gap = [spread(one, pool[0]) for one in pool]
    while len(chosen) < min(most, len(pool)):
        best = max((n for n in range(len(pool)) if n not in chosen), key=lambda n: (gap[n], -n))
        chosen.append(best)
        gap = [min(g, spread(one, pool[best])) for g, one in zip(gap, pool, strict=True)]
    return sorted(chosen)


def distances(chosen: Sequence[Features]) -> tuple[tuple[float, ...], ...]:
    """Between each two, in rows, inside."""
    return tuple(tuple(distance(a, b) for b in chosen) for a in chosen)
