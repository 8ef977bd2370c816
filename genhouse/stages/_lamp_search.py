"""Choosing lamps: where they are looked for, and as few of them as are enough once they stand."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import reduce

import numpy as np

from genhouse.core.box import Rect
from genhouse.core.draw import Draw
from genhouse.core.light import Bool, Ints
from genhouse.stages._cover import Cover, cover
from genhouse.stages._lamp_ground import Ground, floor_rows, walk_rows
from genhouse.stages._lamp_light import Burning, Hopes, Place, among_themselves
from genhouse.stages._lamp_places import (
    BRACKETED,
    HIGHEST,
    IN_THE_WAY,
    ON_POST,
    OVERHEAD,
    Built,
    Spot,
    Spots,
    bracketed,
    flush,
    hung,
    stood,
)
from genhouse.stages.galleries import KIND as GALLERY

PATIENCE = 2
"""Turns after which all that a place might have is traced."""
RAISED = 8
"""How often more is asked for where tables of its own leave a place short."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Task:
    """built: what stands before.  fixed: lamps and fires among it; given: what they bring to each place.

    posts: where any stand, [X, Y].  lumens: by role.
    """

    built: Built
    places: tuple[Place, ...]
    fixed: Burning
    given: Sequence[Ints]
    posts: Bool
    lumens: Mapping[str, int]
    draw: Draw


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Choice:
    """Lamps of one place.  fewest: a bound.  enough: whether they do.

    points: where one stands, in eighths [P, 3].  light: there, in millilux [P].
    """

    lamps: tuple[Spot, ...]
    fewest: int
    enough: bool
    points: Ints
    light: Ints


def choices(task: Task) -> list[Choice]:
    """The lamps of every place, in order."""
    found: dict[int, Choice] = {}
    which: Sequence[int] = range(len(task.places))
    for search in SEARCHES:
        if which:
            found |= _chosen(task, which, search(task, which))
        which = [n for n in which if task.places[n].floor and not found[n].enough]
    return [found[n] for n in range(len(task.places))]


def _overhead(task: Task, which: Sequence[int]) -> Spots:
    """Over one's head: from a ceiling, off the walls, or a rafter; on posts and under eaves outside."""
    built = task.built
    ground = _ground(task, which)
    walks, upper = (
        Ground.of_rows(
            [
                row
                for n in which
                for row in walk_rows(n, [r for r in task.places[n].rooms if r.kind == kind])
            ]
        )
        for kind in ("veranda", GALLERY)
    )
    return Spots.joined(
        (
            hung(built, ground[ground.free & ground.inner]),
            bracketed(built, ground[ground.to_roof], OVERHEAD, BRACKETED),
            bracketed(built, walks, OVERHEAD, ON_POST, task.posts),
            flush(built, upper, task.posts),
        )
    )


def _by_walls(task: Task, which: Sequence[int]) -> Spots:
    """Overhead along the walls too, and high under a steep roof."""
    ground = _ground(task, which)
    return Spots.joined(
        (
            hung(task.built, ground[ground.free]),
            *(
                bracketed(task.built, ground[ground.to_roof], OVERHEAD + up, BRACKETED)
                for up in range(HIGHEST)
            ),
        )
    )


def _anywhere(task: Task, which: Sequence[int]) -> Spots:
    """On the wall plate too, and on tables."""
    ground = _ground(task, which)
    empty = task.built.form[tuple(ground.at.T)] == 0
    aside = ground.free & empty & ~ground.keep
    return Spots.joined(
        (
            _by_walls(task, which),
            bracketed(task.built, ground[ground.free & ~empty], OVERHEAD - 1, BRACKETED),
            bracketed(task.built, ground[aside], OVERHEAD - 1, IN_THE_WAY),
            stood(task.built, ground[aside]),
        )
    )


SEARCHES = (_overhead, _by_walls, _anywhere)
"""Where lamps are looked for, as far as what comes before is not enough."""


def _ground(task: Task, which: Sequence[int]) -> Ground:
    """The floors of those places that are rooms."""
    places = ((n, task.places[n]) for n in which)
    return Ground.of_rows(
        [row for n, p in places if p.floor for row in floor_rows(n, p.rooms[0], p.floor)]
    )


def _ranked(task: Task, spots: Spots) -> Spots:
    """By place; there the likeliest first: nothing in the way, then near the middle, then as drawn."""
    hulls = [reduce(Rect.hull, (room.rect for room in p.rooms)) for p in task.places]
    middle = np.array([(r.x0 + r.x1 - 1, r.y0 + r.y1 - 1) for r in hulls])[spots.place]
    off = np.abs(2 * spots.cell[:, :2] - middle).sum(axis=1)
    x, y, z = spots.cell.T.astype(np.uint64)
    word = np.uint64(task.draw.word("lamp") | 1)
    mixed = ((x << np.uint64(32)) + (y << np.uint64(16)) + z + np.uint64(1)) * word
    blocks = spots.having(lambda kind: kind.blocks)
    return spots[np.lexsort((mixed, off, blocks, spots.place))]


def _chosen(task: Task, which: Sequence[int], spots: Spots) -> dict[int, Choice]:
    """The lamps of some places.

    They are chosen by what they would bring if nothing stood in their way; those chosen are traced;
    and so on, until all that are chosen have been traced, and hold with their tables standing.
    """
    hopes = Hopes.of(task.built, task.places, _ranked(task, spots), task.lumens)
    seekers = [_Seeker(task, n, hopes) for n in which]
    turn = 0
    while doubtful := [n for seeker in seekers for n in seeker.seek(turn >= PATIENCE)]:
        hopes.trace(np.array(doubtful))
        turn += 1
    return {seeker.n: seeker.choice or seeker.given_up() for seeker in seekers}


class _Seeker:
    """The search for the lamps of one place.

    choice: what it comes to; None as long as it goes on.
    """

    def __init__(self, task: Task, n: int, hopes: Hopes) -> None:
        self.task, self.n, self.place = task, n, task.places[n]
        self.first, self.gain = hopes.gain(n)
        self.spots = hopes.spots[self.first : self.first + len(self.gain)]
        self.traced = hopes.traced[self.first : self.first + len(self.gain)]
        self.need = self.place.wanted - task.given[n]
        cells = {tuple(cell) for cell in self.spots.cell.tolist()}
        blocks = self.spots.having(lambda kind: kind.blocks).any()
        self.simple = not blocks and len(cells) == len(self.gain)
        self.raised = 0
        self.found: Cover | None = None
        self.choice: Choice | None = None

    def seek(self, everything: bool) -> list[int]:
        """Choose, if there is no choice yet; the spots to trace before it is believed, or all there are."""
        while self.choice is None:
            if self.found is None or not self._holds(self.found):
                outside = self.place.floor is None
                self.found = cover(self.gain, self.need, self._allowed, part=outside)
                if not self.found.enough and not outside:
                    self.choice = self.given_up()
                    break
            doubtful = [c for c in self.found.chosen if not self.traced[c]]
            if doubtful and everything:
                doubtful = np.flatnonzero(~self.traced).tolist()
            if doubtful:
                return [self.first + c for c in doubtful]
            self.choice = self._settled(self.found)
        return []

    def _holds(self, found: Cover) -> bool:
        """Whether what was chosen is still enough."""
        return bool((self.gain[list(found.chosen)].sum(axis=0) >= self.need).all())

    def _allowed(self, chosen: tuple[int, ...]) -> bool:
        return self.simple or _passable(self.task, self.place, [self.spots.spot(c) for c in chosen])

    def _settled(self, found: Cover) -> Choice | None:
        """What was found, if it holds; where tables leave a point short, more is asked for there."""
        fewest, enough = found.fewest, found.enough
        lamps = tuple(self.spots.spot(c) for c in found.chosen)
        light = self.task.given[self.n] + self.gain[list(found.chosen)].sum(axis=0, dtype=np.int32)
        points = self.place.points
        if any(spot.cell[2] < self.place.rooms[0].floor + OVERHEAD for spot in lamps):
            left, points, light = among_themselves(
                self.task.built, self.place, lamps, self.task.fixed.of(self.n), self.task.lumens
            )
            short = np.maximum(self.place.wanted - light, 0)
            if enough and short.any() and self.raised < RAISED:
                self.need[left] += short
                self.raised += 1
                return None
            enough = not short.any()
        return Choice(lamps=lamps, fewest=fewest, enough=enough, points=points, light=light)

    def given_up(self) -> Choice:
        """No lamps that are enough."""
        return Choice(
            lamps=(),
            fewest=0,
            enough=False,
            points=self.place.points,
            light=self.task.given[self.n],
        )


def _passable(task: Task, place: Place, spots: Sequence[Spot]) -> bool:
    """Whether these lamps share no cell and leave every kept cell of the floor reachable."""
    if len({spot.cell for spot in spots}) < len(spots):
        return False
    blocking = [spot.cell[:2] for spot in spots if spot.kind.blocks]
    floor = place.floor
    if not blocking or floor is None:
        return True
    form, z = task.built.form, place.rooms[0].floor
    taken = [(x, y) for x, y in floor.cells(floor.free) if form[x, y, z]]
    left = floor.free & ~floor.bits(taken) & ~floor.bits(blocking)
    return floor.connected(left, floor.keep)


