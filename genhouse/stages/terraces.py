"""Terraces: how far the floor of each range, each court and the ground about them lie below the highest.

Eaves and upper floors run level through a house; where its ground falls, the lowest storey of each range
goes down to it.  Ranges that meet are a step apart at most, and no veranda lies below its court.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from fractions import Fraction
from functools import lru_cache
from itertools import permutations
from math import ceil, floor
from typing import TypeVar

from msgspec.structs import replace

from genhouse.core.axes import STEP, Side, opposite
from genhouse.core.box import Rect, covered, runs
from genhouse.core.errors import InfeasibleError
from genhouse.core.region import Cell
from genhouse.model.brief import CELL, Ground
from genhouse.model.elements import Member, Slab, Wall
from genhouse.model.laid import Laid
from genhouse.model.room import Room
from genhouse.stages._wings import Wing
from genhouse.stages.site import Site, lines_round

APART = 1
"""Cells between the floors of ranges that meet: one step halves them."""
ACROSS = 2
"""The same of ranges over against each other, where a third joins them; others are as those that meet."""
TERRACE = 2
"""Cells of ground across the least terrace between two others."""
SLIGHT, HALF = Fraction(1, 4), Fraction(1, 2)
"""Cells that the ground under one range is higher than under another, for a step between them."""
Falls = tuple[tuple[int, ...], ...]


def terraced(site: Site, ground: Ground, basin: Rect | None = None) -> Site:
    """The site with the fall of each of its cells; as it is where its ground is level.  basin: a court that
    is one, and so lies below all that is round it.

    From the lowest range to the highest there are as many whole cells as the ground between them has begun.
    Raises InfeasibleError where it is as high under all of them.
    """
    if not ground.rise:
        return site
    high = [under(ground, site.turn.rect(w.rect), site.turn.size) for w in site.wings]
    top, between = max(high), max(high) - min(high)
    steps = ceil(between)
    falls = [floor((top - h) * steps / between + HALF) if between >= SLIGHT else 0 for h in high]
    if not any(falls := _settled(site, falls, basin)):
        raise InfeasibleError(
            "ground: it lies as high under every range of this house; let it fall more to one side",
            stage="site",
        )
    return replace(site, falls=_field(site, falls, basin))


def under(ground: Ground, place: Rect, plot: tuple[int, int]) -> Fraction:
    """How high it lies in the middle of a place over its lowest corner.

    >>> under(Ground(northwest=2, northeast=2), Rect(0, 18, 20, 27), (20, 30))
    Fraction(3, 2)
    """
    rows = ground.rows
    spans = len(rows[0]) - 1, len(rows) - 1
    ends = zip(place[:2], place[2:], plot, spans, strict=True)
    at = [Fraction((a + b) * span, 2 * long) for a, b, long, span in ends]
    x, y = (min(floor(n), span - 1) for n, span in zip(at, spans, strict=True))
    east, north = at[0] - x, at[1] - y
    south, far = (row[x] + (row[x + 1] - row[x]) * east for row in rows[y : y + 2])
    return (south + (far - south) * north) / CELL


def _settled(site: Site, falls: Sequence[int], basin: Rect | None) -> list[int]:
    """Falls of wings, higher ones let down into the slope until all lie near enough to their neighbours."""
    found = list(falls)
    rounds = [
        ([wing for wing in site.wings if wing.rect.adjoins(court)], court == basin)
        for court in site.courts
    ]
    near = [
        (a, b, APART if met or level or len(some) < ACROSS + 1 else ACROSS)
        for (a, one), (b, other) in permutations(enumerate(site.wings), 2)
        for met in (one.rect.adjoins(other.rect),)
        for some, level in (([one, other] * met, met), *rounds)
        if one in some and other in some
    ]
    while deep := [(a, found[b] - most) for a, b, most in near if found[a] < found[b] - most]:
        for a, least in deep:
            found[a] = max(found[a], least)
    return [fall - min(found) for fall in found]


def _field(site: Site, falls: Sequence[int], basin: Rect | None) -> Falls:
    """The fall of each cell by x and y: of open ground that of what is built nearest to it, of two the
    higher, but no more than a cell above what is near it; a wall between two ranges stands on the higher
    ground."""
    fall = dict(zip(site.wings, falls, strict=True))
    courts = {court: _of_court(site, court, fall, basin) for court in site.courts}
    near = [(wing.rect, fall[wing]) for wing in site.wings]
    near += [(wall, _behind(wall, courts)) for wall in site.walls]
    wide, deep = site.plot
    found = {
        (x, y): min((_off(rect, x, y), down) for rect, down in near)[1]
        for x in range(wide)
        for y in range(deep)
    }
    found |= _stepped({c: found[c] for c in site.land.cells() - covered(site.built)})
    for rect, down in (*near, *((site.garden(court), courts[court]) for court in site.courts)):
        found |= dict.fromkeys(rect.cells(), down)
    for court in site.courts:
        found |= _of_verandas(site, court, fall, courts[court])
    for wing in site.wings:
        for other in site.wings:
            if fall[other] < fall[wing]:
                for side, line in lines_round(other.rect).items():
                    if site.past(wing, opposite(side)) is None:  # its own wall stands there
                        rim = line.meet(wing.rect)
                        found |= {c: min(found[c], fall[other]) for c in rim.cells()}
    return tuple(tuple(found[x, y] for y in range(deep)) for x in range(wide))


def _stepped(open_ground: dict[Cell, int]) -> dict[Cell, int]:
    """Falls of open ground with a terrace wherever it would drop by more than a cell."""
    found = dict(open_ground)
    for down in range(max(found.values(), default=0), 1, -1):
        edge = {c for c, fall in found.items() if fall >= down}
        for _ in range(TERRACE):
            edge = {(x + dx, y + dy) for x, y in edge for dx, dy in STEP.values()} & found.keys()
            found |= {c: max(found[c], down - 1) for c in edge}
    return found


def _of_court(site: Site, court: Rect, fall: dict[Wing, int], basin: Rect | None) -> int:
    """As the lowest range round it, or, unless it is a basin, a cell above that where another is higher:
    flush then with its veranda, and a step below the others."""
    some = [fall[w] for w in site.wings if w.rect.adjoins(court)] or [min(fall.values())]
    return max(min(some), max(some) - (court != basin))


def _behind(wall: Rect, courts: dict[Rect, int]) -> int:
    beside = [down for court, down in courts.items() if court.grown(1).meets(wall)]
    return min(beside, default=0)


def _of_verandas(site: Site, court: Rect, fall: dict[Wing, int], own: int) -> dict[Cell, int]:
    """Each veranda lies as its range does; where two meet, each before the walls of its own."""
    lines, depths = lines_round(court), site.depths(court)

    def before(side: Side, x: int, y: int) -> tuple[int, Cell]:
        """How far the wall on a side is, and its cell straight ahead."""
        dx, dy = STEP[side]
        at = (lines[side].x0 if dx else x, lines[side].y0 if dy else y)
        return abs(at[0] - x) + abs(at[1] - y), at

    found: dict[Cell, int] = {}
    for own_side, strip in zip(depths, site.verandas(court), strict=True):
        for x, y in strip.cells():
            ahead = ((*before(side, x, y), side) for side in depths)
            near = [(far, side != own_side, at) for far, at, side in ahead if far <= depths[side]]
            *_, at = min(near)
            found[x, y] = next((fall[w] for w in site.wings if w.rect.has(*at)), own)
    return found


def _off(rect: Rect, x: int, y: int) -> int:
    """How far a cell lies from a rectangle, squared: before a front in line with others none is as near."""
    x0, y0, x1, y1 = rect
    east, north = (max(a - n, n - b + 1, 0) for a, n, b in ((x0, x, x1), (y0, y, y1)))
    return east * east + north * north


def fall_of(site: Site, rects: Sequence[Rect]) -> tuple[int, ...]:
    """How far some ground lies below the highest: more than one where it is not level."""
    if not site.falls:
        return (0,)
    return tuple(sorted({site.fall(*cell) for rect in rects for cell in rect.cells()}))


def level_parts(site: Site, rects: Sequence[Rect]) -> dict[int, tuple[Rect, ...]]:
    """Some ground by how far it lies below the highest."""
    if len(falls := fall_of(site, rects)) == 1:
        return {falls[0]: tuple(rects)}
    cells = covered(rects)
    return {
        fall: tuple(b.rect for b in runs([(x, y, 0) for x, y in cells if site.fall(x, y) == fall]))
        for fall in falls
    }


_E = TypeVar("_E", Slab, Member, Wall)


def let_down(elements: Iterable[_E], site: Site) -> Iterator[_E]:
    """What was thought out on level ground, each part of it as far down as the ground there; what rests on
    the bottom of all stays there."""
    for element in elements:
        if not site.falls:
            yield element
        elif isinstance(element, Member):
            box = element.box
            for fall, rects in level_parts(site, [box.rect]).items():
                low = max(0, box.z0 - fall) if box.z0 else 0
                yield from (replace(element, box=r.up(low, box.z1 - fall)) for r in rects)
        else:
            yield from _walls_down(element, site)


def _walls_down(wall: Wall, site: Site) -> Iterator[Wall]:
    """A wall of the ground in steps."""
    for fall, rects in level_parts(site, [wall.cells]).items():
        for cells in rects:
            way = wall.way.meet(cells) if wall.way else None
            opened = way is not None and way.area > 0
            yield replace(
                wall,
                cells=cells,
                z0=wall.z0 - fall,
                z1=wall.z1 - fall,
                floor=wall.floor - fall,
                lintel=wall.lintel - fall,
                way=way if opened else None,
                opening=wall.opening if opened or wall.way is None else "none",
            )


@lru_cache(maxsize=16)
def retained(site: Site, top: int) -> frozenset[tuple[int, int, int]]:
    """The cells of ground that are seen from lower ground beside them.  top: z of the highest ground."""
    if not site.falls:
        return frozenset()
    floored = _floored(site)
    found: set[tuple[int, int, int]] = set()
    for x, y in site.land.cells():
        high = top - site.fall(x, y)
        for dx, dy in STEP.values():
            beside = x + dx, y + dy
            if site.land.has(*beside):
                low = top - site.fall(*beside) + (beside in floored)
                found.update((x, y, z) for z in range(low + 1, high + 1))
    return frozenset(found)


def _floored(site: Site) -> frozenset[Cell]:
    """Where a floor lies over the ground."""
    return covered(
        [*(w.rect for w in site.wings), *(v for c in site.courts for v in site.verandas(c))]
    )


def floor_steps(
    site: Site,
    rooms: Sequence[Room],
    walls: Sequence[Wall],
    base: int,
    standing: frozenset[Cell] = frozenset(),
) -> Iterator[Slab]:
    """A step before each way up from room to room, and where a veranda goes on higher.  base: floor of the
    highest ground.  standing: where columns stand on verandas."""
    if not site.falls:
        return
    by_id = {room.id: room for room in rooms if room.indoor}
    cells: set[tuple[int, int, int]] = set()
    for wall in (w for w in walls if w.level == 1 and w.passable and w.way):
        if {wall.low, wall.high} <= {*by_id}:
            low, high = by_id[wall.low], by_id[wall.high]
            if low.floor != high.floor and wall.way is not None:
                lower, side = (low, 0) if low.floor < high.floor else (high, 1)
                cells |= {(*wall.beside(c)[side], lower.floor) for c in wall.way.cells()}
    on, into = veranda_steps(site, walls, standing)
    cells |= {(x, y, base - site.fall(x, y)) for x, y in on}
    cells |= {(x, y, base - 1 - site.fall(x, y)) for x, y in into}
    for box in runs(cells):
        yield Slab(use="floor step", box=box)


def veranda_steps(
    site: Site, walls: Sequence[Wall], standing: frozenset[Cell]
) -> tuple[frozenset[Cell], frozenset[Cell]]:
    """Where a veranda goes on a cell higher, past its columns: the cells on which a step lies, and those
    into which it is let, since the lower one lies before a way, in which one needs all its height."""
    if not site.falls:
        return frozenset(), frozenset()
    walked = covered(v for court in site.courts for v in site.verandas(court)) - standing
    ways = {
        cell
        for wall in walls
        if wall.level == 1 and wall.way and wall.passable
        for at in wall.way.cells()
        for cell in wall.beside(at)
    }
    on: set[Cell] = set()
    into: set[Cell] = set()
    for x, y in walked:
        higher = [
            c
            for c in ((x + dx, y + dy) for dx, dy in STEP.values())
            if c in walked and site.fall(*c) == site.fall(x, y) - 1
        ]
        if higher and (x, y) not in ways:
            on.add((x, y))
        else:
            into.update(c for c in higher if c not in ways)
    return frozenset(on), frozenset(into)


def uneven(site: Site) -> frozenset[Cell]:
    """Where a veranda goes on higher or lower: no door leads there."""
    if not site.falls:
        return frozenset()
    walked = covered(v for court in site.courts for v in site.verandas(court))
    return frozenset(
        (x, y)
        for x, y in walked
        for dx, dy in STEP.values()
        if (x + dx, y + dy) in walked and site.fall(x + dx, y + dy) != site.fall(x, y)
    )


def outdoor_steps(site: Site, laid: Laid, ground: int) -> Iterator[Slab]:
    """Along each edge of a terrace in the open a step on the lower ground, wherever nothing stands.
    ground: z of the first layer over the highest."""
    if not site.falls:
        return
    open_ground = site.land.cells() - covered(site.built)
    _, deep, high = laid.size
    taken = set(laid.cell.tolist())
    found = []
    for x, y in open_ground:
        z = ground - site.fall(x, y)
        beside = [(x + dx, y + dy) for dx, dy in STEP.values()]
        if (x * deep + y) * high + z in taken or (x * deep + y) * high + z + 1 in taken:
            continue
        if any(c in open_ground and site.fall(*c) == site.fall(x, y) - 1 for c in beside):
            found.append((x, y, z))
    for box in runs(found):
        yield Slab(use="ground step", box=box)


def edges(site: Site) -> frozenset[Cell]:
    """Ground at the foot of every terrace: nothing is set up there."""
    return frozenset(
        (x, y)
        for x, y in (site.land.cells() if site.falls else ())
        for dx, dy in STEP.values()
        if site.land.has(x + dx, y + dy) and site.fall(x + dx, y + dy) < site.fall(x, y)
    )


def terraces(site: Site, cells: frozenset[Cell]) -> Iterator[frozenset[Cell]]:
    """Some ground, terrace by terrace, the highest first."""
    for fall in sorted({site.fall(*c) for c in cells}):
        yield frozenset(c for c in cells if site.fall(*c) == fall)


def levelled(
    site: Site, fronts: Iterable[tuple[Rect, int, Cell]], dug: Collection[Cell] = ()
) -> Site:
    """The site with open ground before doors, and wherever else one comes out, as high as there; between
    two of them as before the nearer.  fronts: where one steps out, how far from it, and the cell of the
    house to which it belongs.  dug: ground that stays as it is."""
    if not site.falls:
        return site
    built = covered(site.built).union(dug)
    near: dict[Cell, tuple[int, int]] = {}
    for way, reach, at in fronts:
        for x, y in way.grown(reach).cells():
            if site.land.has(x, y) and (x, y) not in built:
                here = _off(way, x, y), site.fall(*at)
                near[x, y] = min(here, near.get((x, y), here))
    falls = [list(row) for row in site.falls]
    for (x, y), (_, fall) in near.items():
        falls[x][y] = fall
    return replace(site, falls=tuple(map(tuple, falls)))
