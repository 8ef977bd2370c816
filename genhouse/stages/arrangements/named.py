"""The arrangements by name: what each asks of the plot, and the steps that make it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import islice, repeat, zip_longest

from genhouse.core.axes import Side
from genhouse.core.box import Rect
from genhouse.core.draw import Draw
from genhouse.core.region import Region
from genhouse.stages._rows import fit
from genhouse.stages.arrangements.gardens import garden
from genhouse.stages.arrangements.halls import (
    back_yard,
    halls,
    outer_yard,
    room_for_halls,
    side_range,
)
from genhouse.stages.arrangements.steps import (
    alone,
    ear,
    forecourt,
    jut,
    lean_to,
    lookout,
    past_corner,
    run_on,
    side_yard,
    sound,
    tail,
)
from genhouse.stages.site import Site
from genhouse.traditions.tradition import BayRule

Finish = Callable[[Site, BayRule, Draw], Iterator[Site]]
Step = Callable[[Site, Rect, Sequence[int]], Iterator[Site]]
SLACK = (5, 6, 8, 9, 10)
"""Cells that may be left beside the ring for what goes on past it."""
BEYOND = tuple(range(10, 19))
"""The same where a walled yard and a row of rooms lie there."""
TURNS = 2
"""Ways to take a step from which the next is looked for."""
LEAST = 13
"""Cells across the smallest ring: two wings and a court."""
LOOKED = 60
"""Ways to take a step that are looked at before it is given up."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrangement:
    """steps: one after the other.  sides: where the ring leaves ground for them.  slack: how many cells of
    it, one of these, each tried with a ring of its own.
    courts: of its ring, where it has to have several.  finish: what cuts the wings, once all steps are
    taken, so that others stand in their place.  fit_for: which courts are fit for it."""

    steps: tuple[Step, ...] = ()
    finish: Finish | None = None
    fit_for: Callable[[int, int, BayRule], bool] | None = None
    sides: tuple[tuple[Side, ...], ...] = ((),)
    slack: tuple[int, ...] = SLACK
    courts: int | None = None


def _halls(steps: tuple[Step, ...] = (), *sides: Side, together: bool = True) -> Arrangement:
    """Halls round courts, with walled yards on some sides.  together: on all of them, not on one."""
    return Arrangement(
        steps=steps,
        sides=(sides,) if together else tuple((side,) for side in sides),
        slack=BEYOND * 3 if steps else (0,) * 8,
        finish=halls,
        fit_for=room_for_halls,
    )


ARRANGEMENTS: Mapping[str, Arrangement] = {
    "ring": Arrangement(slack=(0,)),
    "aside": Arrangement(sides=(("west",), ("east",)), slack=tuple(range(8))),
    "walled-garden": Arrangement(
        steps=(garden,), sides=(("west",), ("east",)), slack=tuple(range(8)), courts=2
    ),
    "garden-range": Arrangement(
        steps=(garden, side_range), sides=(("west",), ("east",)), slack=BEYOND * 2, courts=2
    ),
    "garden-wing": Arrangement(
        steps=(garden, tail), sides=(("west",), ("east",)), slack=SLACK, courts=2
    ),
    "side-range": Arrangement(
        steps=(side_range,), sides=(("west",), ("east",)), slack=BEYOND * 2, courts=2
    ),
    "run-on": Arrangement(steps=(run_on,), sides=(("west",), ("east",))),
    "pinwheel": Arrangement(
        steps=(past_corner, run_on), sides=(("north", "west"), ("north", "east"))
    ),
    "tail": Arrangement(steps=(tail,), sides=(("north",), ("west",), ("east",))),
    "ear": Arrangement(steps=(ear,), sides=(("west",), ("east",))),
    "rambling": Arrangement(
        steps=(run_on, tail, ear), sides=(("north", "west"), ("north", "east"))
    ),
    "outbuilding": Arrangement(steps=(alone,), sides=(("north",),), slack=(10, 11, 12, 13)),
    "forecourt": Arrangement(steps=(forecourt,), slack=(0,) * 8, courts=2),
    "lean-to": Arrangement(
        steps=(lean_to,), sides=(("west",), ("east",), ("north",)), slack=(5, 6, 7, 8)
    ),
    "side-yard": Arrangement(
        steps=(side_yard,), sides=(("west",), ("east",), ("north",)), slack=(6, 7, 8, 9)
    ),
    "lookout": Arrangement(steps=(lookout,), slack=(0,)),
    "halls": _halls(),
    "gated-halls": _halls((outer_yard,), "south"),
    "backed-halls": _halls((back_yard,), "north"),
    "deep-halls": _halls((outer_yard, back_yard), "south", "north"),
    "flanked-halls": _halls((side_range,), "west", "east", together=False),
    "backed-flanked-halls": _halls((side_range, back_yard), "north", "east"),
    "cross-wing": Arrangement(
        steps=(jut,), sides=(("south",), ("north",), ("west",), ("east",)), slack=(4, 5, 6)
    ),
    "cross-wings": Arrangement(
        steps=(jut, jut), sides=(("south",), ("south", "north"), ("north",)), slack=(4, 5, 6)
    ),
}


def houses(name: str, lot: Region, draw: Draw, *, again: bool = False) -> Iterator[Rect]:
    """The rectangles that the ring of an arrangement could fill on a lot, as the seed likes them.  again:
    whether a ring that fills the lot is drawn more than once.

    In a lot that is no rectangle these fill a part of it first, so that what goes on past them does so into
    the others.
    """
    if lot.whole:
        yield from _houses(name, lot.bounds, draw, again)
        return
    parts = [part for part in lot.parts if min(part.width, part.depth) >= LEAST]
    if not parts:
        return
    first = draw.choice(parts, "part", [part.area**2 for part in parts])
    parts = [first, *(part for part in parts if part != first)]
    yield from parts
    if ARRANGEMENTS[name].steps:
        some = (_houses(name, part, draw.at("part", n), again) for n, part in enumerate(parts))
        for row in zip_longest(*some):
            yield from filter(None, row)


def _houses(name: str, lot: Rect, draw: Draw, again: bool) -> Iterator[Rect]:
    """Those that leave ground at some sides of a rectangle."""
    sides = draw.shuffled(ARRANGEMENTS[name].sides, "sides")
    if ARRANGEMENTS[name].sides == ((),):
        often = again or ARRANGEMENTS[name].finish is not None
        yield from repeat(lot, len(ARRANGEMENTS[name].slack) if often else 1)
        return
    for n, some in enumerate(sides):
        slacks = {
            side: draw.shuffled(ARRANGEMENTS[name].slack, f"slack {n} {side}") for side in some
        }
        for k in range(len(ARRANGEMENTS[name].slack)):
            west, south, east, north = (
                slacks[s][k] if s in some else 0 for s in ("west", "south", "east", "north")
            )
            yield Rect(lot.x0 + west, lot.y0 + south, lot.x1 - east, lot.y1 - north)


def arranged(name: str, ring: Site, lot: Region, rule: BayRule, draw: Draw) -> Site | None:
    """The ring with all its steps taken; None where one finds no place."""
    by = ARRANGEMENTS[name]
    some, finish = _taken(by.steps, ring, lot, rule, draw), by.finish
    if finish is not None:
        some = (new for site in some for new in finish(site, rule, draw) if fit(new, rule))
    return next(some, None)


def _taken(
    steps: Sequence[Step], site: Site, lot: Region, rule: BayRule, draw: Draw
) -> Iterator[Site]:
    """Sites with all of some steps taken, where one leaves no place for the next another way."""
    if not steps:
        yield site
        return
    some = [way for way in steps[0](site, lot.bounds, rule.spans) if _lies_on(lot, way)]
    ways = draw.shuffled(some, f"{len(steps)} to go")
    firm = (way for way in islice(ways, LOOKED) if sound(way, lot, rule.margin) and fit(way, rule))
    for way in islice(firm, TURNS):
        yield from _taken(steps[1:], way, lot, rule, draw)


def _lies_on(lot: Region, site: Site) -> bool:
    """Whether all that is built lies on a lot, which every step sees to where that is a rectangle."""
    return lot.whole or all(map(lot.holds, site.built))
