"""The lamps of one place, of all the spots there are for them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import combinations, product

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from genhouse.core.solids import Ints
from genhouse.stages.lighting.cover import ALL, Cover, by_trying, cover
from genhouse.stages.lighting.light import Gains
from genhouse.stages.lighting.places import Spot
from genhouse.stages.lighting.sizes import Want, mean, sized


class Choice(Struct, frozen=True, kw_only=True, eq=False):
    """Lamps of one place.  fewest: a bound.  enough: whether they do.

    points: where one stands, in eighths [P, 3].  light: there, in millilux [P].
    """

    lamps: tuple[Spot, ...]
    fewest: int
    enough: bool
    points: Ints
    light: Ints

    def brighter(self, other: Choice) -> Choice:
        """The other where that brings more on the mean; no more is known of how few would do."""
        if not other.enough or mean(other.light) <= mean(self.light):
            return self
        return replace(other, fewest=self.fewest)


class Chooser(Struct, frozen=True, kw_only=True, eq=False):
    """Chooses among spots that are ranked.

    cells: of each spot, its own.  spare: what each alone leaves over where its place is darkest.
    """

    gains: Gains
    cells: Sequence[tuple[int, int, int]]
    spare: Sequence[int]
    lumens: Mapping[str, int]

    @classmethod
    def of(cls, gains: Gains, lumens: Mapping[str, int]) -> Chooser:
        x, y, z = gains.spots.cell.T.tolist()
        return cls(
            gains=gains,
            cells=list(zip(x, y, z, strict=True)),
            spare=gains.spare().tolist(),
            lumens=lumens,
        )

    def choices(self, which: Mapping[int, bool]) -> dict[int, Choice]:
        """Of some places by number, each with ``part``: whether, where all lamps together are not enough,
        as much as these bring will do."""
        chosen = {n: self._chosen(n, part) for n, part in which.items()}
        wants = [
            Want(place=n, lamps=lamps, allowed=self.apart)
            for n, (choice, lamps) in chosen.items()
            if choice.enough and self.gains.places[n].task and len(choice.light)
        ]
        found = {n: choice for n, (choice, _) in chosen.items()}
        for want, fit in zip(wants, sized(self.gains, wants, self.lumens), strict=True):
            found[want.place] = replace(found[want.place], lamps=fit.lamps, light=fit.light)
        return found

    def _chosen(self, n: int, part: bool) -> tuple[Choice, tuple[int, ...]]:
        """Of one place, in one size, and their numbers."""
        place, light = self.gains.places[n], self.gains.given[n]
        own = self.gains.own(n)
        best = max(own, key=self.spare.__getitem__, default=-1)
        alone, wanted = best >= 0 and self.spare[best] >= 0, place.wanted
        if alone and light.min(initial=wanted) < wanted:
            found, lamps = Cover(chosen=(0,), fewest=1, enough=True), [best]
        else:
            found = self._cover(n, part, 1 if alone or part else 2)
            lamps = [own[c] for c in found.chosen]
        for lamp in lamps:
            light = light + self.gains.row(lamp)
        enough = found.enough and (not part or bool(light.min(initial=wanted) >= wanted))
        spots = tuple(map(self.gains.spots.spot, lamps))
        return Choice(
            lamps=spots, fewest=found.fewest, enough=enough, points=place.points, light=light
        ), tuple(lamps)

    def apart(self, spots: Sequence[int]) -> bool:
        """Whether the last of some lamps may hang with the others, side by side with none."""
        return not self.crowded(spots[-1:], spots[:-1])

    def _cover(self, n: int, part: bool, low: int) -> Cover:
        """The fewest; of as many, up to ALL, rather some that hang apart."""
        place, first, gain = self.gains.places[n], self.gains.own(n).start, self.gains.at(n)
        need = place.wanted - self.gains.given[n]
        if part:
            need = np.minimum(need, gain.sum(axis=0, dtype=np.int32))

        def allowed(chosen: Sequence[int]) -> bool:
            return len({self.cells[first + c] for c in chosen}) == len(chosen)

        def spread(chosen: Sequence[int]) -> bool:
            pairs = combinations([first + c for c in chosen], 2)
            return not any(self.crowded([a], [b]) for a, b in pairs) and allowed(chosen)

        found = cover(gain, need, allowed, part=part, low=low)
        number = len(found.chosen)
        if 1 < number <= ALL and not spread(found.chosen):
            other, _ = by_trying(gain, need, spread, number)
            found = replace(found, chosen=other or found.chosen)
        return found

    def crowded(self, some: Sequence[int], others: Sequence[int]) -> bool:
        """Whether one of some lamps is side by side with one of others."""
        return any(
            max(abs(x - i), abs(y - j)) < 2
            for (x, y, _), (i, j, _) in product(
                *([self.cells[n] for n in part] for part in (some, others))
            )
        )
