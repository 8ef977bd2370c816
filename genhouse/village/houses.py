"""The houses of a village: each made from its plot's brief, drawn anew while it is like one before it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from typing import Protocol

import numpy as np
import numpy.typing as npt

from genhouse.core.axes import Side
from genhouse.core.draw import Draw
from genhouse.core.engines import opened
from genhouse.core.errors import InfeasibleError
from genhouse.core.progress import told
from genhouse.house import make
from genhouse.many.distinct import ALIKE, Features, alike, distance, features
from genhouse.many.outside import ALIKE as ALIKE_OUTSIDE
from genhouse.many.outside import least
from genhouse.model.brief import Recipe
from genhouse.model.voxels import About, Voxels
from genhouse.village.people import Customs, brief_for
from genhouse.village.plots import Plot, Rect

TRIES = 8
"""Times that a house is drawn anew, at most."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Built:
    """A house on its plot.  voxels: its cells.  digest: of the house.  tries: draws that went before it.
    rooms: indoor ones.  storeys: how many."""

    plot: Plot
    recipe: Recipe
    voxels: Voxels
    features: Features
    digest: str
    tries: int
    rooms: int
    storeys: int

    @property
    def about(self) -> About:
        return self.voxels.about

    @property
    def pieces(self) -> int:
        """Cells that are not air."""
        return int(np.count_nonzero(self.voxels.material))

    @property
    def rect(self) -> Rect:
        return self.plot.rect

    @property
    def covers(self) -> npt.NDArray[np.bool_]:
        """Columns of its rectangle that are in the outline of its plot."""
        return np.asarray(self.voxels.material[:, :, 0] > 0)

    @property
    def gate(self) -> Side:
        return self.plot.gate

    @property
    def door(self) -> tuple[int, int]:
        """Where a visitor stands at the gate, in cells of the map."""
        x, y, _ = self.about.gate
        return self.rect[0] + x, self.rect[1] + y


class Made(Protocol):
    """Where houses are kept that an earlier run made."""

    def get(self, recipe: Recipe, plot: Plot, tries: int) -> Built | None: ...
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
    waiting = list(plots)
    while waiting:
        _fill(
            row,
            [(plot, tries[plot.number]) for plot in waiting],
            customs,
            draw,
            processes,
            engine,
            kept,
        )
        for plot in waiting:
            tries[plot.number] += 1
            if plot.number not in row and tries[plot.number] == TRIES:
                raise InfeasibleError(
                    f"plot {plot.number}: no house came of it in {TRIES} draws", stage="site"
                )
        again = _too_like(row, tries)
        waiting = [p for p in plots if p.number not in row or p.number in again]
    built = tuple(row[plot.number] for plot in plots)
    return built, tuple(_likeness(one, built) for one in built)


def _fill(
    row: dict[int, Built],
    tasks: Sequence[tuple[Plot, int]],
    customs: Customs,
    draw: Draw,
    processes: int | None,
    engine: str,
    kept: Made | None,
) -> None:
    """Put the houses of some plots, at some try each, into the row."""
    missing = []
    for plot, tries in tasks:
        recipe = recipe_for(plot, customs, draw, tries)
        known = kept.get(recipe, plot, tries) if kept else None
        if known:
            row[plot.number] = known
        else:
            missing.append((plot, tries))
    if not missing:
        return
    with opened(engine, min(processes, len(missing)) if processes else None) as workers:
        found = workers.map(partial(_built, customs, draw), missing)
        for built in told("houses", found, len(missing)):
            if built is not None:
                row[built.plot.number] = built
                if kept:
                    kept.put(built)


def recipe_for(plot: Plot, customs: Customs, draw: Draw, tries: int) -> Recipe:
    """What a plot's house is made from, at one try."""
    brief = brief_for(plot, customs, draw, tries)
    return Recipe(seed=draw.at("house", plot.number).word(f"try {tries}"), brief=brief)


def _built(customs: Customs, draw: Draw, task: tuple[Plot, int]) -> Built | None:
    """The house of a plot at one try; None where there is none."""
    plot, tries = task
    recipe = recipe_for(plot, customs, draw, tries)
    try:
        house = make(recipe)
    except InfeasibleError:
        return None
    indoor = [room for room in house.plan.rooms if room.indoor]
    return Built(
        plot=plot,
        recipe=recipe,
        voxels=house.voxels,
        features=features(house.plan, house.voxels, house.figures()),
        digest=house.digest,
        tries=tries,
        rooms=len(indoor),
        storeys=len({room.level for room in indoor}),
    )


def _too_like(row: dict[int, Built], tries: dict[int, int]) -> set[int]:
    """Numbers of those that are to be drawn anew: like one before, with tries left."""
    settled: list[Features] = []
    again = set()
    for number in sorted(row):
        one = row[number].features
        if tries[number] < TRIES and any(alike(one, other) for other in settled):
            again.add(number)
        else:
            settled.append(one)
    return again


def _likeness(one: Built, row: Sequence[Built]) -> Likeness:
    others = [other for other in row if other.plot.number != one.plot.number]
    if not others:
        return Likeness(nearest=0, inside=1000, outside=1000, alike=False)
    inside, number = min(
        (int(distance(one.features, other.features) * 1000), other.plot.number) for other in others
    )
    looks = least(one.features.look.heights, (other.features.look.heights for other in others))
    near = inside < ALIKE * 1000 or looks < ALIKE_OUTSIDE
    return Likeness(nearest=number, inside=inside, outside=int(looks * 1000), alike=near)
