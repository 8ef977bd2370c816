"""What lamps bring to the floors of rooms, among all that stands in their way."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import reduce
from itertools import accumulate, pairwise

import numpy as np
from msgspec import Struct

from genhouse.core.box import Rect
from genhouse.core.forms import shapes
from genhouse.core.kept import fixed
from genhouse.core.light import arriving, feet, lit, millilux, quarters
from genhouse.core.solids import EIGHTHS, SUB, Bool, Dark, Forms, Ints, Whole
from genhouse.model.room import Room
from genhouse.stages.furnishing.floorplan import Floor
from genhouse.stages.lighting.ground import floor_cells
from genhouse.stages.lighting.places import Built, Spot, Spots, centre

CLIMB, HIGH = 2, 3
"""Quarters of a cell that one climbs at a step; the height, less than a cell, that is more than that."""
STEPS = tuple(t for t in range(1, HIGH + CLIMB + 1) if t != HIGH)
"""Heights from which one gets there."""
BODY = 7
"""Quarters that are free where one stands."""
QUARTERS = quarters(shapes())
"""What each form fills of its sixteen columns, a bit a quarter: [F, 16]."""
FOOT: Bool = fixed(
    np.array(
        [
            any(n >> t - 1 & 1 and not n >> t & (1 << BODY) - 1 for t in STEPS)
            for n in range(1 << 3 * SUB)
        ]
    )
)
"""Whether what fills a column of three cells, a bit a quarter, is a step: bool [4096]."""
FAINT = 8
"""Parts of the light wanted outdoors below which a lamp's is left out of account there."""
PLENTY = 1 << 20
"""Millilux that any place has enough of."""
NEXT = fixed(
    np.array([(i, j, k) for i in (-1, 0, 1) for j in (-1, 0, 1) for k in range(3)], dtype=np.int32)
)
"""Cells beside and over one: int [27, 3]."""


class Place(Struct, frozen=True, kw_only=True, eq=False):
    """What is lit together: a room, or a court with its walks.

    middle: of all its rooms, x and y, doubled.  cells: int [P, 3], the floor cells on which one can
    stand.  points: where, in eighths [P, 3].  wanted: millilux.  floor: of a room.  task: millilux that
    are wanted on the mean, 0 where nothing more than the least is.
    """

    rooms: tuple[Room, ...]
    middle: tuple[int, int]
    cells: Ints
    points: Ints
    wanted: int
    floor: Floor | None = None
    task: int = 0


class Burning(Struct, frozen=True, kw_only=True, eq=False):
    """Lamps.  place: the number of what each lights [S].  at: in eighths [S, 3].  lumens: [S]."""

    place: Ints
    at: Ints
    lumens: Ints

    def of(self, places: Sequence[int]) -> Burning:
        """Those of some places."""
        own = np.isin(self.place, places)
        return Burning(place=self.place[own], at=self.at[own], lumens=self.lumens[own])

    def joined(self, more: Burning) -> Burning:
        return Burning(
            place=np.concatenate((self.place, more.place)),
            at=np.concatenate((self.at, more.at)),
            lumens=np.concatenate((self.lumens, more.lumens)),
        )


def places_of(
    built: Built,
    groups: Sequence[tuple[tuple[Room, ...], int, Floor | None]],
    tasks: Sequence[int],
) -> tuple[Place, ...]:
    """Rooms that are lit together, with what is wanted of them.  tasks: millilux on the mean of each."""
    number, at = floor_cells([room for rooms, _, _ in groups for room in rooms])
    points, stands = feet(built.form, shapes(), at)
    cells = at[stands]
    led = _led_to(built.form, cells, points)
    cells, points = cells[led], points[led]
    group = np.arange(len(groups)).repeat([len(rooms) for rooms, _, _ in groups])
    number = group[number[stands][led]]
    ends = np.searchsorted(number, np.arange(len(groups) + 1)).tolist()
    return tuple(
        Place(
            rooms=rooms,
            middle=_middle(rooms),
            cells=cells[a:b],
            points=points[a:b],
            wanted=wanted,
            floor=floor,
            task=task,
        )
        for (rooms, wanted, floor), task, (a, b) in zip(groups, tasks, pairwise(ends), strict=True)
    )


def _middle(rooms: Sequence[Room]) -> tuple[int, int]:
    x0, y0, x1, y1 = reduce(Rect.hull, (room.rect for room in rooms))
    return x0 + x1 - 1, y0 + y1 - 1


def _led_to(form: Forms, cells: Ints, points: Ints) -> Bool:
    """Whether one may get to each point: not on top of what is too high for a step, if nothing near is
    a step to it.

    What leads to one point that is as high leads to the next.
    """
    led = points[:, 2] - EIGHTHS * cells[:, 2] <= 2 * CLIMB
    high = np.flatnonzero(~led)
    if not high.size:
        return led
    _, deep, tall = form.shape
    near = cells[high, None] + NEXT
    x, y, z = np.minimum(np.maximum(near, 0), np.array(form.shape, dtype=np.int32) - 1).T
    column = QUARTERS[form.reshape(-1).take((x * deep + y) * tall + z)]
    column <<= SUB * NEXT[:, None, 2:]
    whole = np.bitwise_or.reduce(column.reshape(9, 3, -1, SUB * SUB), axis=1)
    led[high] = FOOT[whole].any(axis=(0, 2))
    new, rest = high[led[high]], high[~led[high]]
    while new.size and rest.size:
        near = np.abs(cells[rest, None, :2] - cells[new, :2]).max(axis=2) < 2
        found = near.any(axis=1)
        new, rest = rest[found], rest[~found]
        led[new] = True
    return led


class Rays(Struct, frozen=True, kw_only=True, eq=False):
    """From each of some lamps to every point of its own place, lamp by lamp.

    lamp, point: numbers, [R].  begins: where each lamp's begin, and the end, [S + 1].  points: those of
    all places, in eighths [P, 3].  amount: what would come if nothing stood in the way, millilux [R].
    """

    lamps: Burning
    lamp: Whole
    point: Whole
    begins: Whole
    points: Ints
    amount: Ints

    @classmethod
    def of(cls, places: Sequence[Place], lamps: Burning) -> Rays:
        size = np.array([len(place.points) for place in places])
        each = size[lamps.place]
        begins = np.concatenate(([0], each.cumsum()))
        lamp = np.arange(len(each)).repeat(each)
        first = (size.cumsum() - size)[lamps.place] - begins[:-1]
        point = np.arange(len(lamp)) + first[lamp]
        points = np.concatenate([place.points for place in places])
        starts, ends = lamps.at.take(lamp, axis=0), points.take(point, axis=0)
        amount = millilux(lamps.lumens[lamp], starts, ends)
        return cls(lamps=lamps, lamp=lamp, point=point, begins=begins, points=points, amount=amount)

    def arriving(self, dark: Dark, amount: Ints) -> Ints:
        """What of such amounts is not kept back by what stops light: [R]."""
        return arriving(dark, self.lamps.at, self.points, (self.lamp, self.point), amount)


class Gains(Struct, frozen=True, kw_only=True, eq=False):
    """What lamps bring to the points of their places, in millilux.

    given: by fixed ones, [P] of each place.  spots: in the order of places.  amount: by each spot, [R],
    spot by spot.  point: the number of each one's point among all.  begins: where each spot's begin,
    and the end, [S + 1].  firsts: the first spot of each place, and the end.
    """

    places: Sequence[Place]
    given: Sequence[Ints]
    spots: Spots
    amount: Ints
    point: Whole
    begins: Whole
    firsts: Sequence[int]

    @classmethod
    def of(
        cls,
        built: Built,
        places: Sequence[Place],
        fixed: Burning,
        spots: Spots,
        lumens: Mapping[str, int],
        *,
        hindered: bool = True,
    ) -> Gains:
        """Among all that stands, or as if nothing stood in the spots' way."""
        power = spots.having(lumens.__getitem__)
        lamps = fixed.joined(Burning(place=spots.place, at=spots.at, lumens=power))
        rays, own = Rays.of(places, lamps), len(fixed.place)
        first = rays.begins[own]
        faint = np.array([0 if place.floor else place.wanted // FAINT for place in places])
        faint = faint[lamps.place]
        faint[:own] = 0
        amount = rays.amount * (rays.amount >= faint[rays.lamp])
        if hindered:
            amount = rays.arriving(built.dark, amount)
        else:
            amount[:first] = rays.arriving(built.dark, amount)[:first]
        total = np.bincount(rays.point[:first], amount[:first], len(rays.points)).astype(np.int32)
        ends = [0, *accumulate(len(place.points) for place in places)]
        found = cls(
            places=places,
            given=[total[a:b] for a, b in pairwise(ends)],
            spots=spots,
            amount=amount[first:],
            point=rays.point[first:],
            begins=rays.begins[own:] - first,
            firsts=np.searchsorted(spots.place, np.arange(len(places) + 1)).tolist(),
        )
        if hindered:
            found._set_apart(built)
        return found

    def _set_apart(self, built: Built) -> None:
        """Reckon with what keeps back some of its own light."""
        spots = self.spots
        for n in np.flatnonzero(spots.having(lambda use: use not in built.clear)).tolist():
            points, row = self.places[spots.place[n]].points, self.row(n)
            rays = np.zeros(len(row), dtype=np.intp), np.arange(len(row))
            row[:] = arriving(built.alone([spots.spot(n).lamp]), spots.at[[n]], points, rays, row)

    def spare(self) -> Ints:
        """How much more than is wanted each spot and what is given bring together to the point that is
        left darkest: [S]."""
        more = [light - place.wanted for light, place in zip(self.given, self.places, strict=True)]
        ends = np.concatenate((self.amount + np.concatenate(more)[self.point], [PLENTY]))
        return np.minimum.reduceat(ends, self.begins)[:-1]

    def own(self, place: int) -> range:
        """The numbers of a place's spots."""
        return range(self.firsts[place], self.firsts[place + 1])

    def row(self, spot: int) -> Ints:
        """What a spot brings to each point of its place: [P]."""
        return self.amount[self.begins[spot] : self.begins[spot + 1]]

    def at(self, place: int) -> Ints:
        """What each of a place's spots brings to each of its points: [S, P]."""
        own = self.own(place)
        amount = self.amount[self.begins[own.start] : self.begins[own.stop]]
        return amount.reshape(len(own), len(self.places[place].points))


def by_all(
    built: Built, lamps: Sequence[Spot], fixed: Burning, lumens: Mapping[str, int], points: Ints
) -> Ints:
    """What all lamps of the house bring to some points [P, 3], in millilux, once all stand."""
    whole = built.with_lamps([spot.lamp for spot in lamps])
    at = [centre(spot.cell, spot.form) for spot in lamps]
    power = [lumens[spot.use] for spot in lamps]
    sources = np.concatenate((np.array(at, dtype=np.int32).reshape(-1, 3), fixed.at))
    strong = np.concatenate((np.array(power, dtype=np.int32), fixed.lumens))
    here, there = (np.zeros(len(some), dtype=np.int32) for some in (sources, points))
    return lit(whole.dark, (strong, sources, here), (points, there)).sums(len(points))
