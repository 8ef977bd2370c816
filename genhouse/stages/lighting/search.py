"""Choosing lamps: where they are looked for, and as few of them as are enough once they stand."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from genhouse.model.room import OUTER, WALKS
from genhouse.stages.lighting.choice import Choice, Chooser
from genhouse.stages.lighting.cover import fewest
from genhouse.stages.lighting.ground import Ground
from genhouse.stages.lighting.light import Burning, Gains, Place, places_of
from genhouse.stages.lighting.places import (
    BRACKETED,
    HIGHEST,
    ON_POST,
    OVER_WALK,
    OVERHEAD,
    Built,
    Spot,
    Spots,
    bracketed,
    centre,
    hung,
    on_rails,
)
from genhouse.stages.lighting.sizes import mean

MOST = 6
"""Lamps on the walls of one room with a high ceiling."""


class Task(Struct, frozen=True, kw_only=True, eq=False):
    """built: what stands before.  fixed: lamps and fires among it.  lumens: by use.

    word: an odd one, that mixes what is alike.
    """

    built: Built
    places: tuple[Place, ...]
    fixed: Burning
    lumens: Mapping[str, int]
    word: int

    def only(self, n: int) -> Task:
        """The same with one place alone."""
        own = self.fixed.of([n])
        fixed = replace(own, place=np.zeros_like(own.place))
        return replace(self, places=(self.places[n],), fixed=fixed)

    def gains(self, which: Sequence[int], spots: Spots, *, hindered: bool = True) -> Gains:
        """What spots, and all that is fixed, bring to some places."""
        fixed = self.fixed if len(which) == len(self.places) else self.fixed.of(which)
        return Gains.of(self.built, self.places, fixed, spots, self.lumens, hindered=hindered)

    def with_lamps(self, spots: Sequence[Spot]) -> Task:
        """The same, of one place alone, with some more lamps among what stands before."""
        built = self.built.with_lamps([spot.lamp for spot in spots])
        (place,) = self.places
        places = places_of(built, ((place.rooms, place.wanted, place.floor),), [place.task])
        at = [centre(spot.cell, spot.form) for spot in spots]
        more = Burning(
            place=np.zeros(len(spots), dtype=np.int32),
            at=np.array(at, dtype=np.int32).reshape(-1, 3),
            lumens=np.array([self.lumens[spot.use] for spot in spots], dtype=np.int32),
        )
        return replace(self, built=built, places=places, fixed=self.fixed.joined(more))


def choices(task: Task) -> list[Choice]:
    """The lamps of every place, in order."""
    every = range(len(task.places))
    found = _chosen(task, every, _overhead(task, every))
    for n in every:
        if not (task.places[n].floor or found[n].enough):
            found[n] = _with_lamps_aside(task.only(n), found[n])
    poor = [n for n in every if task.places[n].floor and not found[n].enough]
    if poor:
        found |= _chosen(task, poor, _by_walls(task, poor))
    for n in poor:
        if not found[n].enough:
            found[n] = _with_wall_lamps(task.only(n))
    dim = [n for n in every if n not in poor and mean(found[n].light) < task.places[n].task]
    if dim:
        found |= {
            n: found[n].brighter(c) for n, c in _chosen(task, dim, _by_walls(task, dim)).items()
        }
    return [found[n] for n in every]


def _with_lamps_aside(task: Task, first: Choice) -> Choice:
    """Of the only place, outside: more lamps, on the walls."""
    task = task.with_lamps(first.lamps)
    more = _chosen(task, [0], _aside(task, [0]))[0]
    return replace(more, lamps=(*first.lamps, *more.lamps), fewest=first.fewest)


def _with_wall_lamps(task: Task) -> Choice:
    """Of the only place: lamps on its walls as long as none under its ceiling reach every point; the rest
    there, once these hang."""
    bound = _least(task)
    first: list[Spot] = []
    while True:
        choice = _chosen(task, [0], _by_walls(task, [0]), part=True)[0]
        more = None if choice.enough or len(first) == MOST else _reaching(task)
        if more is None:
            proven = bound if choice.enough else 0
            return replace(choice, lamps=(*first, *choice.lamps), fewest=proven)
        first.append(more)
        task = task.with_lamps([more])


def _least(task: Task) -> int:
    """A number of lamps that the only place needs, wherever they are put."""
    spots = Spots.joined((_by_walls(task, [0]), _on_walls(task, [0])))
    hoped = task.gains([0], spots, hindered=False)
    gain = hoped.at(0)
    need = np.maximum(task.places[0].wanted - hoped.given[0], 0)
    return fewest(np.minimum(gain, need), need, len(gain))


def _reaching(task: Task) -> Spot | None:
    """The lamp on a wall that brings most to where none overhead bring enough; None where none does."""
    high, low = (task.gains([0], _ranked(task, some(task, [0]))) for some in (_by_walls, _on_walls))
    need = task.places[0].wanted - high.given[0]
    left = np.maximum(need - high.at(0).sum(axis=0), 0)
    brings = np.minimum(low.at(0), left).sum(axis=1)
    return low.spots.spot(int(brings.argmax())) if brings.any() else None


def _overhead(task: Task, which: Sequence[int]) -> Spots:
    """Over one's head: from a ceiling, off the walls, or a rafter; outside on posts, and on rails above."""
    built = task.built
    ground = _ground(task, which)
    walks, upper = _walks(task, which)
    return Spots.joined(
        (
            hung(built, ground[ground.free & ground.inner]),
            bracketed(built, ground[ground.to_roof], OVERHEAD, BRACKETED),
            bracketed(built, walks, OVERHEAD, ON_POST, built.posts),
            bracketed(built, upper, OVERHEAD, OVER_WALK, built.posts),
            on_rails(built, upper, built.posts),
        )
    )


def _aside(task: Task, which: Sequence[int]) -> Spots:
    """Outside, over one's head on the walls that walks run along, and anywhere on the rails above."""
    walks, upper = _walks(task, which)
    return Spots.joined(
        (
            bracketed(task.built, walks, OVERHEAD, ON_POST),
            bracketed(task.built, upper, OVERHEAD, OVER_WALK),
            on_rails(task.built, upper),
        )
    )


def _walks(task: Task, which: Sequence[int]) -> tuple[Ground, Ground]:
    """The walks of those places that are outside: along courts, and above."""
    rooms = [(n, r) for n in which for r in task.places[n].rooms]
    below, above = (
        [(n, r) for n, r in rooms if r.kind in kinds] for kinds in (("veranda", OUTER), WALKS)
    )
    return Ground.of_walks(below), Ground.of_walks(above)


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


def _on_walls(task: Task, which: Sequence[int]) -> Spots:
    """Over one's head on the walls, for where a ceiling hangs high."""
    ground = _ground(task, which)
    return bracketed(task.built, ground[ground.free], OVERHEAD, BRACKETED)


def _ground(task: Task, which: Sequence[int]) -> Ground:
    """The floors of those places that are rooms."""
    places = ((n, task.places[n]) for n in which)
    return Ground.of_rooms([(n, p.rooms[0], p.floor) for n, p in places if p.floor])


def _ranked(task: Task, spots: Spots) -> Spots:
    """By place; there the likeliest first: near the middle, then as drawn."""
    middle = np.array([place.middle for place in task.places])[spots.place]
    off = np.abs(2 * spots.cell[:, :2] - middle).sum(axis=1)
    x, y, z = spots.cell.T.astype(np.uint64)
    mixed = ((x << np.uint64(32)) + (y << np.uint64(16)) + z + np.uint64(1)) * np.uint64(task.word)
    return spots[np.lexsort((mixed, off, spots.place))]


def _chosen(
    task: Task, which: Sequence[int], spots: Spots, *, part: bool = False
) -> dict[int, Choice]:
    """The lamps of some places.  part: do what can be done in rooms too."""
    chooser = Chooser.of(task.gains(which, _ranked(task, spots)), task.lumens)
    return chooser.choices({n: part or task.places[n].floor is None for n in which})
