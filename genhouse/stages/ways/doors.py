"""Doors between the rooms of a storey, so that each is reached, and through no private one if it can be."""

from __future__ import annotations

from collections.abc import Mapping, Sequence, Set

from msgspec import Struct
from msgspec.structs import replace

from genhouse.core.axes import STEP
from genhouse.core.box import Rect
from genhouse.core.draw import Draw
from genhouse.core.errors import InfeasibleError
from genhouse.core.region import Cell
from genhouse.model.elements import Opening, Wall
from genhouse.model.room import COURTS, WALKS
from genhouse.stages.ways.stretches import ById, free, middle, stretch
from genhouse.traditions.tradition import Kind

Kinds = Mapping[str, Kind]
FOOT = 2
"""Rows of floor inside the front door that lie at the level of the ground."""


class Storied(Struct, frozen=True, kw_only=True):
    """A storey whose walls are opened.

    rooms: all of the house, by number.  start: those of the storey to which one comes from elsewhere; at
    the lowest, outdoors and the first court.
    private: rooms that are no way to another, as long as there is one.  dark: those that keep cool.
    blocked: cells to which no door leads.  shaded: those of them before which no window opens.
    built: what stands on the ground about the house.  blind, sparing, broad: as the tradition's fronts are.
    wide: as its gate is.  steps: between verandas that lie a step apart, and from these to their courts.
    """

    level: int
    lowest: bool
    under_roof: bool
    rooms: ById
    kinds: Kinds
    start: tuple[int, ...]
    private: frozenset[int]
    dark: frozenset[int]
    blocked: frozenset[Cell]
    shaded: frozenset[Cell]
    built: tuple[Rect, ...]
    blind: bool = False
    sparing: bool = False
    broad: bool = False
    wide: bool = False
    steps: tuple[tuple[int, int], ...] = ()

    def holds(self, wall: Wall) -> bool:
        """Whether what lies at both sides of a wall is on the storey."""
        return all(
            self.rooms[n].level == self.level for n in (wall.low, wall.high) if n in self.rooms
        )

    def joins(self, wall: Wall) -> list[Cell]:
        """The cells of a wall with clear floor on both sides, all of it that of the rooms which it parts: a
        gallery may end before the wall does."""
        sides = [self.rooms[n] for n in (wall.low, wall.high)]
        return [
            cell
            for cell in free(wall, self.blocked)
            if all(room.has(*c) for room, c in zip(sides, wall.beside(cell), strict=True))
        ]

    def even(self, wall: Wall) -> bool:
        """Whether no more than a step lies between both sides of a wall: what is let down before the front
        door has none to a higher room."""
        low, high = (self.rooms.get(n) for n in (wall.low, wall.high))
        if low is None or high is None or not (low.indoor and high.indoor):
            return True
        let_down = (
            Rect(r.rect.x0, r.rect.y0, r.rect.x1, r.rect.y0 + FOOT).grown(1)
            for r in (low, high)
            if self.kinds[r.kind].arrival
        )
        return low.floor == high.floor or not any(map(wall.cells.meets, let_down))

    def depth(self, room: int) -> int:
        """How far from the gate its kind belongs: doors lead from those that lie nearest."""
        found = self.rooms[room]
        return self.kinds[found.kind].depth if found.indoor else 0


def with_doors(walls: Sequence[Wall], at: Storied, draw: Draw) -> list[Wall]:
    """Doors between rooms whose kinds want one, then wherever a room is reached no other way.

    Upstairs, where no veranda joins them, each pair of neighbours that are not private has one; half of
    those that a gallery joins.
    """
    done = list(walls)
    joined = {} if at.lowest else _joined(done, at.rooms)
    pairs: dict[tuple[int, int], list[int]] = {}
    for i, s in enumerate(done):
        shut = s.boundary in ("partition", "court") and not s.passable and at.holds(s)
        if shut and at.even(s) and at.joins(s):
            pairs.setdefault((min(s.low, s.high), max(s.low, s.high)), []).append(i)
    for (a, b), where in sorted(pairs.items()):
        if at.rooms[a].indoor and at.rooms[b].indoor and _wanted(a, b, at, joined, draw):
            _open_door(done, where, at, draw)
    pairs |= {(min(s.low, s.high), max(s.low, s.high)): [] for s in done if s.passable}
    closed = set(at.private)
    while cut := cut_off(done, at, closed):
        bridge = _bridge(pairs, cut, at, closed)
        if bridge is None:
            _own_door(done, cut, at)
            continue
        closed -= {n for n in bridge if n not in cut}
        if pairs[bridge]:
            _open_door(done, pairs[bridge], at, draw)
            pairs[bridge] = []
    return done


def _own_door(walls: list[Wall], cut: Set[int], at: Storied) -> None:
    """A door from outdoors for rooms that stand apart: to the most public of them."""
    outer = [
        (at.rooms[n].id in at.private, at.depth(n), n, i)
        for i, s in enumerate(walls)
        if at.lowest and s.boundary == "outer" and s.opening == "none" and thresholds(s, at, walls)
        for n in cut & {s.low, s.high}
    ]
    if not outer:
        raise InfeasibleError(
            "rooms: the stair or a flue bars the only way to a room", stage="rooms"
        )
    *_, i = min(outer)
    walls[i] = with_entrance(walls[i], at, walls)


def with_entrance(wall: Wall, at: Storied, walls: Sequence[Wall]) -> Wall:
    """An outer wall with a door of one leaf, as near its middle as may be."""
    cells = thresholds(wall, at, walls)
    return replace(wall, opening="entrance", way=stretch([cells[len(cells) // 2]]))


def lights(wall: Wall, at: Storied) -> list[Cell]:
    """The cells of a wall to outdoors or to a court in which there could be a window."""
    if not wall.exposed or wall.abuts:
        return []
    return [c for c in middle(wall).cells() if not at.shaded & set(wall.beside(c))]


def thresholds(wall: Wall, at: Storied, walls: Sequence[Wall]) -> list[Cell]:
    """The cells of an outer wall with clear floor inside, and before them ground for a porch that meets
    none of those before the doors of these walls."""
    (dx, dy), found = STEP[wall.outward], []
    porches = [
        _porch(w, *c) for w in walls if w.opening == "entrance" and w.way for c in w.way.cells()
    ]
    for x, y in free(wall, at.blocked):
        i, j = x + 2 * dx, y + 2 * dy
        ground, porch = Rect(i - 1, j - 1, i + 2, j + 2), _porch(wall, x, y)
        taken = any(ground.meets(rect) for rect in at.built)
        if not taken and not any(porch.meets(rect) for rect in porches):
            found.append((x, y))
    return found


def _porch(wall: Wall, x: int, y: int) -> Rect:
    """The ground before a leaf of its door: two cells deep, and one more at either hand."""
    dx, dy = STEP[wall.outward]
    one, other = (x + dx - dy, y + dy - dx), (x + 2 * dx + dy, y + 2 * dy + dx)
    return stretch([one]).hull(stretch([other]))


def _wanted(a: int, b: int, at: Storied, joined: Mapping[int, int], draw: Draw) -> bool:
    if not at.lowest:
        shared = joined.get(a, 0) & joined.get(b, 0)
        return not {a, b} & at.private and (not shared or draw.chance(1, 2, f"inner door/{a}/{b}"))
    one, other = at.rooms[a].kind, at.rooms[b].kind
    wanted = other in at.kinds[one].doors_to or one in at.kinds[other].doors_to
    return wanted or draw.chance(1, 5, f"door/{a}/{b}")


def _joined(walls: Sequence[Wall], rooms: ById) -> dict[int, int]:
    """The galleries that each room opens to, a bit each."""
    found: dict[int, int] = {}
    for s in walls:
        for room, walk in ((s.low, s.high), (s.high, s.low)):
            if s.passable and walk in rooms and rooms[walk].kind in WALKS:
                found[room] = found.get(room, 0) | 1 << walk
    return found


def cut_off(walls: Sequence[Wall], at: Storied, shut: Set[int]) -> set[int]:
    """The rooms of a storey that one does not reach but through those that are shut."""
    left = {r.id for r in at.rooms.values() if r.level == at.level}
    courts = [n for n in left if at.rooms[n].kind in COURTS]
    ways = [(s.low, s.high) for s in walls if s.passable]
    ways += [(n, n + len(courts)) for n in courts]  # each veranda steps down into its court
    ways += at.steps
    beside: dict[int, list[int]] = {n: [] for n in left}
    for a, b in ways:
        beside.setdefault(a, []).append(b)
        beside.setdefault(b, []).append(a)
    edge = list(at.start)
    left.difference_update(edge)
    while edge:
        near = [n for n in beside.get(edge.pop(), ()) if n in left]
        left.difference_update(near)
        edge += [n for n in near if n not in shut]
    return left


def _bridge(
    pairs: dict[tuple[int, int], list[int]], cut: Set[int], at: Storied, shut: Set[int]
) -> tuple[int, int] | None:
    """A pair of neighbours with a shut wall between them, one reached and one not.

    Through rooms that are not private first, to such, and from the most public; a private one that
    has to be gone through is one more that stands open.
    """

    def order(pair: tuple[int, int]) -> tuple[bool, bool, int, tuple[int, int]]:
        far, near = pair if pair[0] in cut else pair[::-1]
        return near in shut, far in at.private, at.depth(near), pair

    some = [pair for pair in pairs if (pair[0] in cut) != (pair[1] in cut)]
    return min(some, key=order, default=None)


def _open_door(walls: list[Wall], where: Sequence[int], at: Storied, draw: Draw) -> None:
    """One door in one stretch of wall: two leaves, or, where the roof is low, bare in its middle."""
    i = draw.choice(where, f"door in/{where[0]}")
    s = walls[i]
    cells = at.joins(s)
    centre = len(cells) // 2
    pair = cells[max(0, centre - 1) : max(0, centre - 1) + 2]
    if s.boundary == "court":
        pair = [c for c in cells if c in set(middle(s).cells())] or cells
    bare = at.under_roof and s.boundary == "partition"
    double = not bare and _together(pair)
    leaves = pair if double else cells[centre : centre + 1]
    slides = double or at.under_roof
    opening: Opening = "passage" if bare else "screens" if slides else "door"
    walls[i] = replace(s, opening=opening, way=stretch(leaves))


def _together(cells: Sequence[tuple[int, int]]) -> bool:
    """Whether at least two cells lie in one unbroken row."""
    whole = stretch(cells)
    return len(cells) > 1 and whole.area == len(cells)
