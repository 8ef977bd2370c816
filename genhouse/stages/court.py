"""Court: the garden inside the verandas, its steps, its walk, its water and its planting."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from genhouse.core.box import Box, Rect, runs
from genhouse.core.draw import Draw
from genhouse.core.noise import UNIT, gradient
from genhouse.model.brief import Brief
from genhouse.model.part import Part
from genhouse.stages.rooms import Rooms
from genhouse.stages.site import Site
from genhouse.traditions.loader import Tradition
from genhouse.traditions.shelf import GARDENS

Garden = Literal["pond", "gravel", "moss", "grove"]
Cell = tuple[int, int]
GLOW = 8
"""Steps along the axes to which a stone lamp lights a garden."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Court:
    """A planned garden; every set of cells is sorted.

    walk: stepping stones, level with the ground.  steps: the shoe stones below a veranda.
    """

    kind: Garden
    ground: Rect
    walk: tuple[Cell, ...]
    steps: tuple[Cell, ...]
    water: tuple[Cell, ...]
    rim: tuple[Cell, ...]
    boulders: tuple[Cell, ...]
    moss: tuple[Cell, ...]
    shrubs: tuple[Cell, ...]
    trees: tuple[tuple[int, int, int], ...]
    lamps: tuple[Cell, ...]


def plan_court(site: Site, rooms: Rooms, brief: Brief, draw: Draw) -> tuple[Court, ...]:
    """One garden a court."""
    return tuple(
        _garden(rooms, site.garden(court), brief, draw.at(i), first=i == 0)
        for i, court in enumerate(site.courts)
    )


def _garden(rooms: Rooms, ground: Rect, brief: Brief, draw: Draw, *, first: bool) -> Court:
    kind = brief.garden or draw.choice(GARDENS, "kind", weights=(4, 3, 2, 2))
    steps = tuple(sorted(set(_steps(rooms, ground, draw))))
    starts = list(steps)
    gate = next((e for e in rooms.entrances if e.kind == "front" and e.room == 0), None)
    if first and gate is not None:
        starts += [
            c for c in ((x, gate.way.y1) for x in range(gate.way.x0, gate.way.x1)) if ground.has(*c)
        ]
    walk = _walk(starts, draw)
    free = set(ground.cells()) - walk - set(steps)
    water = _pond(ground, free, draw) if kind == "pond" else set()
    rim = {c for w in water for c in _around(w)} & free - water
    left = free - water
    under = gate.way.grown(3) if first and gate is not None else Rect(0, 0, 0, 0)
    trees = _trees(ground, {c for c in left - rim if not under.has(*c)}, kind, draw)
    trunks = {(x, y) for x, y, _ in trees}
    islands = _islands(ground, rim or left - trunks, kind, draw)
    boulders = {c for group in islands for c in group} & left - trunks
    lamps = _lamps(ground, sorted(left - boulders - trunks), walk, draw)
    open_ground = left - boulders - trunks - lamps - rim
    shrubs = _shrubs(ground, open_ground, kind, draw)
    moss = _moss(left, boulders | trunks | shrubs, kind, draw)
    return Court(
        kind=kind,  # type: ignore[arg-type]
        ground=ground,
        walk=tuple(sorted(walk - set(steps))),
        steps=steps,
        water=tuple(sorted(water)),
        rim=tuple(sorted(rim)),
        boulders=tuple(sorted(boulders)),
        moss=tuple(sorted(moss - rim)),
        shrubs=tuple(sorted(shrubs)),
        trees=trees,
        lamps=tuple(sorted(lamps)),
    )


def _islands(ground: Rect, cells: set[Cell], kind: str, draw: Draw) -> list[tuple[Cell, ...]]:
    """Groups of stones: a large one with a smaller beside it, few and far apart."""
    most = max(1, ground.area // {"pond": 22, "gravel": 26, "moss": 50, "grove": 70}[kind])
    centres = _scatter(sorted(cells), draw.at("islands"), 3 if kind == "pond" else 4, set())
    ranked = sorted(centres, key=lambda c: draw.word(f"island/{c}"))[: min(most, 7)]
    return [
        (c, draw.choice(sorted(cells & set(_around(c))) or [c], f"beside/{c}"))
        if draw.chance(1, 2, f"pair/{c}")
        else (c,)
        for c in sorted(ranked)
    ]


def _shrubs(ground: Rect, cells: set[Cell], kind: str, draw: Draw) -> set[Cell]:
    if kind == "gravel":
        return set()
    spots = _scatter(sorted(cells), draw.at("shrubs"), 2, set())
    most = max(1, ground.area // {"pond": 20, "moss": 16, "grove": 14}[kind])
    return set(sorted(spots, key=lambda c: draw.word(f"shrub/{c}"))[: min(most, 9)])


def _moss(cells: set[Cell], planted: set[Cell], kind: str, draw: Draw) -> set[Cell]:
    """Moss round what stands; over most of the ground in a moss garden, by the lie of the noise."""
    near = {n for c in planted for n in _around(c)} | planted
    if kind == "gravel":
        return cells & near
    least = {"pond": UNIT // 6, "moss": -UNIT // 4, "grove": -UNIT // 16}[kind]
    return {c for c in cells if _noise(c, draw) > least} | (cells & near)


def _around(cell: Cell) -> Iterator[Cell]:
    x, y = cell
    return ((x + i, y + j) for i in (-1, 0, 1) for j in (-1, 0, 1) if i or j)


def _noise(cell: Cell, draw: Draw) -> int:
    return gradient(cell[0] * 2 + 1, cell[1] * 2 + 1, layer=draw.below(256, "ground"))


def _steps(rooms: Rooms, ground: Rect, draw: Draw) -> Iterator[Cell]:
    """A shoe stone below each side's veranda, opposite some screens."""
    for side, at, axis in (
        ("south", ground.y0, "x"),
        ("north", ground.y1 - 1, "x"),
        ("west", ground.x0, "y"),
        ("east", ground.x1 - 1, "y"),
    ):
        found: list[Cell] = []
        for s in rooms.segments:
            if (
                s.level != 1
                or s.boundary != "court"
                or s.opening != "screens"
                or s.axis != axis
                or s.way is None
            ):
                continue
            line = s.cells.y0 if axis == "x" else s.cells.x0
            near = line - at if side in ("north", "east") else at - line
            if near == 2:
                found += [(x, at) if axis == "x" else (at, y) for x, y in s.way.cells()]
        found = [c for c in found if ground.has(*c)]
        if found:
            yield draw.choice(sorted(found), f"step {side}")


def _walk(starts: list[Cell], draw: Draw) -> set[Cell]:
    """Stepping stones from each start to the next, by one turn."""
    walk: set[Cell] = set(starts)
    for i, ((x0, y0), (x1, y1)) in enumerate(pairwise(starts)):
        corner = (x1, y0) if draw.chance(1, 2, f"turn {i}") else (x0, y1)
        for (ax, ay), (bx, by) in (((x0, y0), corner), (corner, (x1, y1))):
            walk |= (
                {(x, ay) for x in range(min(ax, bx), max(ax, bx) + 1)}
                if ay == by
                else {(ax, y) for y in range(min(ay, by), max(ay, by) + 1)}
            )
    return walk


def _pond(ground: Rect, free: set[Cell], draw: Draw) -> set[Cell]:
    """Grown from the freest spot, roundish, a quarter of the garden at most."""

    def room(c: Cell) -> int:
        return next(
            n
            for n in range(99)
            if any(
                (c[0] + i, c[1] + j) not in free for i in range(-n, n + 1) for j in range(-n, n + 1)
            )
        )

    spots = sorted(free, key=lambda c: (-room(c), draw.word(f"pond/{c}")))
    if not spots:
        return set()
    cx, cy = spots[0]
    wanted = max(1, min(ground.area // 4, 24))
    inner = [c for c in free if room(c) > 1] or [spots[0]]
    ranked = sorted(
        inner,
        key=lambda c: (
            16 * ((c[0] - cx) ** 2 + (c[1] - cy) ** 2) + 40 * _noise(c, draw) // UNIT,
            c,
        ),
    )
    pond = {ranked[0]}
    for c in ranked[1:wanted]:
        if any(abs(c[0] - x) + abs(c[1] - y) == 1 for x, y in pond):
            pond.add(c)
    return pond


def _scatter(cells: list[Cell], draw: Draw, apart: int, taken: set[Cell]) -> set[Cell]:
    """Cells no two of which lie nearer than ``apart``, nor near what is taken."""
    chosen: set[Cell] = set()
    for c in draw.shuffled(cells, "order"):
        if all(max(abs(c[0] - x), abs(c[1] - y)) >= apart for x, y in chosen | taken):
            chosen.add(c)
    return chosen


def _trees(
    ground: Rect, free: set[Cell], kind: str, draw: Draw
) -> tuple[tuple[int, int, int], ...]:
    """Trunk cells with their heights; crowns keep inside the garden."""
    inside = sorted(c for c in free if ground.grown(-1).has(*c))
    most = max(1, ground.area // 45) if kind == "grove" else 1
    spots = sorted(
        _scatter(inside, draw.at("trees"), 4, set()), key=lambda c: draw.word(f"tree/{c}")
    )
    return tuple((x, y, draw.between(3, 4, f"tall/{x}/{y}")) for x, y in sorted(spots[:most]))


def _lamps(ground: Rect, cells: list[Cell], walk: set[Cell], draw: Draw) -> set[Cell]:
    """Stone lamps by the walk until no garden cell is farther than eight steps from one."""
    near = [c for c in cells if any(abs(c[0] - x) + abs(c[1] - y) == 1 for x, y in walk)] or cells
    order = {c: draw.word(f"lamp/{c}") for c in near}
    reach = {c: {d for d in ground.cells() if _apart(c, d) <= GLOW} for c in near}
    lamps: set[Cell] = set()
    dark = set(ground.cells())
    while near:
        newly = {c: (len(reach[c] & dark), order[c]) for c in near}
        best = max(near, key=newly.__getitem__)
        if newly[best][0] < 3:
            break
        lamps.add(best)
        near.remove(best)
        dark -= reach[best]
    return lamps


def _apart(a: Cell, b: Cell) -> int:
    return abs(a[0] - b[0]) + abs(a[1] - b[1])


def court_parts(courts: tuple[Court, ...], tradition: Tradition) -> tuple[Part, ...]:
    z = tradition.levels.ground
    return tuple(part for court in courts for part in _parts(court, z))


def _parts(court: Court, z: int) -> Iterator[Part]:
    base = {
        "gravel": "garden-gravel",
        "pond": "garden-gravel",
        "moss": "garden-soil",
        "grove": "garden-soil",
    }[court.kind]
    walk = set(court.walk) | set(court.steps)
    rest = set(court.ground.cells()) - walk - set(court.water) - set(court.rim) - set(court.moss)
    for role, form, cells in (
        ("stepping-stone", "full", walk),
        ("water", "lower slab", set(court.water)),
        ("pond-edge", "full", set(court.rim)),
        ("moss", "full", set(court.moss) - walk),
        (base, "full", rest),
    ):
        for box in runs([(x, y, z - 1) for x, y in cells]):
            yield Part("court", role, form, box)
    for role, form, spots in (
        ("shoe-stone", "lower slab", court.steps),
        ("boulder", "dome", court.boulders),
        ("shrub", "ball", court.shrubs),
        ("basin", "post", court.lamps),
    ):
        for x, y in spots:
            yield Part("court", role, form, Box.cell(x, y, z))
    for x, y in court.lamps:
        yield Part("court", "garden-lamp", "lamp head", Box.cell(x, y, z + 1))
    for n, (x, y, height) in enumerate(court.trees):
        yield from _tree(x, y, z, height, "blossom" if n % 3 == 1 else "foliage")


def _tree(x: int, y: int, z: int, height: int, leaves: str) -> Iterator[Part]:
    yield Part("court", "trunk", "post", Box(x, y, z, x + 1, y + 1, z + height))
    top = z + height
    yield Part("court", leaves, "full", Box(x - 1, y, top, x + 2, y + 1, top + 1))
    for j in (-1, 1):
        yield Part("court", leaves, "ball", Box.cell(x - 1, y + j, top))
        yield Part("court", leaves, "full", Box.cell(x, y + j, top))
        yield Part("court", leaves, "ball", Box.cell(x + 1, y + j, top))
    yield Part("court", leaves, "full", Box.cell(x, y, top + 1))
    for i, j in ((1, 0), (-1, 0), (0, 1), (0, -1)):
        yield Part("court", leaves, "ball", Box.cell(x + i, y + j, top + 1))
    yield Part("court", leaves, "ball", Box.cell(x, y, top + 2))
