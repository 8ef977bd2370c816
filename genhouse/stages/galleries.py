"""Upper walks: galleries round a court, terraces on lower wings, with a balustrade toward the court.

A gallery is a veranda's depth: its boards run on from the upper floor over the tie beam, the court's
posts carry them on brackets, and the course of eaves above keeps the rain off.  A terrace is the flat
roof of a lower wing, level with the upper floor; it runs out over the veranda in the same way.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from itertools import product

from genhouse.core.axes import ENDS, SIDES, STEP, Side, opposite
from genhouse.core.box import Box, Rect, runs
from genhouse.core.draw import Draw
from genhouse.core.errors import InfeasibleError
from genhouse.model.elements import Beam, Edge, Member, Slab
from genhouse.model.room import GALLERY, TERRACE, WALKS, Room
from genhouse.stages._wings import Wing
from genhouse.stages.bays import Bays
from genhouse.stages.site import Site, lines_round, strips_along, within
from genhouse.traditions.plan import PlanRule

Cell = tuple[int, int]
Step = tuple[int, int, int]
Strips = tuple[Rect, ...]
ROOMY = 8
"""Clear cells, the shorter way, of a court that is given a gallery unasked: a walk takes its light."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Walk:
    """kind: gallery or terrace.  level: its storey.  rects: the parts of its floor, apart."""

    kind: str
    level: int
    rects: Strips

    @property
    def roofed(self) -> bool:
        """Whether eaves keep the rain off."""
        return self.kind == GALLERY


Carried = tuple[Rect, int, tuple[Side, ...]]
"""A court, a storey, and the sides on which it is the highest: their eaves are over its galleries."""


def plan_walks(
    site: Site, asked: bool | int | None, rule: PlanRule, draw: Draw
) -> tuple[Walk, ...]:
    """The galleries of one court, on neighbouring sides as far as there are, and every terrace.

    asked: how many sides of a gallery; whether any; None leaves it to the draw.  Raises
    InfeasibleError where no court has upper rooms on so many sides.
    """
    chosen = _gallery(site, asked, rule, draw)
    levels = sorted({wing.storeys + wing.terrace for wing in site.wings})
    return tuple(walk for level in levels for walk in _walks_at(site, level, chosen))


def _walks_at(site: Site, level: int, chosen: Carried | None) -> Iterator[Walk]:
    decks: list[Strips] = []
    for court in site.courts:
        flat = [side for side, wing in site.round(court).items() if _walked(wing, level)]
        mine = chosen[2] if chosen is not None and (court, level) == chosen[:2] else ()
        clear = _clear(site, court, level)
        depths = site.depths(court)
        strips = strips_along(clear, {side: depths[side] for side in (*mine, *flat)})
        walls = lines_round(clear)
        for rects in _joined([(strips[side],) for side in mine]):
            yield Walk(kind=GALLERY, level=level, rects=rects)
        decks += [(walls[side], strips[side]) for side in flat]
    decks += [(_deck(site, wing),) for wing in site.wings if _walked(wing, level)]
    yield from (Walk(kind=TERRACE, level=level, rects=rects) for rects in _joined(decks))


def _walked(wing: Wing, level: int) -> bool:
    """Whether one walks on its roof from rooms of this storey."""
    return wing.terrace and wing.storeys + 1 == level


def _carrying(site: Site) -> list[Carried]:
    """The courts, each by storey, with the sides that can carry a gallery."""
    found: list[Carried] = []
    for court in site.courts:
        round_it = site.round(court)
        for level in sorted({wing.storeys for wing in round_it.values()} - {1}):
            sides = tuple(s for s in SIDES if s in round_it and round_it[s].storeys == level)
            found.append((court, level, sides))
    return found


def _gallery(site: Site, asked: bool | int | None, rule: PlanRule, draw: Draw) -> Carried | None:
    """A court, and its sides along which a gallery runs."""
    if asked is False:
        return None
    counted = asked is not None and asked is not True
    wanted = int(asked or 1) if counted else 1
    some = [carried for carried in _carrying(site) if len(carried[2]) >= wanted]
    if asked is None:
        some = [it for it in some if min(it[0].width, it[0].depth) >= ROOMY]
    if asked is None and not (some and draw.chance(*rule.gallery, "gallery")):
        return None
    if not some:
        raise InfeasibleError(
            f"gallery: no court has upper rooms on {wanted} sides to carry one", stage="rooms"
        )
    court, level, sides = draw.choice(some, "court")
    if not counted:
        weights = rule.galleries[: len(sides)]
        wanted = draw.choice(range(1, len(sides) + 1), "sides", weights if any(weights) else None)
    first = draw.below(len(sides), "first side")
    return court, level, tuple((sides + sides)[first + n] for n in range(wanted))


def most_sides(site: Site) -> int:
    """How many sides of a court have upper rooms that can carry a gallery, at most."""
    return max((len(sides) for _, _, sides in _carrying(site)), default=0)


def _clear(site: Site, court: Rect, level: int) -> Rect:
    """A court without the strips over which the eaves of wings lower than a storey reach."""
    low = {s for s, w in site.round(court).items() if w.storeys < level and not w.terrace}
    return within(court, {s: depth for s, depth in site.depths(court).items() if s in low})


def _joined(pieces: Sequence[Strips]) -> list[Strips]:
    """Pieces of floor; those that meet along a side are one walk."""
    walks: list[Strips] = []
    for piece in pieces:
        met = [w for w in walks if any(r.adjoins(p) for r in w for p in piece)]
        walks = [w for w in walks if w not in met]
        walks.append((*(r for w in met for r in w), *piece))
    return walks


def _deck(site: Site, wing: Wing) -> Rect:
    """The flat roof of a lower wing inside its walls, run on over the wall to one beside it and
    clear of eaves."""
    a0, b0, a1, b1 = wing.lie
    low, high = (1 if host is None else -host.terrace for host in _hosts(site, wing))
    deck = Rect(a0 + low, b0 + 1, a1 - high, b1 - 1).lie(wing.axis)
    return within(deck, dict.fromkeys(_under_eaves(site, wing), 1))


def _hosts(site: Site, wing: Wing) -> tuple[Wing | None, Wing | None]:
    return site.host(wing, 0), site.host(wing, 1)


def _under_eaves(site: Site, wing: Wing) -> dict[Side, Rect]:
    """The rows of a flat wing over which the eaves of a pitched one reach that it dies into."""
    a0, b0, a1, b1 = wing.lie
    rows = Rect(a0, b0, a0 + 1, b1), Rect(a1 - 1, b0, a1, b1)
    return {
        side: row.lie(wing.axis)
        for side, row, host in zip(ENDS[wing.axis], rows, _hosts(site, wing), strict=True)
        if wing.terrace and host is not None and not host.terrace and host.storeys <= wing.storeys
    }


def walks(rooms: Sequence[Room]) -> tuple[Room, ...]:
    return tuple(room for room in rooms if room.kind in WALKS)


def guarded(site: Site, rooms: Sequence[Room]) -> dict[Step, tuple[Side, ...]]:
    """Where a balustrade stands, and on which sides of its cell, toward the walk.

    Beside a walk it stands past the edge; where a walk ends at the court's open side, at the eaves of a
    lower wing or at a bit of wall beside them, in its last cell.
    """
    levels = sorted({room.level for room in walks(rooms)})
    return {at: sides for level in levels for at, sides in _guarded(site, rooms, level).items()}


def _guarded(site: Site, rooms: Sequence[Room], level: int) -> dict[Step, tuple[Side, ...]]:
    here = [room for room in walks(rooms) if room.level == level]
    walk = {c for room in here for r in room.rects for c in r.cells()}
    wings, clear = [wing.rect for wing in site.wings], [_clear(site, c, level) for c in site.courts]
    eaves = [row for wing in site.wings for row in _under_eaves(site, wing).values()]
    bare = _bare(site, walk)
    found: dict[Step, tuple[Side, ...]] = {}
    z = here[0].floor
    for x, y in sorted(walk):
        for side in SIDES:
            dx, dy = STEP[side]
            beyond = (x + dx, y + dy)
            if beyond in walk:
                continue
            walled = any(wing.has(*beyond) for wing in wings)
            if walled and beyond not in bare and not any(row.has(*beyond) for row in eaves):
                continue
            past = any(court.has(*beyond) for court in clear)
            at, toward = ((*beyond, z), opposite(side)) if past else ((x, y, z), side)
            found[at] = (*found.get(at, ()), toward)
    return found


def _bare(site: Site, walk: Collection[Cell]) -> set[Cell]:
    """The tops of a terrace's court walls on which nothing stands, and that are no floor: beside eaves."""
    return {
        (x, y)
        for wing in site.wings
        if wing.terrace
        for x, y in wing.rect.cells()
        if (x, y) not in walk
        and any(c.has(x + dx, y + dy) for c in site.courts for dx, dy in STEP.values())
    }


def upper_walks(
    site: Site, bays: Bays, rooms: Sequence[Room], standing: Collection[Cell]
) -> Iterator[Member]:
    """Boards, brackets for them on the court's posts, and the balustrade on its edge beam.

    standing: columns that go on through the boards; where there are some, there are no brackets.  The
    balustrade ends at one that stands in its line, which is as broad there.
    """
    walk = {(x, y, room.floor) for room in walks(rooms) for r in room.rects for x, y in r.cells()}
    out = [
        r.up(room.floor - 1, room.floor)
        for room in walks(rooms)
        for r in room.rects
        if _outside(site, r)
    ]
    for box in out:
        cells = ((x, y, box.z0) for x, y in box.rect.cells() if (x, y) not in standing)
        yield from (Slab(use=GALLERY, box=part) for part in runs(cells))
    for (x, y), side, box in product(() if standing else bays.posts, SIDES, out):
        dx, dy = STEP[side]
        if box.rect.has(x + dx, y + dy):
            cell = Box.cell(x + dx, y + dy, box.z0 - 1)
            yield Beam(use="bracket", box=cell, side=opposite(side))
    for (x, y, z), sides in guarded(site, rooms).items():
        ways = _facing(sides)
        if (x, y) in standing:
            continue
        if (x, y, z) not in walk:
            yield Beam(use="trimmer", box=Box.cell(x, y, z - 1), side=ways)
        yield Edge(use="rail", box=Box.cell(x, y, z), side=ways)


def _outside(site: Site, strip: Rect) -> bool:
    """Whether a piece of an upper walk hangs over a court."""
    return any(court.meets(strip) for court in site.courts)


def _facing(sides: tuple[Side, ...]) -> str:
    """One side, or the corner between two."""
    if len(sides) == 1:
        return sides[0]
    along = next(s for s in sides if s in ("south", "north"))
    across = next(s for s in sides if s in ("west", "east"))
    return f"corner {along}-{across}"
