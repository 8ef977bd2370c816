"""The lamps of one place, of all the spots there are for them."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from genhouse.core.solids import Forms, Ints
from genhouse.stages.lighting.cover import ALL, Cover, by_trying, cover
from genhouse.stages.lighting.light import Gains, Place
from genhouse.stages.lighting.places import Spot


class Choice(Struct, frozen=True, kw_only=True, eq=False):
    """Lamps of one place.  fewest: a bound.  enough: whether they do.

    points: where one stands, in eighths [P, 3].  light: there, in millilux [P].
    """

    lamps: tuple[Spot, ...]
    fewest: int
    enough: bool
    points: Ints
    light: Ints


class Chooser(Struct, frozen=True, kw_only=True, eq=False):
    """Chooses among spots that are ranked.

    form: what stands before.  cells, blocks: of each spot, its own and whether it is in the way.

    spare: what each spot alone leaves over where its place is darkest.
    """

    form: Forms
    gains: Gains
    cells: Sequence[tuple[int, int, int]]
    blocks: Sequence[int]
    spare: Sequence[int]

    @classmethod
    def of(cls, form: Forms, gains: Gains) -> Chooser:
        x, y, z = gains.spots.cell.T.tolist()
        return cls(
            form=form,
            gains=gains,
            cells=list(zip(x, y, z, strict=True)),
            blocks=gains.spots.having(lambda kind: kind.blocks).tolist(),
            spare=gains.spare().tolist(),
        )

    def choice(self, n: int, *, part: bool) -> Choice:
        """Of one place.  part: where all lamps together are not enough, as much as these bring."""
        place, light = self.gains.places[n], self.gains.given[n]
        own = self.gains.own(n)
        best = max(own, key=self.spare.__getitem__, default=-1)
        alone, wanted = best >= 0 and self.spare[best] >= 0, place.wanted
        if alone and light.min(initial=wanted) < wanted and self.passable(place, [best]):
            found, lamps = Cover(chosen=(0,), fewest=1, enough=True), [best]
        else:
            found = self._cover(n, part, 1 if alone or part else 2)
            lamps = [own[c] for c in found.chosen]
        for lamp in lamps:
            light = light + self.gains.row(lamp)
        return Choice(
            lamps=tuple(map(self.gains.spots.spot, lamps)),
            fewest=found.fewest,
            enough=found.enough and (not part or bool(light.min(initial=wanted) >= wanted)),
            points=place.points,
            light=light,
        )

    def _cover(self, n: int, part: bool, low: int) -> Cover:
        """The fewest; of as many, up to ALL, rather some that hang apart."""
        place, first, gain = self.gains.places[n], self.gains.own(n).start, self.gains.at(n)
        need = place.wanted - self.gains.given[n]
        if part:
            need = np.minimum(need, gain.sum(axis=0, dtype=np.int32))

        def allowed(chosen: Sequence[int]) -> bool:
            return self.passable(place, [first + c for c in chosen])

        def spread(chosen: Sequence[int]) -> bool:
            return not self.crowded([first + c for c in chosen]) and allowed(chosen)

        found = cover(gain, need, allowed, part=part, low=low)
        number = len(found.chosen)
        if 1 < number <= ALL and not spread(found.chosen):
            other, _ = by_trying(gain, need, spread, number)
            found = replace(found, chosen=other or found.chosen)
        return found

    def crowded(self, spots: Sequence[int]) -> bool:
        """Whether two of these lamps are side by side."""
        return any(
            max(abs(x - i), abs(y - j)) < 2
            for (x, y, _), (i, j, _) in combinations([self.cells[n] for n in spots], 2)
        )

    def passable(self, place: Place, spots: Sequence[int]) -> bool:
        """Whether these lamps share no cell and leave every kept cell of the floor reachable."""
        if len({self.cells[n] for n in spots}) < len(spots):
            return False
        blocking = [self.cells[n][:2] for n in spots if self.blocks[n]]
        floor = place.floor
        if not blocking or floor is None:
            return True
        z = place.rooms[0].floor
        taken = [(x, y) for x, y in floor.cells(floor.free) if self.form[x, y, z]]
        left = floor.free & ~floor.bits(taken) & ~floor.bits(blocking)
        return floor.connected(left, floor.keep)
