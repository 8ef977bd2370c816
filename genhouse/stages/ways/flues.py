"""Flues under warm floors: from a fire through the ground below a room to a chimney that stands apart."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import NamedTuple

from genhouse.core.axes import STEP, Axis, Side, opposite
from genhouse.core.box import Box, Rect
from genhouse.core.region import Cell
from genhouse.model.elements import Member, Panel, Slab, Support
from genhouse.model.room import Room
from genhouse.stages._drains import drains
from genhouse.stages.site import Site, line_along
from genhouse.stages.ways.entrances import Entrance
from genhouse.stages.ways.hearths import Hearth
from genhouse.traditions.tradition import Tradition

APART = 3
"""Cells from the wall of a room to its chimney: past the eaves."""
ABOUT_DOORS = 2
"""Cells beside a door that are kept free."""
LEGS = 2
"""Cells at least from the way in to the way back."""
SLOT = 2
"""Cells from one thing to another between which nobody gets to."""
UNDER = 2
"""Layers by which a chimney ends under the eaves."""
BEHIND: tuple[Side, ...] = ("north", "east", "west", "south")
"""Sides for a chimney: rather behind the house than before it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Flue:
    """room: whose floor it warms.  path: cells of ground from its fire to the chimney, one after another.
    mouth: whether its fire is out of doors, in the first of them; else it is a hearth, or under the boards
    of a walk.  side: of the room on which its chimney stands."""

    room: int
    path: tuple[Cell, ...]
    mouth: bool
    side: Side

    @property
    def stack(self) -> Cell:
        return self.path[-1]

    @property
    def straight(self) -> Iterator[tuple[Cell, Axis]]:
        """The cells through which it runs straight on, and which way."""
        for a, b, c in zip(self.path, self.path[1:], self.path[2:], strict=False):
            if a[0] == c[0] or a[1] == c[1]:
                yield b, "y" if a[0] == c[0] else "x"
        first, second = self.path[:2]
        yield first, "y" if first[0] == second[0] else "x"


def plan_flues(
    site: Site,
    rooms: Sequence[Room],
    entrances: Iterable[Entrance],
    hearth: Hearth,
    tradition: Tradition,
) -> tuple[Flue, ...]:
    """One for each warm room that has open ground on some side, that of the hearth first."""
    if not tradition.heat.under:
        return ()
    ground = _Ground(
        site=site,
        taken=(
            *(e.way.grown(ABOUT_DOORS) for e in entrances),
            *(r for room in rooms for r in room.rects),
            *site.built,
        ),
        boards=tuple(r for room in rooms if not room.indoor for r in room.rects),
    )
    warm = _warm(rooms, tradition)
    used = {c for _, rect in drains(site) for c in rect.cells()}
    found: list[Flue] = []
    near: set[Cell] = set()
    for room in sorted(warm, key=lambda r: (r.id != hearth.behind, r.id)):
        ways = _shared(room, hearth) if room.id == hearth.behind else _own(room)
        able = (
            flue
            for flue in ways
            if used.isdisjoint(flue.path)
            and ground.takes(flue, hearth)
            and not (flue.mouth and flue.path[0] in near)
        )
        if (flue := next(able, None)) is not None:
            found.append(flue)
            used.update(flue.path)
            near.update(_about(flue.path[0]) if flue.mouth else ())
    return tuple(found)


def _about(mouth: Cell) -> Iterator[Cell]:
    """The cells in line with the mouth of a fire in which another would leave a slot between the two."""
    x, y = mouth
    for dx, dy in STEP.values():
        yield x + SLOT * dx, y + SLOT * dy


def cold(rooms: Sequence[Room], flues: Sequence[Flue], hearth: Hearth, tradition: Tradition) -> int:
    """How many warm rooms have no fire whose smoke goes from wall to wall under them, one more where the
    hearth warms none."""
    if not tradition.heat.under:
        return 0
    under = {flue.room: [cell for cell, _ in flue.straight] for flue in flues}
    cool = [
        room
        for room in _warm(rooms, tradition)
        if sum(room.has(*cell) for cell in under.get(room.id, ())) < _across(room)
    ]
    return len(cool) + (hearth.behind not in under)


def _across(room: Room) -> int:
    """Cells of a channel, pits where it turns aside, that warm a room at the least."""
    return min(room.rect.width, room.rect.depth) - 1


def _warm(rooms: Sequence[Room], tradition: Tradition) -> list[Room]:
    return [r for r in rooms if r.indoor and tradition.kind(r.kind).floor == "warm"]


class _Ground(NamedTuple):
    """taken: what is built, walked on, or kept for doors.  boards: floors under the sky."""

    site: Site
    taken: tuple[Rect, ...]
    boards: tuple[Rect, ...]

    def takes(self, flue: Flue, hearth: Hearth) -> bool:
        """Whether its chimney and its fire find their place."""
        first, last = flue.path[0], flue.path[-APART:]
        if not flue.mouth and first != hearth.cell and not any(r.has(*first) for r in self.boards):
            return False
        if not all(map(self._open, (first, *last) if flue.mouth else last)):
            return False
        if len({self.site.fall(*c) for c in flue.path}) > 1:
            return False  # smoke and fire lie as deep under the floor all along
        return not any(wing.rect.grown(APART - 1).has(*flue.stack) for wing in self.site.wings)

    def _open(self, cell: Cell) -> bool:
        return self.site.land.has(*cell) and not any(r.has(*cell) for r in self.taken)


def _shared(room: Room, hearth: Hearth) -> Iterator[Flue]:
    """From a hearth in the next room straight on, then to a side."""
    ahead = opposite(hearth.facing)
    line = _joined([hearth.beyond, _last(room.rect, hearth.beyond, ahead)])
    for side in BEHIND:
        for far in reversed(line) if side != hearth.facing else ():
            if side != ahead or far == line[-1]:
                path = _joined([hearth.cell, far, _past(room.rect, far, side)])
                yield Flue(room=room.id, path=path, mouth=False, side=side)


def _own(room: Room) -> Iterator[Flue]:
    """From a fire out of doors in, along and out again; else straight on from one under a walk's boards."""
    for side in BEHIND:
        cells = sorted(line_along(room.rect, side, 0).cells())
        legs = [
            (a, b) for i, a in enumerate(cells) for j, b in enumerate(cells) if abs(i - j) >= LEGS
        ]
        legs.sort(key=lambda pair: -abs(pair[0][0] - pair[1][0]) - abs(pair[0][1] - pair[1][1]))
        for first, last in legs:
            turns = [_last(room.rect, cell, opposite(side)) for cell in (first, last)]
            path = _joined([_past(room.rect, first, side, 1), *turns, _past(room.rect, last, side)])
            yield Flue(room=room.id, path=path, mouth=True, side=side)
    for side in BEHIND:
        for cell in sorted(line_along(room.rect, side, 0).cells()):
            start = _past(room.rect, cell, opposite(side), 1)
            path = _joined([start, _past(room.rect, cell, side)])
            yield Flue(room=room.id, path=path, mouth=False, side=side)


def _last(rect: Rect, cell: Cell, side: Side) -> Cell:
    """The last cell of a room straight on from one."""
    x, y = cell
    return {
        "west": (rect.x0, y),
        "east": (rect.x1 - 1, y),
        "south": (x, rect.y0),
        "north": (x, rect.y1 - 1),
    }[side]


def _past(rect: Rect, cell: Cell, side: Side, n: int = APART) -> Cell:
    """Straight on from a cell and so many past the wall."""
    (x, y), (dx, dy) = _last(rect, cell, side), STEP[side]
    return x + (n + 1) * dx, y + (n + 1) * dy


def _joined(corners: Sequence[Cell]) -> tuple[Cell, ...]:
    """Cells from corner to corner."""
    found = [corners[0]]
    for (x0, y0), (x1, y1) in pairwise(corners):
        n = max(abs(x1 - x0), abs(y1 - y0))
        found += [(x0 + (x1 - x0) * k // n, y0 + (y1 - y0) * k // n) for k in range(1, n + 1)]
    return tuple(found)


def under_floors(site: Site, flues: Iterable[Flue], tradition: Tradition) -> Iterator[Member]:
    """Channels in the ground, with a pit wherever they turn, and the mouths of fires out of doors."""
    for flue in flues:
        ground = tradition.storeys[0].slab - site.fall(*flue.path[0])
        for (x, y), axis in flue.straight:
            yield Slab(use="underfloor flue", box=Box.cell(x, y, ground - 1), side=axis)
        if flue.mouth:
            yield Panel(
                use="fire mouth", box=Box.cell(*flue.path[0], ground), side=opposite(flue.side)
            )


def chimneys(
    site: Site, flues: Iterable[Flue], eaves: int, tradition: Tradition
) -> Iterator[Support]:
    """A shaft for each, from the ground to a little under the eaves."""
    foot, top = tradition.storeys[0].slab - 1, eaves - UNDER
    for x, y in sorted({flue.stack for flue in flues}):
        shaft = Rect(x, y, x + 1, y + 1)
        yield Support(use="flue", box=shaft.up(foot - site.fall(x, y), top))
        yield Support(use="flue cap", box=shaft.up(top, top + 1))


def beside_stacks(flues: Iterable[Flue]) -> frozenset[Cell]:
    """The ground about chimneys, with room for a tree that stands clear of them."""
    about = (Rect(*flue.stack, *flue.stack).grown(ABOUT_DOORS + 1) for flue in flues)
    return frozenset(c for rect in about for c in rect.cells())


def standing(flues: Iterable[Flue]) -> frozenset[Cell]:
    """The cells in which chimneys stand, and the mouths of fires out of doors."""
    return frozenset(c for f in flues for c in (f.stack, *f.path[: int(f.mouth)]))


def dug(flues: Iterable[Flue]) -> frozenset[Cell]:
    """The cells of ground that they take."""
    return frozenset(c for flue in flues for c in flue.path)
