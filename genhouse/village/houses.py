"""The houses of a village: each made from its plot's brief, drawn anew while it is like one before it."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass
from functools import partial
from typing import Protocol

import numpy as np
from msgspec import Struct

from genhouse.core.axes import Side
from genhouse.core.draw import Draw
from genhouse.core.engines import opened
from genhouse.core.errors import InfeasibleError
from genhouse.core.progress import told
from genhouse.generate.offers import unexplained
from genhouse.house import House, make
from genhouse.many.crowd import Crowd
from genhouse.many.distinct import ALIKE, Features, features
from genhouse.many.outside import ALIKE as ALIKE_OUTSIDE
from genhouse.model.brief import Recipe
from genhouse.model.voxels import Voxels
from genhouse.outputs.figures.figures import shell_figures
from genhouse.village.grids import Mask
from genhouse.village.offers import Rect
from genhouse.village.packed import packed, unpacked
from genhouse.village.people import Customs, brief_for
from genhouse.village.plots import Plot

TRIES = 8
"""Times that a house is drawn anew, at most."""


class Built(Struct, frozen=True, kw_only=True):
    """A house on its plot, small enough to keep very many of.

    tries: draws that went before it.  digest: of the house.  rooms: indoor ones.  pieces: cells that are
    not air.  threshold: where a visitor stands at the gate (x, y, quarters up).  eaves: as in its file.
    columns: which of its rectangle's columns it covers, eight to a byte.  packed: its cells.
    """

    plot: Plot
    recipe: Recipe
    tries: int
    digest: str
    rooms: int
    storeys: int
    pieces: int
    threshold: tuple[int, int, int]
    size: tuple[int, int, int]
    eaves: int
    columns: bytes
    features: Features
    packed: bytes

    @property
    def voxels(self) -> Voxels:
        """Its cells, unpacked; the last few are at hand."""
        return unpacked(self.packed)

    @property
    def rect(self) -> Rect:
        return self.plot.rect

    @property
    def covers(self) -> Mask:
        """Columns of its rectangle that are in the outline of its plot."""
        wide, deep, _ = self.size
        bits = np.frombuffer(self.columns, dtype=np.uint8)
        return np.unpackbits(bits, count=wide * deep).reshape(wide, deep).astype(bool)

    @property
    def gate(self) -> Side:
        return self.plot.gate

    @property
    def row(self) -> int:
        """The number of the first house of those against which it stands."""
        return self.plot.row

    @property
    def door(self) -> tuple[int, int]:
        """Where a visitor stands at the gate, in cells of the map."""
        x, y, _ = self.threshold
        return self.rect[0] + x, self.rect[1] + y


class Made(Protocol):
    """Where houses are kept that an earlier run made."""

    def get(self, recipe: Recipe) -> Built | None: ...
    def put(self, built: Built) -> None: ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Likeness:
    """The house most like one inside: its number and how far that is; and how far the one is that is most
    like it outside; of a thousand.  alike: whether either is nearer than its floor."""

    nearest: int
    inside: int
    outside: int
    alike: bool


def build_houses(
    plots: Sequence[Plot],
    customs: Customs,
    draw: Draw,
    *,
    processes: int | None = None,
    engine: str = "pool",
    kept: Made | None = None,
) -> tuple[tuple[Built, ...], tuple[Likeness, ...]]:
    """A house for each plot, in their order, no two of them alike as far as the tries reach.

    kept: houses of an earlier run, and where new ones go.  Raises InfeasibleError where a plot has no house
    in all its tries.
    """
    row: dict[int, Built] = {}
    tries = dict.fromkeys((plot.number for plot in plots), 0)
    work = partial(_built, customs, draw)
    with opened(engine, min(processes, len(plots)) if processes else None) as workers:
        waiting = list(plots)
        while waiting:
            tasks = [(plot, tries[plot.number]) for plot in waiting]
            missing = []
            for task in tasks:
                known = _known(kept, customs, draw, task) if kept else None
                if known:
                    row[known.plot.number] = known
                else:
                    missing.append(task)
            for built in told("houses", workers.map(work, missing), len(missing)):
                row[built.plot.number] = built
                if kept:
                    kept.put(built)
            for plot in waiting:
                tries[plot.number] = row[plot.number].tries + 1
            again = _too_like(row, tries)
            waiting = [plot for plot in plots if plot.number in again]
    houses = tuple(row[plot.number] for plot in plots)
    return houses, _likenesses(houses)


def _known(kept: Made, customs: Customs, draw: Draw, task: tuple[Plot, int]) -> Built | None:
    """The house that came of a plot from one try on, where an earlier run made it."""
    plot, first = task
    found = (kept.get(recipe_for(plot, customs, draw, tries)) for tries in range(first, TRIES))
    return next((built for built in found if built and built.plot == plot), None)


def recipe_for(plot: Plot, customs: Customs, draw: Draw, tries: int) -> Recipe:
    """What a plot's house is made from, at one try."""
    brief = brief_for(plot, customs, draw, tries)
    return Recipe(seed=draw.at("house", plot.number).word(f"try {tries}"), brief=brief)


def _built(customs: Customs, draw: Draw, task: tuple[Plot, int]) -> Built:
    """The first house that comes of a plot, from one try on.  Raises InfeasibleError where none does."""
    plot, first = task
    for tries in range(first, TRIES):
        recipe = recipe_for(plot, customs, draw, tries)
        with suppress(InfeasibleError), unexplained():
            return _packed(make(recipe), plot, recipe, tries)
    raise InfeasibleError(f"plot {plot.number}: no house came of it in {TRIES} draws", stage="site")


def _packed(house: House, plot: Plot, recipe: Recipe, tries: int) -> Built:
    voxels = house.voxels
    indoor = [room for room in house.plan.rooms if room.indoor]
    return Built(
        plot=plot,
        recipe=recipe,
        tries=tries,
        digest=house.digest,
        rooms=len(indoor),
        storeys=len({room.level for room in indoor}),
        pieces=int(np.count_nonzero(voxels.material)),
        threshold=voxels.about.gate,
        size=voxels.size,
        eaves=voxels.about.eaves,
        columns=np.packbits(voxels.material[:, :, 0] > 0).tobytes(),
        features=features(house.plan, voxels, shell_figures(house.plan, voxels)),
        packed=packed(voxels),
    )


def _too_like(row: dict[int, Built], tries: dict[int, int]) -> set[int]:
    """Numbers of those that are to be drawn anew: like one before, with tries left."""
    numbers = sorted(row)
    crowd = Crowd.of([row[number].features for number in numbers])
    settled = np.zeros(len(numbers), dtype=bool)
    again = set()
    for n, number in enumerate(numbers):
        if tries[number] < TRIES and crowd.like_any(n, settled):
            again.add(number)
        else:
            settled[n] = True
    return again


def _likenesses(row: Sequence[Built]) -> tuple[Likeness, ...]:
    if len(row) == 1:
        return (Likeness(nearest=0, inside=1000, outside=1000, alike=False),)
    crowd = Crowd.of([one.features for one in row])
    return tuple(_likeness(crowd, n, row) for n in range(len(row)))


def _likeness(crowd: Crowd, n: int, row: Sequence[Built]) -> Likeness:
    others = np.arange(len(row)) != n
    inside = (crowd.inside(n) * 1000).astype(np.int64)
    nearest = int(np.flatnonzero(others)[inside[others].argmin()])
    looks = crowd.nearest_look(n, others)
    return Likeness(
        nearest=row[nearest].plot.number,
        inside=int(inside[nearest]),
        outside=int(looks * 1000),
        alike=bool(inside[nearest] < ALIKE * 1000 or looks < ALIKE_OUTSIDE),
    )
