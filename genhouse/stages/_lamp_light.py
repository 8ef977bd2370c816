"""What lamps bring to the floors of rooms, among all that stands in their way."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from genhouse.core.forms import shapes
from genhouse.core.light import (
    EIGHTHS,
    LIFT,
    Bool,
    Forms,
    Ints,
    Whole,
    feet,
    lit,
    seen,
    unhindered,
)
from genhouse.model.room import Room
from genhouse.stages._floorplan import Floor
from genhouse.stages._lamp_ground import floor_cells
from genhouse.stages._lamp_places import Built, Spot, Spots, centre

CLIMB, HIGH = 2, 3
"""Quarters of a cell that one climbs at a step; the height, less than a cell, that is more than that."""
STEPS = tuple(t for t in range(1, HIGH + CLIMB + 1) if t != HIGH)
"""Heights from which one gets there."""
FAINT = 8
"""Parts of the light wanted outdoors below which a lamp's is left out of account there."""
PLENTY = 1 << 20
"""Millilux that any place has enough of."""
LIFTED = np.array((0, 0, LIFT), dtype=np.int32)
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

    def joined(self, place: int, at: tuple[int, int, int], lumens: int) -> Burning:
        """With one more."""
        return Burning(
            place=np.append(self.place, place).astype(np.int32),
            at=np.append(self.at, [at], axis=0).astype(np.int32),
            lumens=np.append(self.lumens, lumens).astype(np.int32),
        )


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
    if not high.size:
        return led
    top = np.array(form.shape, dtype=np.int32) - 1
    x, y, z = np.clip(cells[high, None] + NEXT, 0, top).transpose(2, 0, 1)
    column = shapes()[form[x, y, z]].reshape(-1, 9, 3, 4, 4, 4)
    column = column.transpose(0, 1, 3, 4, 2, 5).reshape(len(high), 9 * 16, 12)
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


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Hopes:
    """What spots would bring to the points of their places, in millilux: at first as if nothing stood
    in the way, and truly once a spot has been traced.

    spots: in the order of places.  amount: [R], spot by spot.  begins: where each spot's begin, and the
    end, [S + 1].  traced: [S].
    """

    built: Built
    places: Sequence[Place]
    spots: Spots
    amount: Ints
    begins: Ints
    traced: Bool

    @classmethod
    def of(
        cls,
        built: Built,
        places: Sequence[Place],
        spots: Spots,
        lumens: Mapping[str, int],
    ) -> Hopes:
        """None is traced yet.  Under a table of its own nobody stands who would want light."""
        which = np.unique(spots.place).tolist()
        power = spots.having(lambda kind: lumens[kind.role])
        points = np.concatenate([places[n].points for n in which])
        size = np.array([len(place.points) for place in places])
        rays = unhindered((power, spots.at, spots.place), (points, np.repeat(which, size[which])))
        begins = np.concatenate(([0], size[spots.place].cumsum()))
        faint = np.array([0 if place.floor else place.wanted // FAINT for place in places])
        rays.amount[rays.amount < faint[spots.place].repeat(size[spots.place])] = 0
        found = cls(
            built=built,
            places=places,
            spots=spots,
            amount=rays.amount,
            begins=begins,
            traced=np.zeros(len(spots), dtype=bool),
        )
        for n in np.flatnonzero(spots.having(lambda kind: kind.blocks)).tolist():
            found._lose_its_cell(n)
        return found

    def _lose_its_cell(self, n: int) -> None:
        place = self.places[self.spots.place[n]]
        lost = (place.cells[:, :2] == self.spots.cell[n, :2]).all(axis=1)
        self.amount[self.begins[n] : self.begins[n + 1]][lost] = PLENTY

    def gain(self, place: int) -> tuple[int, Ints]:
        """The number of the first spot of a place; what each of its spots brings to each point [S, P]."""
        first, last = np.searchsorted(self.spots.place, (place, place + 1)).tolist()
        size = len(self.places[place].points)
        return first, self.amount[self.begins[first] : self.begins[last]].reshape(
            last - first, size
        )

    def trace(self, which: Whole) -> None:
        """Take away from some spots what is kept from them, by their own tables too."""
        rays = np.concatenate([np.arange(self.begins[n], self.begins[n + 1]) for n in which])
        points = np.concatenate([self.places[n].points for n in self.spots.place[which].tolist()])
        starts = self.spots.at[which].repeat(self.begins[which + 1] - self.begins[which], axis=0)
        worth = np.flatnonzero(self.amount[rays])
        self.amount[rays[worth]] *= seen(self.built.dark, starts[worth], points[worth] + LIFTED)
        self.traced[which] = True
        alone = self.spots.having(lambda k: k.stands or k.role not in self.built.clear)
        for n in which[alone[which] > 0].tolist():
            self._past_itself(n)
        for n in which[self.spots.having(lambda k: k.blocks)[which] > 0].tolist():
            self._lose_its_cell(n)

    def _past_itself(self, n: int) -> None:
        """Take away what a spot's own table, or the lamp itself, keeps from a point."""
        ends = self.places[self.spots.place[n]].points + LIFTED
        starts = np.broadcast_to(self.spots.at[n], ends.shape)
        own = self.built.alone(tuple(self.spots.spot(n).parts()))
        self.amount[self.begins[n] : self.begins[n + 1]] *= seen(own, starts, ends)


def given(built: Built, places: Sequence[Place], fixed: Burning) -> list[Ints]:
    """What fixed lamps bring to the points of each place, in millilux [P]."""
    size = np.array([len(place.points) for place in places])
    points = np.concatenate([place.points for place in places])
    home = np.arange(len(places)).repeat(size)
    rays = lit(built.dark, (fixed.lumens, fixed.at, fixed.place), (points, home))
    return np.split(rays.sums(len(points)), size.cumsum()[:-1])


def by_all(
    built: Built, lamps: Sequence[Spot], fixed: Burning, lumens: Mapping[str, int], points: Ints
) -> Ints:
    """What all lamps of the house bring to some points [P, 3], in millilux, once all stand."""
    whole = built.with_parts([part for spot in lamps for part in spot.parts()])
    at = [centre(spot.cell, spot.form) for spot in lamps]
    power = [lumens[spot.kind.role] for spot in lamps]
    sources = np.concatenate((np.array(at, dtype=np.int32).reshape(-1, 3), fixed.at))
    strong = np.concatenate((np.array(power, dtype=np.int32), fixed.lumens))
    here, there = (np.zeros(len(some), dtype=np.int32) for some in (sources, points))
    return lit(whole.dark, (strong, sources, here), (points, there)).sums(len(points))
