"""How each segment of wall is opened, so that every room can be reached and has its light."""

from __future__ import annotations

from collections.abc import Mapping, Sequence, Set

from msgspec.structs import replace

from genhouse.core.draw import Draw
from genhouse.core.errors import InfeasibleError
from genhouse.model.elements import Boundary, Opening, Wall
from genhouse.model.room import COURTS, OUTSIDE, WALKS, Room, Stair
from genhouse.stages.bays import Bays, Line
from genhouse.stages.site import Site
from genhouse.stages.ways.entrances import Entrance, entrances_in
from genhouse.stages.ways.rising import raised
from genhouse.stages.ways.stretches import ById, clear, free, indoor, middle, stretch
from genhouse.traditions.loader import Kind, Tradition

GLAZING = 10
"""Cells of floor for one of window, at the most.  The Building Standards Act of Japan, Art. 28, asks a
seventh of a dwelling's rooms; Order Art. 19 lets down to a tenth stand where they are lit (from memory)."""


def open_walls(
    site: Site,
    bays: Bays,
    rooms: Sequence[Room],
    stair: Stair | None,
    flue: tuple[int, int],
    tradition: Tradition,
    draw: Draw,
) -> tuple[tuple[Wall, ...], tuple[Entrance, ...], tuple[int, int]]:
    """Every segment of both storeys, the entrances, and the gate cell."""
    by_id = {room.id: room for room in rooms}
    kinds = dict(tradition.kinds)
    private = private_of(rooms, tradition)
    deep = {r.id: kinds[r.kind].depth if r.indoor else 0 for r in rooms}
    cool = frozenset(r.id for r in rooms if r.indoor and kinds[r.kind].dark)
    two = any(room.level == 2 for room in rooms)
    lower, upper = (
        [_segment(level, line, by_id, plan, tradition) for line in bays.lines if plan]
        for level, plan in ((1, _rooms_at(rooms, 1)), (2, _rooms_at(rooms, 2) if two else {}))
    )
    upper = [s for s in upper if any(n in by_id and by_id[n].indoor for n in (s.low, s.high))]
    lower, upper = raised(site, lower, upper)
    run = stair.run[0].hull(stair.run[-1]).cells() if stair is not None else ()
    blocked = frozenset({flue, *run})
    lower = _court_sides(lower, by_id, blocked, kinds, draw)
    lower = _partitions(lower, by_id, blocked, private, deep, kinds, draw, every=False)
    if upper:
        upper = _gallery_sides(upper, by_id, blocked, draw)
        upper = _partitions(upper, by_id, blocked, private, deep, kinds, draw, every=True)
    lower, entrances = entrances_in(site, lower, by_id, blocked, tradition, draw)
    lower = [_windowed(s, by_id, blocked, cool) for s in lower]
    lower = _no_room_dark(lower, by_id, blocked, cool)
    upper = _wider([_windowed(s, by_id, frozenset({flue}), cool) for s in upper], by_id, flue)
    way = entrances[0].way
    return tuple(lower + upper), tuple(entrances), (way.x0, 0)


def private_of(rooms: Sequence[Room], tradition: Tradition) -> frozenset[int]:
    """The rooms that nobody should walk through."""
    kinds = dict(tradition.kinds)
    return frozenset(r.id for r in rooms if r.indoor and kinds[r.kind].private)


def strung(segments: Sequence[Wall], rooms: Sequence[Room], private: Set[int]) -> int:
    """How many rooms one comes to only through private ones."""
    by_id = {room.id: room for room in rooms}
    cut = [_cut_off(segments, by_id, private, upper) for upper in (False, True)]
    return sum(by_id[n].indoor for some in cut for n in some)


def _segment(
    level: int, line: Line, by_id: dict[int, Room], below: Plan, tradition: Tradition
) -> Wall:
    c = line.cells
    x, y = (c.x0 + c.x1 - 1) // 2, (c.y0 + c.y1 - 1) // 2
    dx, dy = (0, 1) if line.axis == "x" else (1, 0)
    low, high = below.get((x - dx, y - dy), OUTSIDE), below.get((x + dx, y + dy), OUTSIDE)
    storey = tradition.storeys[level - 1]
    boundary: Boundary
    if low == high and low != OUTSIDE:
        boundary = "open"
    elif all(n in by_id and by_id[n].indoor for n in (low, high)):
        boundary = "partition"
    elif any(n in by_id and not by_id[n].indoor for n in (low, high)):
        boundary = "court"
    else:
        boundary = "outer"
    return Wall(
        level=level,
        axis=line.axis,
        cells=c,
        z0=storey.slab if storey == tradition.storeys[0] else storey.floor,
        z1=storey.head + 1,
        floor=storey.floor,
        lintel=storey.lintel,
        boundary=boundary,
        bears=boundary in ("outer", "court"),
        low=low,
        high=high,
    )


Plan = dict[tuple[int, int], int]
Kinds = Mapping[str, Kind]


def _rooms_at(rooms: Sequence[Room], level: int) -> Plan:
    """The room of a storey at each cell, or the court or veranda that it looks down on."""
    seen = [r for r in rooms if r.level <= level and (r.level == level or not r.indoor)]
    return {
        cell: room.id
        for room in sorted(seen, key=lambda r: r.level)
        for rect in room.rects
        for cell in rect.cells()
    }


def _court_sides(
    segments: list[Wall],
    by_id: ById,
    blocked: frozenset[tuple[int, int]],
    kinds: Kinds,
    draw: Draw,
) -> list[Wall]:
    """Screens slide between inner walls that stand only beside the posts."""
    done: list[Wall] = []
    opened: set[int] = set()
    for i, s in enumerate(segments):
        if s.boundary == "court":
            room = indoor(s, by_id)
            plain = kinds[room.kind].work
            if clear(s, blocked) and not (
                plain and room.id in opened and draw.chance(2, 3, f"court/{i}")
            ):
                s = replace(s, opening="screens", way=middle(s))
                opened.add(room.id)
        done.append(s)
    return done


def _gallery_sides(
    segments: list[Wall], by_id: ById, blocked: frozenset[tuple[int, int]], draw: Draw
) -> list[Wall]:
    """Upper rooms slide open to a gallery: each at one bay, and here and there at another."""
    walks = {room.id for room in by_id.values() if room.kind in WALKS}
    done: list[Wall] = []
    opened: set[int] = set()
    for i, s in enumerate(segments):
        if s.boundary == "court" and {s.low, s.high} & walks:
            room = indoor(s, by_id).id
            if clear(s, blocked) and (room not in opened or draw.chance(1, 3, f"gallery/{i}")):
                s = replace(s, opening="screens", way=middle(s))
                opened.add(room)
        done.append(s)
    return done


def _partitions(
    segments: list[Wall],
    by_id: ById,
    blocked: frozenset[tuple[int, int]],
    private: frozenset[int],
    deep: Mapping[int, int],
    kinds: Kinds,
    draw: Draw,
    *,
    every: bool,
) -> list[Wall]:
    """Doors between rooms whose kinds want one, then wherever a room is reached no other way.

    private: rooms that are no way to another, as long as there is one.  deep: how far from the gate
    each room's kind belongs; doors lead from those that lie nearest.  every: open each pair of
    neighbours that are not private once (upstairs, where no veranda joins them; half of those that a
    gallery does).
    """
    done = list(segments)
    joined = _joined(done, by_id) if every else {}
    pairs: dict[tuple[int, int], list[int]] = {}
    for i, s in enumerate(done):
        far = every and by_id[s.low or s.high].level != by_id[s.high or s.low].level
        if s.boundary in ("partition", "court") and not (s.passable or far) and free(s, blocked):
            pairs.setdefault((min(s.low, s.high), max(s.low, s.high)), []).append(i)
    for (a, b), where in sorted(pairs.items()):
        indoors = by_id[a].indoor and by_id[b].indoor
        shared = joined.get(a, 0) & joined.get(b, 0)
        wanted = draw.chance(1, 2, f"inner door/{a}/{b}") if shared else every
        wanted = wanted and not {a, b} & private
        if indoors and (wanted or (not every and _want_door(by_id[a], by_id[b], kinds, draw))):
            _open_door(done, where, blocked, draw)
    pairs |= {(min(s.low, s.high), max(s.low, s.high)): [] for s in done if s.passable}
    shut = set(private)
    while cut := _cut_off(done, by_id, shut, every):
        bridge = _bridge(pairs, cut, private, shut, deep)
        if bridge is None:
            raise InfeasibleError(
                "rooms: the stair or a flue bars the only way to a room", stage="rooms"
            )
        shut -= {n for n in bridge if n not in cut}
        if pairs[bridge]:
            _open_door(done, pairs[bridge], blocked, draw)
            pairs[bridge] = []
    return done


def _joined(segments: Sequence[Wall], by_id: ById) -> dict[int, int]:
    """The galleries that each room opens to, a bit each."""
    found: dict[int, int] = {}
    for s in segments:
        for room, walk in ((s.low, s.high), (s.high, s.low)):
            if s.passable and walk in by_id and by_id[walk].kind in WALKS:
                found[room] = found.get(room, 0) | 1 << walk
    return found


def _cut_off(segments: Sequence[Wall], by_id: ById, shut: Set[int], upper: bool) -> set[int]:
    """The rooms of a storey that one does not reach from its first but through those that are shut."""
    left = {r.id for r in by_id.values() if (r.level == 2) == upper}
    if not left:
        return left
    ways = [(s.low, s.high) for s in segments if s.passable]
    if not upper:  # each veranda steps down into its court
        courts = [r.id for r in by_id.values() if r.kind in COURTS]
        ways += [(n, n + len(courts)) for n in courts]
    beside: dict[int, list[int]] = {n: [] for n in left}
    for a, b in ways:
        beside.setdefault(a, []).append(b)
        beside.setdefault(b, []).append(a)
    edge = [min(left - shut or left)]
    left.discard(edge[0])
    while edge:
        here = edge.pop()
        near = [n for n in beside[here] if n in left]
        left.difference_update(near)
        edge += [n for n in near if n not in shut]
    return left


def _bridge(
    pairs: dict[tuple[int, int], list[int]],
    cut: Set[int],
    private: Set[int],
    shut: Set[int],
    deep: Mapping[int, int],
) -> tuple[int, int] | None:
    """A pair of neighbours with a shut wall between them, one reached and one not.

    Through rooms that are not private first, to such, and from the most public; a private one that
    has to be gone through is one more that stands open.
    """

    def order(pair: tuple[int, int]) -> tuple[bool, bool, int, tuple[int, int]]:
        far, near = pair if pair[0] in cut else pair[::-1]
        return near in shut, far in private, deep[near], pair

    some = [pair for pair in pairs if (pair[0] in cut) != (pair[1] in cut)]
    return min(some, key=order, default=None)


def _want_door(a: Room, b: Room, kinds: Kinds, draw: Draw) -> bool:
    wanted = b.kind in kinds[a.kind].doors_to or a.kind in kinds[b.kind].doors_to
    return wanted or draw.chance(1, 5, f"door/{a.id}/{b.id}")


def _open_door(
    segments: list[Wall], where: Sequence[int], blocked: frozenset[tuple[int, int]], draw: Draw
) -> None:
    """One door in one segment: in the middle above, where the roof is high; two leaves below."""
    i = draw.choice(where, f"door in/{where[0]}")
    s = segments[i]
    cells = free(s, blocked)
    centre = len(cells) // 2
    pair = cells[max(0, centre - 1) : max(0, centre - 1) + 2]
    if s.boundary == "court":
        pair = [c for c in cells if c in set(middle(s).cells())] or cells
    above = s.level == 2 and s.boundary == "partition"
    double = not above and _together(pair)
    leaves = pair if double else cells[centre : centre + 1]
    slides = double or s.level == 2
    opening: Opening = "passage" if above else "screens" if slides else "door"
    segments[i] = replace(s, opening=opening, way=stretch(leaves))


def _together(cells: Sequence[tuple[int, int]]) -> bool:
    """Whether at least two cells lie in one unbroken row."""
    whole = stretch(cells)
    return len(cells) > 1 and whole.area == len(cells)


def _windowed(
    segment: Wall,
    by_id: ById,
    blocked: frozenset[tuple[int, int]],
    cool: frozenset[int],
) -> Wall:
    """Windows where a wall to outdoors or to a court has no other opening."""
    if segment.boundary not in ("outer", "court") or segment.opening != "none" or segment.abuts:
        return segment
    room = indoor(segment, by_id)
    if room.id in cool and segment.boundary == "outer":
        return segment
    way = middle(segment)
    if any(c in blocked for cell in way.cells() for c in segment.beside(cell)):
        return segment
    return replace(segment, opening="window", way=way)


def _wider(segments: list[Wall], by_id: ById, flue: tuple[int, int]) -> list[Wall]:
    """Upper windows run from post to post in rooms that would have too little of them."""
    glazed: dict[int, int] = {}
    for s in segments:
        if s.boundary in ("outer", "court") and s.way is not None:
            room = indoor(s, by_id).id
            glazed[room] = glazed.get(room, 0) + s.way.area * (2 if s.opening == "screens" else 1)
    return [
        replace(s, way=s.cells)
        if s.opening == "window"
        and glazed[indoor(s, by_id).id] * GLAZING < indoor(s, by_id).area
        and all(flue not in s.beside(c) for c in s.cells.cells())
        else s
        for s in segments
    ]


def _no_room_dark(
    segments: list[Wall],
    by_id: ById,
    blocked: frozenset[tuple[int, int]],
    cool: frozenset[int],
) -> list[Wall]:
    """A small window beside the hearth or the stair for a room that has no other light."""
    done = list(segments)
    lit = {
        indoor(s, by_id).id
        for s in done
        if s.boundary in ("outer", "court") and s.opening in ("window", "screens")
    }
    for i, s in enumerate(done):
        if s.boundary not in ("outer", "court") or s.opening != "none" or s.abuts:
            continue
        room = indoor(s, by_id)
        clear = [c for c in middle(s).cells() if not blocked & set(s.beside(c))]
        if clear and room.id not in lit and room.id not in cool:
            done[i] = replace(s, opening="window", way=stretch(clear[:1]))
            lit.add(room.id)
    return done
