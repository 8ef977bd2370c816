"""Storeys: which wings of a house have one, which have two, which one has more; on which one walks."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from itertools import combinations

from msgspec.structs import replace

from genhouse.core.axes import FLANKS
from genhouse.core.box import Rect
from genhouse.core.draw import Draw
from genhouse.core.errors import InfeasibleError
from genhouse.model.brief import Brief, RoofWish
from genhouse.model.storeys import Heights
from genhouse.stages._wings import Wing
from genhouse.stages.site import Site, line_along
from genhouse.traditions.plan import PlanRule
from genhouse.traditions.tradition import Tradition

EAVES = 2
"""Cells from the plate of a wing up to its roof."""
LOW = 60
"""Per cent of the ground that lower wings take at the most: there are rooms above."""


def with_storeys(
    wings: Sequence[Wing], courts: Sequence[Rect], brief: Brief, tradition: Tradition, draw: Draw
) -> tuple[Wing, ...]:
    """The wings, each with its storeys; upper rooms stay one range, so that one stair serves them all.

    Raises InfeasibleError where a brief asks for lower wings that this house cannot have.
    """
    if brief.storeys == 1:
        return tuple(replace(wing, storeys=1) for wing in wings)
    most = brief.storeys or 2
    able = wings
    if tradition.atrium is not None and brief.low is None:
        able = _beyond(wings, courts[0], draw)
        wings = tuple(wing if wing in able else replace(wing, storeys=1) for wing in wings)
        if not able:
            if brief.storeys is None:
                return wings
            raise InfeasibleError(
                "storeys: all ranges of this house stand round its atrium, which has no upper storey",
                stage="site",
            )
    rule, wells = tradition.plan, _wells(wings, courts, eaves(tradition.heights, most)[1])
    low = _drawn(able, wells, rule, draw) if brief.low is None else _asked(wings, brief.low)
    low = (*low, *(wing for wing in wings if wing not in able))
    high = [wing for wing in wings if wing not in low]
    tallest = [wing for wing in high if wing.storeys > 2] or high
    tall = draw.choice(tallest, "tall wing", [wing.lie.width for wing in tallest])
    built = [
        replace(wing, storeys=1 if wing in low else most if wing == tall else 2) for wing in wings
    ]
    walked = _walked(built, courts, brief.roof, rule, draw)
    return tuple(replace(wing, terrace=wing in walked) for wing in built)


def _beyond(wings: Sequence[Wing], atrium: Rect, draw: Draw) -> list[Wing]:
    """The wings of one range clear of an atrium: its own height follows from its width, and one stair
    serves all rooms above.  The larger a range, the rather it is this one."""
    clear = [wing for wing in wings if wing.storeys > 1 and not wing.rect.adjoins(atrium)]
    ranges: list[list[Wing]] = []
    for wing in clear:
        if not any(wing in some for some in ranges):
            ranges.append(_reached([wing], clear))
    areas = [sum(wing.rect.area for wing in some) for some in ranges]
    return draw.choice(ranges, "upper range", areas) if ranges else []


def _drawn(
    wings: Sequence[Wing], wells: Sequence[set[Wing]], rule: PlanRule, draw: Draw
) -> tuple[Wing, ...]:
    """One lower wing, or two, beside those that an arrangement lowers; always where a court would be a
    well, and then of those beside it if that may be."""
    lower = tuple(wing for wing in wings if wing.storeys == 1)
    if not wells and not draw.chance(*rule.lower, "lower wing"):
        return lower
    most = sum(wing.rect.area for wing in wings) * LOW // 100
    sets = [
        (*lower, *more)
        for n in (1, 2)
        for more in combinations([wing for wing in wings if wing.storeys == 2], n)
        if one_range(wings, (*lower, *more))
        and sum(wing.rect.area for wing in (*lower, *more)) <= most
    ]
    if not sets:
        return lower
    lit = [sum(not pair.isdisjoint(low) for pair in wells) for low in sets]
    sets = [low for low, n in zip(sets, lit, strict=True) if n == max(lit)]
    return draw.choice(
        sets, "lower wings", [2 if len(low) == len(lower) + 1 else 1 for low in sets]
    )


def _wells(wings: Sequence[Wing], courts: Sequence[Rect], narrow: int) -> list[set[Wing]]:
    """The two wings on either side of each court that is narrower than so many cells."""
    pairs = []
    for court in courts:
        for axis, sides in FLANKS.items():
            rows = [line_along(court, side) for side in sides]
            flanks = [[wing for wing in wings if wing.rect.meets(row)] for row in rows]
            if court.lie(axis).depth < narrow and all(flanks):
                pairs.append({flank[0] for flank in flanks})
    return pairs


def eaves(heights: Heights, count: int) -> tuple[int, ...]:
    """How high above the ground the roof begins over one storey, two and more, in a house of so many."""
    return tuple(storey.head + EAVES - heights.ground for storey in heights.stacked(count))


def is_well(site: Site, heights: Heights) -> bool:
    """Whether a court is narrower than the eaves on both sides of it are high."""
    high = eaves(heights, max(wing.storeys for wing in site.wings))
    return any(
        all(wing.storeys >= storeys for wing in pair)
        for storeys, narrow in enumerate(high, 1)
        for pair in _wells(site.wings, site.courts, narrow)
    )


def _asked(wings: Sequence[Wing], names: Sequence[str]) -> tuple[Wing, ...]:
    there = {wing.name for wing in wings}
    for name in names:
        if name not in there:
            raise InfeasibleError(f"low: this house has no {name} wing", stage="site")
    low = tuple(wing for wing in wings if wing.name in names or wing.storeys == 1)
    if not one_range(wings, low):
        raise InfeasibleError(
            "low: the upper rooms would not hang together; leave a wing between them two storeys high",
            stage="site",
        )
    return low


def one_range(wings: Sequence[Wing], low: Collection[Wing]) -> bool:
    """Whether the wings that stay high are one range, and there is one."""
    high = [wing for wing in wings if wing not in low]
    return bool(high) and len(_reached(high[:1], high)) == len(high)


def _walked(
    wings: Sequence[Wing], courts: Sequence[Rect], wish: RoofWish, rule: PlanRule, draw: Draw
) -> list[Wing]:
    """The lower wings by a court with a terrace: flat as the brief asks, or drawn, and reached from upper
    rooms."""
    drawn = draw.chance(*rule.terrace, "terrace")
    flat = [
        wing
        for wing in wings
        if wing.storeys == 1
        and any(court.adjoins(wing.rect) for court in courts)
        and ((getattr(wish, wing.name, None) or wish.form or ("flat" if drawn else "")) == "flat")
    ]
    high = [wing for wing in wings if wing.storeys > 1]
    reached = _reached(high, [*high, *flat])
    return [wing for wing in flat if wing in reached]


def _reached(start: Sequence[Wing], among: Sequence[Wing]) -> list[Wing]:
    """All wings that a row of neighbours joins to some."""
    found = list(start)
    for wing in found:
        found += [w for w in among if w not in found and wing.rect.adjoins(w.rect)]
    return found
