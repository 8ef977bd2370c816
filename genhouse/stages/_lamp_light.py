"""What lamps bring to the floors of rooms, among all that stands in their way."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from genhouse.core.forms import NUMBER, shapes
from genhouse.core.light import EIGHTHS, LIFT, Bool, Dark, Forms, Ints, feet, lit, seen
from genhouse.model.room import Room
from genhouse.stages._floorplan import Floor
from genhouse.stages._lamp_ground import floor_cells
from genhouse.stages._lamp_places import Built, Spot, Spots, centre


CLIMB, HIGH = 2, 3
"""Quarters of a cell that one climbs at a step; the height, less than a cell, that is more than that."""
STEPS = tuple(t for t in range(1, HIGH + CLIMB + 1) if t != HIGH)
"""Heights from which one gets there."""
NEXT = np.array([(i, j, k) for i in (-1, 0, 1) for j in (-1, 0, 1) for k in range(3)])
"""Cells beside and over one: int [27, 3]."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Place:
    """What is lit together: a room, or a court with its walks.

    cells: int [P, 3], the floor cells on which one can stand.  points: where, in eighths [P, 3].
    wanted: millilux.  floor: of a room.
    """

    rooms: tuple[Room, ...]
    cells: Ints
    points: Ints
    wanted: int
    floor: Floor | None = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Burning:
    """Lamps.  place: the number of what each lights [S].  at: in eighths [S, 3].  lumens: [S]."""

    place: Ints
    at: Ints
    lumens: Ints

    def of(self, place: int) -> Burning:
        """Those of one place."""
        own = self.place == place
        return Burning(place=self.place[own], at=self.at[own], lumens=self.lumens[own])


def places_of(
    built: Built, groups: Sequence[tuple[tuple[Room, ...], int, Floor | None]]
) -> tuple[Place, ...]:
    """Rooms that are lit together, with what is wanted of them."""
    cells = [[c for room in rooms for c in floor_cells(room)] for rooms, _, _ in groups]
    at = np.array([c for some in cells for c in some], dtype=np.int32)
    points, stands = feet(built.form, shapes(), at)
    led = _led_to(built.form, at[stands], points)
    points, stands[stands] = points[led], led
    number = np.arange(len(groups)).repeat([len(some) for some in cells])[stands]
    ends = np.searchsorted(number, np.arange(1, len(groups)))
    parts = zip(groups, np.split(at[stands], ends), np.split(points, ends), strict=True)
    return tuple(
        Place(rooms=rooms, cells=some, points=where, wanted=wanted, floor=floor)
        for (rooms, wanted, floor), some, where in parts
    )


def _led_to(form: Forms, cells: Ints, points: Ints) -> Bool:
    """Whether one may get to each point: not on top of what is too high for a step, if nothing near is
    a step to it.

    What leads to one point that is as high leads to the next.
    """
    led = points[:, 2] - EIGHTHS * cells[:, 2] <= 2 * CLIMB
    high = np.flatnonzero(~led)
    around = np.clip(
        cells[high][:, None] + NEXT, 0, np.array(form.shape, dtype=np.int32) - 1
    )  # [H, 27, 3]
    filled = shapes()[form[tuple(np.moveaxis(around, -1, 0))]].reshape(-1, 9, 3, 4, 4, 4)
    column = filled.transpose(0, 1, 3, 4, 2, 5).reshape(len(high), 9 * 16, 12)
    for t in STEPS:
        foot = column[:, :, t - 1] & ~column[:, :, t : t + 7].any(axis=2)
        led[high] |= foot.any(axis=1)
    found = True
    while found:
        rest = np.flatnonzero(~led)
        near = np.abs(cells[rest, None, :2] - cells[high[led[high]], :2]).max(axis=2) < 2
        led[rest] = near.any(axis=1)
        found = bool(near.any())
    return led


def gains(
    built: Built,
    places: Sequence[Place],
    which: Sequence[int],
    spots: Spots,
    fixed: Burning,
    lumens: Mapping[str, int],
) -> list[tuple[Ints, Ints]]:
    """For some places, what each of their spots, and all fixed lamps, bring to each point, in millilux.

    spots: in the order of places.  Each answer: [S, P] and [P].  A lamp on a table is behind it; one
    that leaves no room to stand under it has done what is wanted there.
    """
    size = np.array([len(place.points) for place in places])
    home = np.array(which).repeat(size[list(which)])
    points = np.concatenate([places[n].points for n in which])
    rays = lit(
        built.dark,
        (
            np.concatenate((spots.having(lambda kind: lumens[kind.role]), fixed.lumens)),
            np.concatenate((spots.at, fixed.at)),
            np.concatenate((spots.place, fixed.place)),
        ),
        (points, home),
    )
    after = np.concatenate(([0], size[spots.place].cumsum()))
    rest = np.bincount(
        rays.point[after[-1] :], weights=rays.amount[after[-1] :], minlength=len(points)
    )
    base = np.split(rest.astype(np.int32), size[list(which)].cumsum()[:-1])
    found = []
    for n, given in zip(which, base, strict=True):
        first, last = np.searchsorted(spots.place, (n, n + 1))
        gain = rays.amount[after[first] : after[last]].reshape(-1, int(size[n]))
        _past_themselves(built, places[n], spots[first:last], gain)
        found.append((gain, given))
    return found


def _past_themselves(built: Built, place: Place, spots: Spots, gain: Ints) -> None:
    """Take away what a lamp's own table, or itself, keeps from a point; cells that are lost."""
    blocks = spots.having(lambda kind: kind.blocks)
    stands = spots.having(lambda kind: kind.stands or kind.role not in built.clear)
    for n in np.flatnonzero(blocks | stands).tolist():
        spot = spots.spot(n)
        x, y, z = spot.cell
        form = np.zeros((1, 1, 2), dtype=np.uint8)
        for part in spot.parts():
            if part.role not in built.clear:
                form[0, 0, part.box.z0 - z + 1] = NUMBER[part.form]
        corner = EIGHTHS * np.array((x, y, z - 1), dtype=np.int32)
        ends = place.points - corner + np.array((0, 0, LIFT), dtype=np.int32)
        starts = np.broadcast_to(spots.at[n] - corner, ends.shape)
        gain[n] *= seen(Dark(form=form, solids=built.dark.solids), starts, ends)
        if spot.kind.blocks:
            gain[n, (place.cells[:, :2] == (x, y)).all(axis=1)] = place.wanted


def among_themselves(
    built: Built,
    place: Place,
    lamps: Sequence[Spot],
    fixed: Burning,
    lumens: Mapping[str, int],
) -> tuple[Ints, Ints, Ints]:
    """What some lamps and the fixed ones of a place bring to it once all stand, their tables too.

    Which of the place's points are left [Q], where they are now [Q, 3], and millilux [Q].
    """
    whole = built.with_parts([part for spot in lamps for part in spot.parts()])
    points, stands = feet(whole.form, shapes(), place.cells)
    own = np.array([centre(spot.cell, spot.form) for spot in lamps], dtype=np.int32).reshape(-1, 3)
    power = np.array([lumens[spot.kind.role] for spot in lamps], dtype=np.int32)
    at, power = np.concatenate((own, fixed.at)), np.concatenate((power, fixed.lumens))
    rays = lit(whole.dark, (power, at, np.zeros(len(at))), (points, np.zeros(len(points))))
    return np.flatnonzero(stands), points, rays.sums(len(points))
