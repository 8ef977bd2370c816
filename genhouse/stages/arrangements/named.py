"""The arrangements by name: what each asks of the plot, and the steps that make it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import islice

from genhouse.core.axes import Side
from genhouse.core.box import Rect
from genhouse.core.draw import Draw
from genhouse.stages._rows import fit
from genhouse.stages.arrangements.steps import ear, past_corner, run_on, sound, tail
from genhouse.stages.site import Site
from genhouse.traditions.tradition import BayRule

Step = Callable[[Site, Rect, Sequence[int]], Iterator[Site]]
SLACK = (5, 6, 8, 9, 10)
"""Cells that may be left beside the ring for what goes on past it."""
LOOKED = 60
"""Ways to take a step that are looked at before it is given up."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrangement:
    """steps: one after the other.  sides: where the ring leaves ground for them.  weight: how often."""

    steps: tuple[Step, ...] = ()
    sides: tuple[tuple[Side, ...], ...] = ((),)
    weight: int


ARRANGEMENTS: Mapping[str, Arrangement] = {
    "ring": Arrangement(weight=3),
    "run-on": Arrangement(steps=(run_on,), sides=(("west",), ("east",)), weight=4),
    "pinwheel": Arrangement(
        steps=(past_corner, run_on), sides=(("north", "west"), ("north", "east")), weight=3
    ),
    "tail": Arrangement(steps=(tail,), sides=(("north",), ("west",), ("east",)), weight=4),
    "ear": Arrangement(steps=(ear,), sides=(("west",), ("east",)), weight=3),
    "rambling": Arrangement(
        steps=(run_on, tail, ear), sides=(("north", "west"), ("north", "east")), weight=3
    ),
}


def houses(name: str, lot: Rect, draw: Draw) -> Iterator[Rect]:
    """The rectangles that the ring of an arrangement could fill on a lot, as the seed likes them."""
    sides = draw.shuffled(ARRANGEMENTS[name].sides, "sides")
    if not ARRANGEMENTS[name].steps:
        yield lot
        return
    for n, some in enumerate(sides):
        slacks = {side: draw.shuffled(SLACK, f"slack {n} {side}") for side in some}
        for k in range(len(SLACK)):
            west, south, east, north = (
                slacks[s][k] if s in some else 0 for s in ("west", "south", "east", "north")
            )
            yield Rect(lot.x0 + west, lot.y0 + south, lot.x1 - east, lot.y1 - north)


def arranged(name: str, ring: Site, lot: Rect, rule: BayRule, draw: Draw) -> Site | None:
    """The ring with all its steps taken; None where one finds no place."""
    site = ring
    for n, step in enumerate(ARRANGEMENTS[name].steps):
        ways = draw.shuffled(list(step(site, lot, rule.spans)), f"step {n}")
        firm = (s for s in islice(ways, LOOKED) if sound(s, lot) and fit(s, rule.gaps))
        found = next(firm, None)
        if found is None:
            return None
        site = found
    return site
