"""Where a builder stands, and what is within reach from there, step by step.

One stands on a piece or on the ground with two free cells above it, and gets there on foot, a cell up
or down at a time; what one has just laid may be stood on to lay what lies higher.  A piece is within
reach where the middle of its cell lies within an arm's length of one's eyes, in the middle of the upper
of those two cells.  For what is not, trestles are set up, and struck at the end of the last step that
needs them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from msgspec import Struct

from genhouse.model.voxels import Voxels
from genhouse.outputs.steps._columns import (
    ARM,
    INNER,
    MARGIN,
    ONE,
    Columns,
    count,
    packed,
    reached,
    room_to_stand,
    walked,
)
from genhouse.outputs.steps._trestles import Trestle, Work
from genhouse.outputs.steps.steps import Steps

__all__ = ["ARM", "Reach", "Trestle", "places", "reaches"]


class Reach(Struct, frozen=True, kw_only=True):
    """Of one step: its pieces, by where one stands to set them.

    ground: on the ground or a floor level with it.  aloft: on what stands higher.  laid: on what the
    step itself lays.  trestles: where they are set up for more.  beyond: pieces that are within reach of
    none of them.
    """

    step: int
    pieces: int
    ground: int
    aloft: int
    laid: int
    trestles: tuple[Trestle, ...]
    beyond: int


def places(reach: Sequence[Reach]) -> int:
    """In how many places a trestle is ever set up."""
    return len({(t.x, t.y, t.foot) for one in reach for t in one.trestles})


def reaches(voxels: Voxels, steps: Steps) -> tuple[Reach, ...]:
    """What can be reached in each step."""
    return tuple(_reaches(voxels, steps))


def _reaches(voxels: Voxels, steps: Steps) -> Iterator[Reach]:
    passable, high = voxels.flag("passable")[voxels.material], voxels.size[2]
    low = (ONE << np.uint64(voxels.about.gate[2] // 4 + 2)) - ONE
    stands = _ground(voxels)
    before = np.full_like(stands, ONE)  # the site is dug out, and one may be anywhere in it
    trestles: tuple[Trestle, ...] = ()
    for step in steps.steps:
        mine = steps.of == step.number
        late = stands | packed(mine & ~passable)
        room = room_to_stand(late)
        after = walked(room, room & before | _edges(room))
        left = packed(mine)
        counts = []
        for places, below in ((before & low, True), (before & ~low, True), (after, False)):
            within = left & reached(places, below=below) if left.any() else left
            counts.append(count(within))
            left = left & ~within
        work = Work(stands, late, before, after, left, high) if left.any() else None
        trestles = tuple(work.trestles(trestles)) if work else ()
        beyond = count(work.missed) if work else 0
        ground, aloft, laid = counts
        yield Reach(
            step=step.number,
            pieces=step.pieces,
            ground=ground,
            aloft=aloft,
            laid=laid,
            trestles=trestles,
            beyond=beyond,
        )
        stands, before = late, after


def _ground(voxels: Voxels) -> Columns:
    """What there is before anything is set: the lane about the plot, as high as where a visitor
    stands.
    """
    width, deep, _ = voxels.size
    high = (ONE << np.uint64(voxels.about.gate[2] // 4)) - ONE
    lane = np.full((width + 2 * MARGIN, deep + 2 * MARGIN), high)
    lane[INNER][(voxels.material > 0).any(axis=2)] = 0  # beyond its outline a plot is bare
    return lane


def _edges(room: Columns) -> Columns:
    """The places at the edge of all, where one comes from."""
    found = np.zeros_like(room)
    for edge in (np.s_[0], np.s_[-1], np.s_[:, 0], np.s_[:, -1]):
        found[edge] = room[edge]
    return found
