"""What houses of a tradition are like where a brief leaves it open, and what none of them has."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Annotated

from msgspec import Meta

from genhouse.core.axes import Side
from genhouse.core.sentences import closest, quoted
from genhouse.model.bounds import LARGEST_PLOT, SMALLEST_PLOT
from genhouse.traditions.reading import Pairs, Table

Weight = Annotated[int, Meta(ge=0, le=1000)]
Chance = tuple[Weight, Annotated[int, Meta(ge=1, le=1000)]]
"""(of, in): how often of how many."""
REST = "green"
"""What any ground may be."""
UpToThree = Annotated[tuple[Weight, ...], Meta(min_length=1, max_length=3)]


class PlanRule(Table, frozen=True, kw_only=True):
    """See the table ``[plan]`` of the common tables for the meaning of each field."""

    width: tuple[Weight, Weight]
    wider: Weight
    depth: tuple[Weight, Weight]
    within: tuple[Weight, Weight]
    court: tuple[Weight, Weight]
    storeys: UpToThree
    courts: UpToThree
    front: tuple[Weight, Weight]
    sides: tuple[Weight, Weight]
    neighbours: bool
    lower: Chance
    terrace: Chance
    gallery: Chance
    galleries: tuple[Weight, Weight, Weight, Weight]
    service: Chance
    working: str
    first: str = ""
    outlines: tuple[str, ...]
    yards: Annotated[tuple[str, ...], Meta(min_length=1)]
    gates: Pairs[Side, Weight]
    arrangements: Pairs[str, Weight]
    gardens: Annotated[Pairs[str, Weight], Meta(min_length=1)]

    def shares(self, width: int) -> tuple[int, int]:
        """The least and the most of the depth of a plot so wide, in a hundred of its width."""
        (low, high), (least, most) = self.depth, self.within
        least = max(low, -(-100 * least // width))
        return least, max(least, min(high, 100 * most // width))

    def courts_open(self, *, several: bool) -> tuple[int, ...]:
        """How many courts a house may have that is not asked for any number of them."""
        return tuple(n for n, w in enumerate(self.courts, 1) if w and (n > 1 or not several))


def amiss(plan: PlanRule, known: Mapping[str, tuple[str, ...]]) -> Iterator[str]:
    """What is amiss in the plan of a tradition.  known: names by key."""
    named: dict[str, tuple[str, ...]] = {
        "arrangements": tuple(name for name, _ in plan.arrangements),
        "gardens": tuple(name for name, _ in plan.gardens),
        "outlines": plan.outlines,
        "yards": plan.yards,
        "working": (plan.working,),
        "first": (plan.first,) if plan.first else (),
    }
    for key, names in named.items():
        for name in names:
            of = known["gardens" if key in ("working", "first") else key]
            if name not in of:
                yield f"{key}: there is no {quoted(name)}; {closest(name, of)}"
    weights = {
        **{key: getattr(plan, key) for key in ("storeys", "courts", "front", "sides")},
        **{key: [w for _, w in getattr(plan, key)] for key in ("gates", "arrangements", "gardens")},
    }
    for key, some in weights.items():
        if not any(some):
            yield f"{key}: nothing of it is ever drawn; give one a weight"
    widths, depths = zip(SMALLEST_PLOT, LARGEST_PLOT, strict=True)
    for key, (least, most) in {"width": widths, "depth": (50, 300)}.items():
        low, high = getattr(plan, key)
        if not least <= low <= high <= most - (plan.wider if key == "width" else 0):
            yield f"{key}: {[low, high]} does not go from the least to the most, of {least} to {most}"
    if plan.shares(plan.width[0])[0] * plan.width[0] // 100 < depths[0]:
        yield f"depth: {plan.depth[0]} in a hundred of {plan.width[0]} is less than {depths[0]}"
    if REST not in plan.yards:
        yield f"yards: what is too small for any other use is {REST}; put it among them"
    for key in ("lower", "terrace", "gallery", "service"):
        of, all_ = getattr(plan, key)
        if of > all_:
            yield f"{key}: {of} of {all_} is more than always; try {[all_, all_]}"
